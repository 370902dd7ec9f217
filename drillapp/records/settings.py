"""Settings: one table of what can be set, for the device and for each learner.

Conventions: every setting has a name, a default of its type, the values allowed, and a one-line meaning. A
stored value that does not fit, or a name that is not in the table, never stops the app: the default holds,
the stored value stays where it is, and a notice says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from drillapp.music import LAYERS, SYLLABLES

from .errors import Remark
from .lines import compact, read_json
from .store import Store

Table = dict[str, dict[str, float]]
"""Rows by name, each a number for each field."""
Value = bool | int | float | str | tuple[str, ...] | Table


@dataclass(frozen=True)
class Setting:
    """One row of the table; its type is that of its default."""

    name: str
    of: Literal["device", "learner"]
    default: Value
    allowed: tuple[Any, ...]
    """Numbers: (least, most). Text: the choices. Tuple of text: the choices, empty for any. Yes or no: ().
    Table: (field, least, most) for each field of a row."""
    meaning: str


MOST_ROWS = 50

SETTINGS: tuple[Setting, ...] = (
    Setting("theme", "device", "paper", ("paper", "night"), "Colours of the screens."),
    Setting("text_size", "device", 1.0, (0.8, 2.0), "Size of the words on the screens."),
    Setting(
        "volume",
        "device",
        0.3,
        (0.0, 1.0),
        "Loudness of the guitar; the default is a safe one to start with.",
    ),
    Setting(
        "player",
        "device",
        "automatic",
        ("automatic", "simpleaudio", "miniaudio", "kivy", "silent"),
        "Which library plays the sound.",
    ),
    Setting(
        "latencies",
        "device",
        {},
        (("latency", -0.5, 0.5), ("spread", 0.0, 0.2), ("taps", 1, 1000), ("utc", 0, 1e11)),
        "How late taps come, for each player and device that was calibrated.",
    ),
    Setting("key_hints", "device", True, (), "Keys are shown beside what they do."),
    Setting("cautions_read", "device", False, (), "The cautions were shown."),
    Setting("hand", "learner", "right", ("right", "left"), "The hand that strums: where the palm pad lies."),
    Setting("cursor", "learner", False, (), "A mark moves along the page while it is strummed."),
    Setting(
        "strum_keys",
        "learner",
        ("f", "j", "space", "shift"),
        (),
        "Keys that strum down, strum up, mute and accent.",
    ),
    Setting("begun", "learner", False, (), "Whether strum notation is new was asked, or passed over."),
    Setting("met_signs", "learner", (), (), "Signs whose lesson was done or passed over."),
    Setting("minutes", "learner", 10, (2, 60), "Length of a day's drill, in minutes."),
    Setting("layers", "learner", ("letters", "counts", "staff"), LAYERS, "Which layers the page shows."),
    Setting("counts", "learner", SYLLABLES[0], SYLLABLES, "Which syllables are counted."),
    Setting("pace", "learner", 1.0, (0.5, 1.5), "Tempo of a drill against the pattern's own."),
    Setting(
        "chord",
        "learner",
        "G",
        ("G", "C", "D", "A", "E", "Am", "Em", "Dm", "D7", "A7", "E7", "Cadd9"),
        "The chord that patterns are played on.",
    ),
    Setting("voice", "learner", "steel", ("steel", "nylon"), "The strings that patterns are played on."),
    Setting("count_in", "learner", True, (), "A bar of clicks before each hearing."),
    Setting("click", "learner", False, (), "A click on the beats under each hearing."),
    Setting("drills", "learner", (), (), "Which kinds of question a plan holds; see `Settings.offer`."),
    Setting("decks", "learner", (), (), "Decks to practise from; none chosen means all of them."),
    Setting("fresh", "learner", True, (), "Patterns that nobody has seen are part of the plan."),
)
"""Every setting there is."""


def fault(setting: Setting, value: Any) -> str:
    """What is wrong with a value and what would be right, in a sentence; empty where it fits."""
    default, allowed = setting.default, setting.allowed
    shown = repr(value)[:40]
    if isinstance(default, bool):
        return "" if isinstance(value, bool) else f"{setting.name} is {shown}; it can be yes or no."
    if isinstance(default, (int, float)):
        kinds = (int,) if isinstance(default, int) else (int, float)
        low, high = allowed
        if (
            isinstance(value, kinds)
            and not isinstance(value, bool)
            and math.isfinite(value)
            and low <= value <= high
        ):
            return ""
        what = "a whole number" if isinstance(default, int) else "a number"
        return f"{setting.name} is {shown}; it can be {what} from {low} to {high}."
    if isinstance(default, dict):
        return _table_fault(setting, value)
    if isinstance(default, str):
        return "" if value in allowed else f"{setting.name} is {shown}; it can be {', '.join(allowed)}."
    if not isinstance(value, tuple) or not all(isinstance(item, str) and len(item) <= 200 for item in value):
        return f"{setting.name} is {shown}; it must be a tuple of names."
    if allowed and (not value or not set(value) <= set(allowed) or len(set(value)) < len(value)):
        return (
            f"{setting.name} is {shown}; it can be any of {', '.join(allowed)}, each once and at least one."
        )
    return "" if len(value) <= 200 else f"{setting.name} holds {len(value)} names; at most 200 are kept."


def _table_fault(setting: Setting, value: Any) -> str:
    fields = {field: (low, high) for field, low, high in setting.allowed}
    asked = ", ".join(f"{field} from {low:g} to {high:g}" for field, (low, high) in fields.items())
    if not isinstance(value, dict) or len(value) > MOST_ROWS:
        return f"{setting.name} must be a table of at most {MOST_ROWS} rows."
    for name, row in value.items():
        if not isinstance(name, str) or not 0 < len(name) <= 200:
            return f"{setting.name} has a row called {repr(name)[:40]}; a name has 1 to 200 characters."
        if not isinstance(row, dict) or set(row) != set(fields) or not all(map(_is_number, row.values())):
            return f"{setting.name} {name[:40]!r}: each row has the numbers {asked}."
        if any(not low <= row[field] <= high for field, (low, high) in fields.items()):
            return f"{setting.name} {name[:40]!r}: the numbers are {asked}."
    return ""


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


class Settings:
    """The settings in one practice log."""

    def __init__(self, store: Store, table: Sequence[Setting] = SETTINGS) -> None:
        self._store = store
        self.table = {setting.name: setting for setting in table}

    def offer(self, name: str, choices: tuple[str, ...]) -> None:
        """Say what can be chosen for a set of names that a room above knows; all of it is the default."""
        self.table[name] = replace(self.table[name], default=choices, allowed=choices)

    def get(self, name: str, learner: str | None = None) -> Any:
        """A setting's value, of the type of its default.

        A learner's setting needs the learner. Raises ValueError for a name that is not in the table.
        """
        setting = self._setting(name, learner)
        row = self._store.one(
            "SELECT value FROM settings WHERE learner = ? AND name = ?", (learner or "", name)
        )
        return setting.default if row is None else _read(setting, row[0])[0]

    def set(self, name: str, value: Value, learner: str | None = None) -> None:
        """Keep a value, on disk. Raises ValueError where it does not fit, saying what would."""
        setting = self._setting(name, learner)
        if isinstance(setting.default, tuple) and isinstance(value, list):
            value = tuple(value)
        if words := fault(setting, value):
            raise ValueError(words)
        with self._store.writing() as connection:
            connection.execute(
                "INSERT INTO settings VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET value = excluded.value",
                (learner or "", name, compact({"value": value})),
            )

    def notices(self) -> tuple[Remark, ...]:
        """One sentence for each stored value that is not used: its name is unknown, or it does not fit."""
        found = []
        for _, name, text in self._store.rows(
            "SELECT learner, name, value FROM settings ORDER BY learner, name"
        ):
            setting = self.table.get(name)
            if setting is None:
                shown = repr(str(name)[:40])
                found.append(
                    Remark(
                        f"The setting {shown} is not known to this version; it is left alone.",
                        code="setting-unknown",
                        places={"setting": shown},
                    )
                )
            elif words := _read(setting, text)[1]:
                default = _shown(setting.default)
                found.append(
                    Remark(
                        f"{words} The default, {default}, is used.",
                        code="setting-default",
                        places={"fault": words, "default": default},
                    )
                )
        return tuple(found)

    def _setting(self, name: str, learner: str | None) -> Setting:
        setting = self.table.get(name)
        if setting is None:
            raise ValueError(f"{name!r} is not a setting; there are {', '.join(self.table)}.")
        if (setting.of == "learner") != bool(learner):
            whose = "a learner's; say whose" if setting.of == "learner" else "the device's, not a learner's"
            raise ValueError(f"The setting {name} is {whose}.")
        return setting


def _read(setting: Setting, text: Any) -> tuple[Value, str]:
    try:
        value = read_json(text)["value"]
    except (ValueError, KeyError, TypeError):
        return setting.default, f"{setting.name} was stored in a form that cannot be read."
    if isinstance(setting.default, tuple) and isinstance(value, list):
        value = tuple(value)
    if isinstance(setting.default, float) and isinstance(value, int) and not isinstance(value, bool):
        value = float(value)
    words = fault(setting, value)
    return (setting.default, words) if words else (value, "")


def _shown(value: Value) -> str:
    if isinstance(value, (tuple, dict)):
        return ", ".join(value) or "none"
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
