"""Settings, keys, latency, decks, cautions and failures in words."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from drillapp.decks.find import BANDS
from drillapp.drills.kinds import KINDS
from drillapp.music import LAYERS
from drillapp.records import SETTINGS
from drillapp.sound import Calibration
from drillapp.words import care, decks, faults, keys, latency, settings

ALLOWED = {setting.name: setting.allowed for setting in SETTINGS}


@pytest.mark.parametrize(
    ("table", "setting"),
    [
        (settings.VOICES, "voice"),
        (settings.HANDS, "hand"),
        (settings.THEMES, "theme"),
        (settings.LAYERS, "layers"),
    ],
)
def test_every_choice_of_a_setting_has_a_name(table: dict[str, str], setting: str) -> None:
    assert set(table) == set(ALLOWED[setting])
    assert list(settings.captions(table)) == list(table) and all(settings.captions(table).values())


def test_every_kind_of_question_can_be_named_in_another_language() -> None:
    said = {kind.title for kind in KINDS.values()} | {settings.in_full(kind) for kind in KINDS.values()}
    assert said == settings.KIND_WORDS
    assert list(settings.kinds_in_full()) == list(KINDS)


def test_layers_and_bands_are_named() -> None:
    assert set(settings.LAYERS) == set(LAYERS)
    assert set(decks.BAND_NAMES) == set(BANDS)


def test_numbers_are_said_against_what_is_usual() -> None:
    assert [settings.pace(share) for share in (1.0, 1.1, 0.85)] == [
        "as written",
        "10 % faster",
        "15 % slower",
    ]
    assert [settings.text_size(share) for share in (1.0, 1.5, 0.9)] == [
        "usual",
        "50 % larger",
        "10 % smaller",
    ]
    assert settings.minutes(8) == "8 minutes" and settings.minutes(1) == "1 minute"
    assert settings.volume(0.3) == "3 of 10"
    assert (
        settings.latency(None) == "Latency: not tapped yet" and settings.latency(0.1421) == "Latency: 142 ms"
    )
    assert settings.about("2.0", Path("/home")) == "drillapp 2.0. The practice log is in /home."


def test_a_key_that_is_refused_says_what_it_does_already() -> None:
    assert keys.refused(keys.UNUSABLE, "") == "This key cannot be used here; choose another one."
    assert keys.refused(keys.SPOKEN_FOR, "n") == "N says Not sure; choose another key."
    assert keys.refused(keys.TAKEN, "space", "mute") == (
        "Space mutes while it is held already; choose another key, or change that one first."
    )
    assert keys.keys_in_use("f", "j", "space", "shift") == "Keys: F down, J up, Space mutes, Shift accents"
    assert set(keys.ACTS) == set(settings.KEYS)


def test_taps_are_said_in_milliseconds_or_refused() -> None:
    assert latency.tapped(Calibration(0.142, 0.011, 12)) == (
        "Your taps come 142 ms after the click is handed to the player; spread 11 ms."
    )
    assert "20 ms before the click" in latency.tapped(Calibration(-0.02, 0.011, 12))
    assert latency.tapped(Calibration(0.0, 0.0, 4, "too few")) == (
        "Only 4 taps were near a click; tap along with at least 8."
    )
    assert latency.tapped(Calibration(0.1, 0.09, 12, "uneven", 0.5)) == (
        "The taps do not agree: they differ by about 90 ms, and 50% of them lie within 50 ms of their "
        "middle. Tap once more, as evenly as you can."
    )
    assert latency.tapped(Calibration(0.6, 0.01, 12, "far off")).startswith("The taps are 600 ms off")


def test_what_is_kept_for_a_device_has_its_day() -> None:
    day, found = date(2026, 11, 3), Calibration(0.142, 0.011, 12)
    assert latency.kept(found, day, True) == "Kept: 142 ms, spread 11 ms, tapped on 3 November 2026."
    assert latency.kept(None, day, True).startswith("Nothing is kept for this yet")
    assert latency.kept(found, day, False) == "There is no sound to tap along with."
    assert [latency.taps_so_far(taps) for taps in (0, 1, 9)] == ["Tap here", "1 tap", "9 taps"]
    assert "no longer fits" in latency.looks_wrong(True) and "tap it once" in latency.looks_wrong(False)


def test_what_was_found_among_decks_is_counted() -> None:
    assert decks.found(0, ()) == "no patterns" and decks.found(0, ("tie",)) == "no patterns with Ties"
    assert (
        decks.found(1, ()) == "1 pattern" and decks.found(3, ("tie", "rest")) == "3 patterns with Ties, Rests"
    )
    assert decks.meter_and_bars("4/4", 1) == "4/4" and decks.meter_and_bars("4/4", 2) == "4/4, 2 bars"
    assert decks.pattern_of("Stairs", "House") == "Stairs (House)"


def test_decks_left_or_taken_out_are_named() -> None:
    assert decks.taken_out("house") == "The deck house is taken out."
    assert decks.not_saved(["House"]) == "Not saved: House"
    assert decks.not_saved(["House", "Garden", "Yard"]) == "Not saved: House, and 2 more"
    assert decks.faults_heading(1) == "A deck file could not be read; the others are not harmed."
    assert decks.faults_heading(3).startswith("3 faults in deck files")


def test_a_file_says_where_it_went() -> None:
    path = Path("/tmp/house.pdf")
    assert decks.written_to(path) == "house.pdf is in /tmp."
    assert decks.sheet_written_to(path, 1) == "house.pdf is in /tmp: 1 page."
    assert decks.sheet_written_to(path, 4) == "house.pdf is in /tmp: 4 pages."
    assert decks.up_to(Path("/tmp")) == "Up to tmp" and decks.up_to(Path("/")) == "Up to /"
    assert decks.progress(2, 5) == "2 of 5"


def test_cautions_send_pain_to_a_doctor() -> None:
    assert len(care.cautions()) == 3
    assert "see a doctor or another qualified person" in care.cautions()[2][1]


def test_a_failure_says_that_answers_are_kept() -> None:
    assert faults.went_wrong("the shelf is empty", "drillapp.log") == (
        "Something went wrong: the shelf is empty. What you answered so far is kept. "
        "Details are in drillapp.log."
    )
