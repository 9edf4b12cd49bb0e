"""Keeping an edit: worked out beside the screen, asked about where ticks or others are concerned, saved; and leaving.

Plan and numbers go through it alike. It stands below every screen that keeps something, and knows none of them.
"""
