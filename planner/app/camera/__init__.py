"""The screen for filming: one operation, read at two metres and used with gloves.

Knows sizes and the slate. What an operation is and whether it may be ticked comes from session/; it writes
nothing but ticks and remarks.
"""
