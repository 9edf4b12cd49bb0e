"""Papers from the app: which one, what it says, where it goes."""
