"""Zones, local times and clocks; the one home of the calendar library. Everybody else sees UTC seconds."""
