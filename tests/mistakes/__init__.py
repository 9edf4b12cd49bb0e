"""A bench of mistakes that people make, and of sound work that must stay quiet."""
