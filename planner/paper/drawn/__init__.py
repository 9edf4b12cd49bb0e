"""Painters: shapes of the numbers into drawings in mm. Pure; they know no page and no build."""
