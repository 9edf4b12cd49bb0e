"""The screen of the series: what viewers saw and were told."""
