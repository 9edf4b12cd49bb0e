"""The Textual screens: the only package that imports textual."""
