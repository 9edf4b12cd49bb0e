"""The list of all builds, and making a new one by a few questions.

Knows folders and starters by what files/ tells of them; opens a build only through Host, so that leaving is asked
about in one place.
"""
