"""Painters: each draws the same display list on its own kind of surface."""
