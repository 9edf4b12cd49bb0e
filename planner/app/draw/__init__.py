"""Pieces to strips: folding, palettes, big letters, and the widgets that draw lines.

Knows nothing of builds or plans, so that every screen can be drawn by it. Text is literal here, never markup.
"""
