"""Rounds that follow one another: joined to the sample, on their beats, on their chords.

Onsets: a published detector (analysis.py) finds where strokes are heard; beats at a tempo are arithmetic
(60 / tempo s).
Chords: chroma (Fujishima 1999) says which notes sound in each bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pytest
from analysis import chroma, mel_decibels, onset_strength, peaks

from drillapp.drills.play_along import Wish, next_round
from drillapp.music import parse
from drillapp.sound.chords import chord_notes
from drillapp.sound.rounds import Rounds
from drillapp.sound.strokes import make_bank

RATE, HOP = 44100, 64
bank = lru_cache(maxsize=8)(make_bank)


@dataclass(frozen=True)
class At:
    tempo: float
    chords: tuple[str, ...]


def played(text: str, made: list[At], click: bool = False) -> tuple[Rounds, list[np.ndarray]]:
    rounds = Rounds(parse(text, tempo=90), bank, RATE)
    return rounds, [rounds.samples(one, made[:number], click) for number, one in enumerate(made)]


def test_a_round_lasts_its_beats_at_its_tempo() -> None:
    rounds, parts = played("D- DU -U DU", [At(60, ("G",)), At(120, ("G",)), At(93, ("G",))])
    assert [len(part) for part in parts] == [4 * RATE, 2 * RATE, round(4 * 60 / 93 * RATE)]
    assert len(rounds.count_in(60)) == 4 * RATE


def test_rounds_join_without_a_step_where_tempo_and_chord_change() -> None:
    # The last stroke rings over the join: the page begins with a dash, a tie over the bar line.
    made = [At(100, ("G",)), At(104, ("G",)), At(104, ("C",)), At(120, ("F",)), At(120, ("F",))]
    _, parts = played("-U DU -U >DU", made)
    for before, after in pairwise(parts):
        joint = np.concatenate([before[-400:], after[:400]]).astype(float)
        assert np.abs(before[-400:]).max() > 0.01, "the strings ring here"
        steps = np.abs(np.diff(joint, 2))
        assert steps[397:402].max() <= np.max(np.delete(steps, range(397, 402))), "no click at the join"


def test_what_a_round_sounds_like_hangs_on_those_before_it_and_on_nothing_after() -> None:
    one = played("D- DU -U DU", [At(90, ("G",))] * 6)[1]
    rounds = Rounds(parse("D- DU -U DU", tempo=90), bank, RATE)
    again = rounds.samples(At(90, ("G",)), [At(90, ("G",))] * 5, click=False)
    np.testing.assert_array_equal(one[5], again)


@pytest.mark.parametrize("text", ["D- DU -U DU", "D D D D | D- DU D- DU"])
def test_strokes_are_heard_where_the_plan_puts_them(text: str) -> None:
    wish = Wish(84, 200, step=10, every=1, chords=("G", "C", "D", "Em"))
    bars = len(parse(text).bars)
    made = [next_round(wish, bars)]
    while len(made) < 4:
        made.append(next_round(wish, bars, made[-1]))
    rounds = Rounds(parse(text, tempo=84), bank, RATE)
    parts = [rounds.samples(one, made[:number], click=False) for number, one in enumerate(made)]
    whole = np.concatenate([np.zeros(RATE // 2, np.float32), *parts])
    strength = onset_strength(mel_decibels(whole, RATE, 1024, HOP, 128, RATE / 2))
    found = peaks(strength, 0.05, wait=20, before=20, after=0, around=68) * HOP / RATE
    planned, start = [], 0.5
    for one in made:
        quarter = 60 / one.tempo
        planned += [start + float(stroke.at) * quarter for stroke in parse(text).strokes]
        start += float(parse(text).length) * quarter
    late = [min(found, key=lambda t, p=p: abs(t - p)) - p for p in planned]
    # The detector marks a stroke some ms after its first string: the delay must stay the same.
    assert np.abs(np.array(late) - np.median(late)).max() < 0.010


def test_each_bar_is_heard_on_its_own_chord() -> None:
    names = ("C", "G", "Am", "F#m")
    _, (part,) = played("D D D D | D D D D | D D D D | D D D D", [At(100, names)])
    notes = chroma(part, RATE, 8192, 1024)
    for number, own in enumerate(names):
        share = slice(number * notes.shape[1] // 4 + 4, (number + 1) * notes.shape[1] // 4 - 4)
        heard = notes[:, share].mean(axis=1)
        scores = {
            name: np.mean([heard[pitch] for pitch in {note % 12 for note in chord_notes(name) if note}])
            for name in names
        }
        assert max(scores, key=scores.__getitem__) == own, scores


def test_every_chord_is_about_as_loud() -> None:
    parts = [played("D- DU -U DU", [At(100, (name,))])[1][0] for name in ("G", "Dm", "F#", "Bdim")]
    levels = [20 * np.log10(np.sqrt(np.mean(part.astype(float) ** 2))) for part in parts]
    assert max(levels) - min(levels) < 3.5
    assert max(float(np.abs(part).max()) for part in parts) <= 0.9


def test_a_rest_at_the_start_stops_what_rang() -> None:
    _, parts = played(".- D- -U DD", [At(100, ("G",))] * 2)
    start = parts[1][: round(0.55 * RATE)]
    assert np.abs(start[:400]).max() > 0.01
    assert np.abs(start[round(0.05 * RATE) :]).max() < 0.001
