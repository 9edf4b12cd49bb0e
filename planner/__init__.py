"""Plan and shoot a two-sided metal build."""

__version__ = "0.1.0"
