"""Rounds that are added while they play: recorded from a null sink, without a gap, each stroke in its place.

The plan's onsets are arithmetic (60 / tempo seconds a beat); where the sink played each stroke is found by
cross-correlation with what was sent. 20 ms is about the shortest gap that the order of two sounds is told by
(Hirsh 1959), 10 ms the design goal for musical timing (Wessel and Wright 2002); both figures from memory.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable

import numpy as np
import pytest
from null_sink import RATE, NullSink, delay_of, patiently, sounding

from drillapp.drills.play_along import Wish, next_round
from drillapp.music import parse
from drillapp.sound import stroke_bank
from drillapp.sound.rounds import Rounds

TEXT, WISH = "D- DU -U DU", Wish(150, 240, step=30, every=1, chords=("G", "D"))
LIBRARIES = [*(["simpleaudio"] if sys.version_info < (3, 12) else []), "miniaudio"]

PLAY = """
import time
from drillapp.drills.play_along import Wish, next_round
from drillapp.music import parse
from drillapp.sound import open_player, stroke_bank
from drillapp.sound.rounds import Rounds
player = open_player({library!r})
player.volume = {volume}
rounds = Rounds(parse({text!r}), stroke_bank)
made = [next_round({wish!r}, 1)]
rounds.ready(made[0].chords + ("D",))
stream = player.stream(rounds.samples(made[0]), seconds=60)
ends = rounds.length(made[0]) / 44100
turned = False
while len(made) < {count} or stream.position < ends - 0.12:  # what a device still holds is not heard yet
    if len(made) < {count} and stream.position > ends - 0.7:
        made.append(next_round({wish!r}, 1, made[-1]))
        stream.extend(rounds.samples(made[-1], made[:-1]))
        ends += rounds.length(made[-1]) / 44100
    if {turn} and not turned and stream.position > 2.0:
        player.volume, turned = 0.2, True
    time.sleep(0.01)
time.sleep(0.6)
stream.stop()
print('["' + player.name + '"]')
player.close()
"""


def planned(count: int) -> tuple[np.ndarray, list[int]]:
    """What is to be heard, and the sample of each stroke: 60 / tempo seconds to a beat."""
    rounds, made, onsets, start = Rounds(parse(TEXT), stroke_bank), [], [], 0.0
    parts = []
    for _ in range(count):
        made.append(next_round(WISH, 1, made[-1] if made else None))
        parts.append(rounds.samples(made[-1], made[:-1]))
        beat = 60 / float(made[-1].tempo)
        onsets += [round((start + float(stroke.at) * beat) * RATE) for stroke in parse(TEXT).strokes]
        start += 4 * beat
    return np.concatenate(parts), onsets


@pytest.mark.parametrize("library", LIBRARIES)
def test_rounds_follow_one_another_without_a_gap_and_on_their_beats(
    library: str, null_sink: NullSink, in_sink: Callable[[str], str]
) -> None:
    count = 5
    samples, onsets = planned(count)

    def check() -> None:
        code = PLAY.format(library=library, text=TEXT, wish=WISH, count=count, volume=1.0, turn=False)
        with null_sink.recording() as recorded:
            printed = in_sink(code)
        assert json.loads(printed) == [library]
        whole = delay_of(samples, recorded.samples)
        errors = []
        for start, end in zip(onsets, [*onsets[1:], len(samples)], strict=True):
            near = RATE // 20
            window = recorded.samples[whole + start - near : whole + end + near]
            errors.append((delay_of(samples[start:end], window) - near) / RATE)
        print(library, "largest error of an onset, ms:", 1000 * max(map(abs, errors)))
        assert max(map(abs, errors)) < 0.010
        heard = recorded.samples[whole : whole + len(samples)]
        assert _longest_silence(heard) < 0.020

    patiently(check)


@pytest.mark.parametrize("library", LIBRARIES)
def test_the_volume_is_turned_while_it_plays_and_without_a_click(
    library: str, null_sink: NullSink, in_sink: Callable[[str], str]
) -> None:
    samples, _ = planned(3)

    def check() -> None:
        code = PLAY.format(library=library, text=TEXT, wish=WISH, count=3, volume=0.8, turn=True)
        with null_sink.recording() as recorded:
            in_sink(code)
        whole = delay_of(samples, recorded.samples)
        heard = recorded.samples[whole : whole + len(samples)]
        loud, soft = slice(0, round(1.9 * RATE)), slice(round(2.4 * RATE), len(samples))
        for part, factor in ((loud, 0.8), (soft, 0.2)):
            gain = float(heard[part] @ samples[part] / (samples[part] @ samples[part]))
            assert gain == pytest.approx(factor, rel=0.02)
        turn = slice(loud.stop, soft.start)
        assert np.abs(np.diff(heard[turn])).max() <= np.abs(np.diff(0.8 * samples[turn])).max() * 1.05

    patiently(check)


def _longest_silence(heard: np.ndarray) -> float:
    """Seconds of the longest run without a sample above -80 dB."""
    first, last = sounding(heard, 1e-4)
    loud = np.flatnonzero(np.abs(heard[first:last]) > 1e-4)
    return float(np.diff(loud).max()) / RATE


def test_a_gap_would_be_seen() -> None:
    samples, _ = planned(2)
    torn = samples.copy()
    torn[40000:42000] = 0
    assert _longest_silence(samples) < 0.020 < _longest_silence(torn)
