"""Editing ONE value: a line, several lines, a choice, sides, a condition.

Knows a field and a task that makes an edit of it; no form and no screen, since each opens them from elsewhere.
"""
