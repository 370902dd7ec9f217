"""Fitting what the memory takes for granted to logs of answers."""
