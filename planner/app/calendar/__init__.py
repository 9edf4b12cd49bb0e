"""The screen of the calendar: weeks as rows of shifts, one shift in full, and what other hours would do."""
