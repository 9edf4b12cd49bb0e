"""ONE build open: its plan, ticks, findings, repairs, numbers, and what is being written.

Every surface asks here, so that they cannot disagree. No toolkit, no width, no colour, no option of a command.
"""
