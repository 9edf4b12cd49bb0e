"""The housing, the cradle and the wheels as geometry in millimetres, from the results of their calculators.

Knows what a result and its inputs hold. May not touch characters, colours or SVG: a screen and a sheet of paper draw
the same shape, each by its own means, so that they can never show two different housings.
"""
