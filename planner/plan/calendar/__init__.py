"""When it can be done: one person's shifts, waits that run through the night, and what each day holds. Pure."""
