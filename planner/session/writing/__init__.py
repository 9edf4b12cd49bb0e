"""The texts of a build while they are written: rows, fields, and the one desk (working out, keeping, undo, redo).

An edit is judged by the reader's own parts before it is saved. No screen, and no question to a person.
"""
