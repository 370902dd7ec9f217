"""Measure the sound: speed and memory, the players on a null sink, and what a machine listener hears.

    python tests/bench/bench_sound.py                     speed and memory
    python tests/bench/bench_sound.py players [MINUTES]   start times; dropouts while the interface is busy
    python tests/bench/bench_sound.py listener [VOICE] [CHORD]   every shipped pattern at 60, 90 and 120

Prints medians, spreads and counts. Times are of a machine that may be busy with other work.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "sound")]

from drillapp.music import parse  # noqa: E402
from drillapp.sound import onset_samples, render  # noqa: E402
from drillapp.sound.bank_files import read_bank, save_bank  # noqa: E402
from drillapp.sound.strokes import make_bank  # noqa: E402

RATE = 44100
TWO_BARS = "D-DU X-DU D-DU X-DU | D- >DU -U DU"


def times(work: Callable[[], object], count: int = 15) -> tuple[float, float]:
    """Median and least time in ms of so many runs."""
    taken = []
    for _ in range(count):
        start = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - start))
    return median(taken), min(taken)


def speed() -> None:
    start = time.perf_counter()
    bank = make_bank("G")
    print(f"stroke bank, first in a process: {1000 * (time.perf_counter() - start):.0f} ms")
    for chord, voice in (("G", "steel"), ("E", "steel"), ("D", "nylon")):
        middle, least = times(lambda c=chord, v=voice: make_bank(c, v), 5)
        size = make_bank(chord, voice).size / 1e6
        print(f"stroke bank {chord} {voice}: median {middle:.0f} ms, least {least:.0f} ms, {size:.1f} MB")
    with tempfile.TemporaryDirectory() as folder:
        path = save_bank(bank, Path(folder))
        middle, least = times(lambda: read_bank(Path(folder), "G", "steel", RATE))
        size = path.stat().st_size / 1e6
        print(f"bank from disk: median {middle:.0f} ms, least {least:.0f} ms, {size:.1f} MB")
    pattern = parse(TWO_BARS, tempo=90)
    for tempo in (60, 90, 160):
        seconds = len(render(pattern, tempo, bank=bank)) / RATE
        middle, least = times(lambda t=tempo: render(pattern, t, bank=bank))
        print(
            f"two bars at {tempo}: {seconds:.1f} s of sound, median {middle:.1f} ms "
            f"({1000 * seconds / middle:.0f} times real time), least {least:.1f} ms "
            f"({1000 * seconds / least:.0f} times)"
        )


STARTS = """
import json, sys, time
import numpy as np
from drillapp.sound import open_player  # noqa: E402
player = open_player({library!r})
player.volume = 1.0
burst = (np.random.default_rng(1).standard_normal(2205) * 0.3).astype(np.float32)
time.sleep(0.5)
calls, took = [], []
for index in range({count}):
    time.sleep(0.5 + 0.05 * np.random.default_rng(index).random())
    calls.append(time.monotonic())
    player.play(burst)
    took.append(time.monotonic() - calls[-1])
time.sleep(0.5)
print(json.dumps([player.name, player.latency, calls, took]))
player.close()
"""

LONG = """
import sys, time
import numpy as np
from drillapp.music import parse  # noqa: E402
from drillapp.sound import open_player, render  # noqa: E402
player = open_player({library!r})
player.volume = 1.0
noise = np.tile((np.random.default_rng(3).standard_normal(44100 * 10) * 0.1).astype(np.float32), {tens})
time.sleep(0.5)
handle = player.play(noise)
end = time.monotonic() + len(noise) / 44100 + 0.5
pattern = parse("D-DU X-DU D-DU X-DU")
while time.monotonic() < end:
    # An interface that is busy: Python and numpy by turns, and a short pause.
    sum(i * i for i in range(40000))
    render(pattern, 90)
    time.sleep(0.005)
player.close()
"""


def children(code: str, sink: object) -> str:
    environment = {**sink.environment(), "PYTHONPATH": str(ROOT)}  # type: ignore[attr-defined]
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    return done.stdout


def players(minutes: float) -> None:
    libraries = ["simpleaudio"] if sys.version_info < (3, 12) else []
    for library in [*libraries, "miniaudio"]:
        starts(library)
        if minutes:
            long_play(library, minutes)


def starts(library: str) -> None:
    """When 40 short sounds were heard, against when they were asked for."""
    from null_sink import NullSink, delay_of

    with NullSink(rewinds=True) as sink, sink.recording() as recorded:
        printed = children(STARTS.format(library=library, count=40), sink)
    name, latency, calls, took = json.loads(printed)
    burst = (np.random.default_rng(1).standard_normal(2205) * 0.3).astype(np.float32)
    begun = []
    for call in calls:
        first = max(0, round((call - recorded.started - 0.1) * RATE))
        window = recorded.samples[first : first + round(0.5 * RATE)]
        begun.append((first + delay_of(burst, window)) / RATE + recorded.started - call)
    late = 1000 * np.array(begun)
    middle = np.median(late)
    sturdy = 1.4826 * np.median(np.abs(late - middle))
    print(
        f"{name}: start SD {np.std(late):.2f} ms over {len(late)}, {sturdy:.2f} "
        f"by the median deviation, range {np.ptp(late):.1f} ms; latency about {middle:.0f} ms, reported "
        f"{1000 * latency:.0f} ms; play returns in {1000 * median(took):.2f} ms (most {1000 * max(took):.1f})"
    )


def long_play(library: str, minutes: float) -> None:
    """Noise for some minutes while the interface is busy, held against what was recorded."""
    from null_sink import NullSink

    tens = max(1, round(minutes * 6))
    with NullSink() as sink, sink.recording() as recorded:
        children(LONG.format(library=library, tens=tens), sink)
    piece = (np.random.default_rng(3).standard_normal(RATE * 10) * 0.1).astype(np.float32)
    print(f"{library}: {dropouts(piece, tens, recorded.samples)} in {tens / 6:.1f} minutes, interface busy")


def dropouts(piece: np.ndarray, count: int, recorded: np.ndarray) -> str:
    """How often the recorded sound jumps against what was played, looked at ten times a second."""
    from null_sink import delay_of, sounding

    start, _ = sounding(recorded)
    start = max(0, start - RATE // 2) + delay_of(
        piece[:RATE], recorded[max(0, start - RATE // 2) :][: 3 * RATE]
    )
    jumps, step, offset, lost = [], RATE // 10, 0, 0
    for tenth in range(count * 100):
        part = piece[tenth % 100 * step :][:step]
        at = start + tenth * step + offset
        if np.abs(recorded[at : at + step] - part[: len(recorded) - at]).max(initial=0.0) < 2e-3:
            continue
        near = max(0, at - RATE // 4)
        window = recorded[near : at + step + RATE // 4]
        if len(window) < step:
            lost += 1
            continue
        moved = near + delay_of(part, window) - at
        jumps.append(moved)
        offset += moved
    moves = [jump for jump in jumps if jump]
    return f"{len(jumps)} of {count * 100} tenths disturbed, {len(moves)} shifts {moves[:6]}, {lost} lost"


def listener(voice: str, chord: str) -> None:
    import mir_eval
    from listener import DELAY, accents_by_others, hear, told_apart

    from drillapp.decks.load import load_decks
    from drillapp.drills.ear import heard_apart
    from drillapp.music.ways import factors, write

    decks, _ = load_decks()
    patterns = [entry.pattern for deck in decks for entry in deck.patterns]
    matched = {0.05: 0, 0.03: 0, 0.01: 0}
    written = heard_count = mutes = right_mutes = 0
    stops = [0, 0, 0]
    heard_list, accents, verdicts, missed = [], [], Counter(), []
    rng = np.random.default_rng(2)
    for pattern in patterns:
        for tempo in (60, 90, 120):
            heard = hear(render(pattern, tempo, chord, voice=voice), RATE)
            onsets, found = onset_samples(pattern, tempo) / RATE, heard.times - DELAY
            for window in matched:
                matched[window] += len(mir_eval.util.match_events(onsets, found, window))
            written, heard_count = written + len(onsets), heard_count + len(found)
            for a, b in mir_eval.util.match_events(onsets, found, 0.05):
                right_mutes += pattern.strokes[a].muted == heard.muted[b]
                mutes += 1
            stretch = float(pattern.tempo) / tempo
            silences = heard.stops[heard.stops < pattern.seconds(pattern.length) * stretch] - 0.025
            rests = np.array([pattern.seconds(at) * stretch for at in pattern.stops])
            for index, part in enumerate(
                (mir_eval.util.match_events(rests, silences, 0.05), rests, silences)
            ):
                stops[index] += len(part)
            if len(heard.times) == len(pattern.strokes):
                heard_list.append(heard)
                accents.append(np.array([stroke.accent for stroke in pattern.strokes]))
            played = replace(pattern, tempo=tempo)
            edits = [
                (factor.kind, edited)
                for factor in factors(played)
                for way in factor.ways
                if heard_apart(played, edited := write(played, [(factor, way)]))
            ]
            if edits:
                kind, edited = edits[rng.integers(len(edits))]
                verdict = told_apart(heard, hear(render(edited, tempo, chord, voice=voice), RATE))
                verdicts[kind, verdict] += 1
                if not verdict:
                    missed.append((kind, tempo, pattern.text, edited.text))
    for window, count in matched.items():
        print(
            f"onset F within {1000 * window:.0f} ms: {2 * count / (written + heard_count):.4f} of {written}"
        )
    print(f"mute or ring right: {right_mutes / mutes:.4f}")
    print(f"rests: {stops[0]} right of {stops[1]} written and {stops[2]} heard")
    truth, guess = np.concatenate(accents), accents_by_others(heard_list, accents)
    print(
        f"accents right: {np.mean(truth == guess):.4f}; of {truth.sum()} written {np.mean(guess[truth]):.3f} "
        f"are found, of those found {np.mean(truth[guess]):.3f} are written"
    )
    total = sum(verdicts.values())
    print(f"one-edit pairs told apart: {1 - len(missed) / total:.4f} of {total}: {dict(verdicts)}")
    for miss in missed[:10]:
        print("  missed", *miss)


if __name__ == "__main__":
    task = sys.argv[1] if len(sys.argv) > 1 else "speed"
    if task == "players":
        players(float(sys.argv[2]) if len(sys.argv) > 2 else 1.0)
    elif task == "listener":
        listener(*(sys.argv[2:4] + ["steel", "G"][len(sys.argv) - 2 :]))
    else:
        speed()
