"""Strum it: grading a page that was played."""

from .grade import Hit, SlotResult, StrumResult, grade_strum

__all__ = ["Hit", "SlotResult", "StrumResult", "grade_strum"]
