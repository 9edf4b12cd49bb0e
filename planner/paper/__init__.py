"""What leaves the tool on paper or as a file for other programs."""
