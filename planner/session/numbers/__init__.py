"""Numbers that are tried: what the file says, what was typed over it, what both come to.

Nothing here is on the disk; saving is a Task for session/writing's desk, so that it is undone like any other edit.
"""
