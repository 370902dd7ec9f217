"""The practice log (SQLite), learners, settings, hand in and collect; where a learner's data is kept.

Floor 2.
"""

from .answer import HELPED, Answer, FactorAnswer, Observation, evidence_of, new_id
from .classes import Classes, SchoolClass, Student
from .entries import Entry
from .errors import (
    FolderError,
    HandInError,
    LogDamaged,
    LogError,
    LogForeign,
    LogFull,
    LogLocked,
    LogReadOnly,
    LogTooNew,
)
from .folder import data_folder
from .handin import HandIn
from .learners import Learner
from .log import Collected, PracticeLog
from .opening import open_log
from .sessions import SittingRow
from .set_work import SET_WORK, SetWork, SetWorkError
from .settings import SETTINGS, Setting

__all__ = [
    "HELPED",
    "SETTINGS",
    "SET_WORK",
    "Answer",
    "Classes",
    "Collected",
    "Entry",
    "FactorAnswer",
    "FolderError",
    "HandIn",
    "HandInError",
    "Learner",
    "LogDamaged",
    "LogError",
    "LogForeign",
    "LogFull",
    "LogLocked",
    "LogReadOnly",
    "LogTooNew",
    "Observation",
    "PracticeLog",
    "SchoolClass",
    "SetWork",
    "SetWorkError",
    "Setting",
    "SittingRow",
    "Student",
    "data_folder",
    "evidence_of",
    "new_id",
    "open_log",
]
