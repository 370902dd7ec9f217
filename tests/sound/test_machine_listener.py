"""Every sign of the shipped decks must be audible: a machine that only listens recovers what was written.

The listener (listener.py) uses published onset strength and scikit-learn; mir_eval scores it. Every second
shipped pattern is heard at one of 60, 90 and 120 beats a minute; bench_sound.py hears all of them at all
three.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import mir_eval
import numpy as np
import pytest
from listener import DELAY, Heard, accents_by_others, hear, told_apart

from drillapp.decks.load import load_decks
from drillapp.drills.ear import heard_apart
from drillapp.music import Pattern
from drillapp.music.ways import factors, write
from drillapp.sound import onset_samples, render

RATE = 44100
TEMPOS = (60, 90, 120)


@dataclass(frozen=True)
class Hearing:
    """A shipped pattern, how fast it was played, and what was heard."""

    pattern: Pattern
    tempo: int
    heard: Heard

    @property
    def onsets(self) -> np.ndarray:
        return onset_samples(self.pattern, self.tempo, RATE) / RATE

    @property
    def matches(self) -> list[tuple[int, int]]:
        return mir_eval.util.match_events(self.onsets, self.heard.times - DELAY, 0.05)


@pytest.fixture(scope="module")
def hearings() -> list[Hearing]:
    decks, faults = load_decks()
    assert not faults
    patterns = [entry.pattern for deck in decks for entry in deck.patterns][::2]
    assert len(patterns) >= 60
    tempos = [TEMPOS[index % 3] for index in range(len(patterns))]
    return [
        Hearing(pattern, tempo, hear(render(pattern, tempo), RATE))
        for pattern, tempo in zip(patterns, tempos, strict=True)
    ]


def f_measure(matched: int, written: int, heard: int) -> float:
    return 2 * matched / (written + heard)


@pytest.mark.parametrize(("window", "wanted"), [(0.05, 0.99), (0.03, 0.98), (0.01, 0.98)])
def test_every_stroke_is_heard_where_it_is_written(
    window: float, wanted: float, hearings: list[Hearing]
) -> None:
    # mir_eval's onset window is 50 ms; the detector's own constant delay is taken off.
    matched = sum(len(mir_eval.util.match_events(h.onsets, h.heard.times - DELAY, window)) for h in hearings)
    written, heard = (
        sum(map(len, part)) for part in zip(*((h.onsets, h.heard.times) for h in hearings), strict=True)
    )
    assert f_measure(matched, written, heard) >= wanted


def test_muted_strokes_are_told_from_ringing_ones(hearings: list[Hearing]) -> None:
    right = [
        h.pattern.strokes[written].muted == h.heard.muted[heard]
        for h in hearings
        for written, heard in h.matches
    ]
    assert np.mean(right) >= 0.99


def test_rests_are_heard_as_silence_and_skips_are_not(hearings: list[Hearing]) -> None:
    matched = written = heard = 0
    for h in hearings:
        stretch = float(h.pattern.tempo) / h.tempo
        stops = np.array([h.pattern.seconds(at) * stretch for at in h.pattern.stops])
        # The end of the pattern is silent too, but no rest.
        silences = h.heard.stops[h.heard.stops < h.pattern.seconds(h.pattern.length) * stretch] - 0.025
        matched += len(mir_eval.util.match_events(stops, silences, 0.05))
        written, heard = written + len(stops), heard + len(silences)
    assert written >= 30
    assert f_measure(matched, written, heard) >= 0.99


def test_accents_are_heard_by_an_ear_that_learned_on_other_patterns(hearings: list[Hearing]) -> None:
    whole = [h for h in hearings if len(h.heard.times) == len(h.pattern.strokes)]
    written = [np.array([stroke.accent for stroke in h.pattern.strokes]) for h in whole]
    heard, truth = accents_by_others([h.heard for h in whole], written), np.concatenate(written)
    assert np.mean(heard == truth) >= 0.97
    # Few strokes are accented, so the share that is found is asked for too.
    assert np.mean(heard[truth]) >= 0.75


def one_edits(hearings: list[Hearing]) -> Iterator[tuple[Hearing, Pattern]]:
    """For every third of them, one other way to write one of its places that the ear is to tell apart."""
    rng = np.random.default_rng(11)
    for h in hearings[::3]:
        played = replace(h.pattern, tempo=h.tempo)
        edits = [
            edited
            for factor in factors(played)
            for way in factor.ways
            if heard_apart(played, edited := write(played, [(factor, way)]))
        ]
        if edits:
            yield h, edits[rng.integers(len(edits))]


def test_one_edit_is_enough_to_tell_two_patterns_apart(hearings: list[Hearing]) -> None:
    verdicts = [
        bool(told_apart(h.heard, hear(render(edited, h.tempo), RATE))) for h, edited in one_edits(hearings)
    ]
    assert len(verdicts) >= 50
    assert np.mean(verdicts) >= 0.99


def test_another_playing_of_the_same_pattern_has_the_same_strokes(hearings: list[Hearing]) -> None:
    # The listener is no use if it tells everything apart.
    verdicts = [told_apart(h.heard, hear(render(h.pattern, h.tempo, seed=5), RATE)) for h in hearings[::3]]
    assert sum(verdict in ("", "colour") for verdict in verdicts) >= 0.9 * len(verdicts)
