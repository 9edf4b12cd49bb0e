"""The one table of keys, and whether a person's own map of them can be used.

Knows no widget: the table is read by help, palette and tests as well.
"""
