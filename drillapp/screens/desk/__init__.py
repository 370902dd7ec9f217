"""The teacher's desk on screen."""
