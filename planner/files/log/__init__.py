"""The tick log: one file a device, merged in any order with the same result, on the disk before anybody is told.

May not know what an operation means: a plan may change under its ticks, which stay.
"""
