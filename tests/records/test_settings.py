"""Settings: typed, bounded, and never a reason to stop."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from drillapp.records import SETTINGS, PracticeLog, Setting, open_log
from drillapp.records.settings import fault


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.name)
def test_every_default_fits_its_own_row(setting: Setting) -> None:
    assert fault(setting, setting.default) == ""
    assert setting.meaning.endswith(".")
    assert "\n" not in setting.meaning


def test_names_are_there_once() -> None:
    assert len({setting.name for setting in SETTINGS}) == len(SETTINGS)


def test_the_first_sound_is_not_loud(log: PracticeLog) -> None:
    assert log.settings.get("volume") <= 0.5


def test_a_value_is_kept(path: Path) -> None:
    with open_log(path) as log:
        assert log.settings.get("theme") == "paper"
        log.settings.set("theme", "night")
        log.settings.set("volume", 1)
        log.settings.set("layers", ["staff"], learner="ana")
    with open_log(path) as log:
        assert log.settings.get("theme") == "night"
        assert log.settings.get("volume") == 1.0
        assert isinstance(log.settings.get("volume"), float)
        assert log.settings.get("layers", "ana") == ("staff",)


def test_learners_have_their_own(log: PracticeLog) -> None:
    log.settings.set("minutes", 20, learner="ana")
    assert log.settings.get("minutes", "ana") == 20
    assert log.settings.get("minutes", "bo") == 10


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("minutes", 0, "minutes is 0; it can be a whole number from 2 to 60"),
        ("minutes", 5.5, "a whole number"),
        ("minutes", True, "a whole number"),
        ("pace", "fast", "a number from 0.5 to 1.5"),
        ("pace", float("nan"), "a number from"),
        ("layers", (), "at least one"),
        ("layers", ("staff", "staff"), "each once"),
        ("layers", ("colour",), "letters"),
        ("layers", "staff", "tuple of names"),
        ("counts", "do re mi", "it can be"),
        ("fresh", 1, "yes or no"),
        ("decks", ("x" * 201,), "tuple of names"),
    ],
)
def test_a_value_that_does_not_fit_is_refused_with_what_would(
    log: PracticeLog, name: str, value: Any, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        log.settings.set(name, value, learner="ana")


def test_a_setting_asked_for_the_wrong_way_is_named(log: PracticeLog) -> None:
    with pytest.raises(ValueError, match="'colour' is not a setting; there are theme"):
        log.settings.get("colour")
    with pytest.raises(ValueError, match="minutes is a learner's; say whose"):
        log.settings.get("minutes")
    with pytest.raises(ValueError, match="theme is the device's"):
        log.settings.get("theme", "ana")


@pytest.mark.parametrize(
    "stored",
    [
        '{"value":"loud"}',
        '{"value":7.0}',
        '{"value":null}',
        "{}",
        "[]",
        "7",
        "",
        "{",
        '{"value":NaN}',
        "\x00",
        None,
    ],
)
def test_a_bad_stored_value_falls_back_with_a_notice(path: Path, stored: str | None) -> None:
    open_log(path).close()
    connection = sqlite3.connect(path)
    connection.execute("INSERT INTO settings VALUES ('', 'volume', ?)", ("" if stored is None else stored,))
    connection.commit()
    connection.close()
    with open_log(path) as log:
        assert log.settings.get("volume") == 0.3
        (notice,) = log.settings.notices()
        assert notice.startswith("volume")
        assert notice.endswith("The default, 0.3, is used.")
        log.settings.set("volume", 0.4)
        assert log.settings.notices() == ()


def test_a_setting_of_another_version_is_left_alone(path: Path) -> None:
    open_log(path).close()
    connection = sqlite3.connect(path)
    connection.execute("INSERT INTO settings VALUES ('ana', 'handedness', '{\"value\":\"left\"}')")
    connection.commit()
    connection.close()
    with open_log(path) as log:
        assert log.settings.notices() == (
            "The setting 'handedness' is not known to this version; it is left alone.",
        )
    connection = sqlite3.connect(path)
    assert connection.execute("SELECT count(*) FROM settings").fetchone() == (1,)
    connection.close()


def test_every_chord_and_voice_that_can_be_set_can_be_played() -> None:
    from drillapp.sound import CHORDS, VOICES

    table = {setting.name: setting for setting in SETTINGS}
    assert set(table["chord"].allowed) == set(CHORDS)
    assert set(table["voice"].allowed) == set(VOICES)


ROW = {"latency": 0.142, "spread": 0.011, "taps": 12, "utc": 1.7e9}


def test_a_table_is_kept_row_by_row(path: Path) -> None:
    with open_log(path) as log:
        assert log.settings.get("latencies") == {}
        log.settings.set("latencies", {"miniaudio on Loudspeaker": ROW})
    with open_log(path) as log:
        assert log.settings.get("latencies") == {"miniaudio on Loudspeaker": ROW}
        assert log.settings.notices() == ()


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ([], "must be a table"),
        ({"": ROW}, "1 to 200 characters"),
        ({"a": {"latency": 0.1}}, "each row has the numbers latency from -0.5 to 0.5"),
        ({"a": {**ROW, "colour": 1}}, "each row has"),
        ({"a": {**ROW, "latency": True}}, "each row has"),
        ({"a": {**ROW, "latency": float("inf")}}, "each row has"),
        ({"a": {**ROW, "latency": 3.0}}, "the numbers are latency from -0.5"),
        ({str(number): ROW for number in range(51)}, "at most 50 rows"),
    ],
)
def test_a_table_that_does_not_fit_is_refused(log: PracticeLog, value: Any, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        log.settings.set("latencies", value)


def test_a_stored_value_that_does_not_fit_is_said_with_the_default_in_words(log: PracticeLog) -> None:
    shown = {"theme": "paper", "text_size": "1.0", "key_hints": "yes", "cautions_read": "no"}
    with log._store.writing() as connection:
        connection.executemany(
            "INSERT INTO settings VALUES ('', ?, ?)", [(name, '{"value":{}}') for name in shown]
        )
    told = log.settings.notices()
    assert len(told) == len(shown)
    for name, sentence in zip(sorted(shown), told, strict=True):
        assert name in sentence
        assert sentence.endswith(f"The default, {shown[name]}, is used.")
