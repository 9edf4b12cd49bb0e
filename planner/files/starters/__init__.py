"""Builds to start from, and the one maker of builds: whole or not at all, never over what is there."""
