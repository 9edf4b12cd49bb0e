"""Drawings to scale in characters.

The geometry comes in millimetres from numbers/shapes; only what becomes of it in cells is decided here.
"""
