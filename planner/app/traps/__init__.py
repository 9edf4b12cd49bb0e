"""The list of findings, and one of them in full with its repair.

Findings are asked of session/, which works them out once a tick or a plan; nothing is checked here.
"""
