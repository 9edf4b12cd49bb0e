"""The calculators: pure functions, SI inside, one module a subject."""
