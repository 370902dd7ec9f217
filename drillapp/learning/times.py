"""Spans of time in seconds, and the time constants of the memory's stores."""

from __future__ import annotations

MINUTE = 60.0
HOUR = 3600.0
DAY = 86400.0
WEEK = 7 * DAY

SCALES = tuple(10 * MINUTE * 16.0**power for power in range(5))
"""Time constants of the stores: 10 minutes, 2.7 hours, 1.8 days, 28 days, 455 days."""
