"""Everything that touches the disk: plans, the tick log, where builds live, hours and time zones."""
