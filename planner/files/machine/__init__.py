"""What this machine keeps for itself: the device's name, small choices, the key map. Nothing of a build."""
