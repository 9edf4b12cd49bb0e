"""The grid of the plan, one column a side, and finding a step in it.

Draws what telling/ says of rows and cells; decides nothing about the order.
"""
