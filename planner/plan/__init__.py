"""What a build is and what is wrong with it. Pure: no files, no clock, no screen."""
