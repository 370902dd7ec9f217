"""A long log behind: start to first frame, start to a filled Today, and Today and Progress from a press on.

Run under an X server: ``xvfb-run -s "-screen 0 1280x800x24" python tests/bench/bench_today.py [ANSWERS]``.
Targets with 10,000 answers: first frame under 1.5 s; Today and Progress under 200 ms until they are drawn.
Prints medians, with this process's own time beside, which a busy machine does not lengthen.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from year import write_log

FIRST = """
import os, sys, time
began = float(sys.argv[1])
from pathlib import Path
from drillapp.screens.frame import app
from drillapp.screens.frame.options import Options
import drillapp.screens.frame.kivy_setup as setup
prepare = setup.prepare_kivy
seen = []
def prepare_and_watch(*given):
    prepare(*given)
    from kivy.core.window import Window
    from drillapp.screens.learner.today import Today
    fill = Today._fill
    filled = []
    def filling(screen):
        fill(screen)
        filled.append(True)
    Today._fill = filling
    def flipped(*_):
        if not seen:
            seen.extend((time.time() - began, time.process_time()))
        if filled:
            print(*seen, time.time() - began, time.process_time(), flush=True)
            os._exit(0)
    Window.bind(on_flip=flipped)
app.prepare_kivy = prepare_and_watch
app.run(Options(data=Path(sys.argv[2])))
"""


def starts(data: Path, times: int) -> None:
    """Seconds from the start of the process to the first frame, and to the first one with Today on it."""
    found = []
    for _ in range(times):
        done = subprocess.run(
            [sys.executable, "-c", FIRST, str(time.time()), str(data)], capture_output=True, text=True
        )
        found.append([float(part) for part in done.stdout.split()[-4:]])
    middle = [1000 * statistics.median(column) for column in zip(*found, strict=True)]
    for what, wall, own in (("first frame", *middle[:2]), ("a filled Today", *middle[2:])):
        print(f"{'start to ' + what:44} {wall:8.0f} ms  (own {own:8.0f} ms)")


def timed(what: str, work: Callable[[], object], times: int = 9) -> None:
    """Print the median of the time that passed, and of this process's own."""
    spans, own = [], []
    for _ in range(times):
        start, start_own = time.perf_counter(), time.process_time()
        work()
        spans.append(time.perf_counter() - start)
        own.append(time.process_time() - start_own)
    wall, share = statistics.median(spans) * 1000, statistics.median(own) * 1000
    print(f"{what:44} {wall:8.1f} ms  (own {share:8.1f} ms)")


def without_a_window(data: Path) -> None:
    from drillapp.decks.load import load_decks
    from drillapp.practice.practice import Practice
    from drillapp.records import open_log

    with open_log(data / "practice.sqlite") as log:
        decks = load_decks()

        def made() -> None:
            Practice(log, *decks, time.time, 7).take_up()

        timed("what is known, made from the log", made, 3)
        practice = Practice(log, *decks, time.time, 7)
        practice.today()
        timed("what Today shows", practice.today)
        timed("what Progress shows", practice.progress)


def in_a_window(data: Path) -> None:
    from drillapp.screens.frame.kivy_setup import prepare_kivy

    prepare_kivy(data / "kivy", (1280, 800))
    from kivy.clock import Clock
    from kivy.core.window import Window

    from drillapp.decks.load import load_decks
    from drillapp.practice.practice import Practice
    from drillapp.records import open_log
    from drillapp.screens.frame.shell import DrillApp
    from drillapp.sound import open_player

    app = DrillApp(
        lambda: Practice(open_log(data / "practice.sqlite"), *load_decks(), time.time, 7), open_player, data
    )
    spans: dict[str, list[tuple[float, float]]] = {"today": [], "progress": []}
    began: list[tuple[str, float, float]] = []

    def press(_dt: float) -> None:
        if not app.practice.ready or app._screens["today"].filled is False:
            Clock.schedule_once(press, 0.1)
            return
        name = "progress" if app.showing == "today" else "today"
        if len(spans["today"]) >= 9:
            app.stop()
            return
        began.append((name, time.perf_counter(), time.process_time()))
        app.go(name)

    def drawn(*_args: object) -> None:
        if began:
            name, wall, own = began.pop()
            spans[name].append((time.perf_counter() - wall, time.process_time() - own))
            Clock.schedule_once(press, 0.2)

    Window.bind(on_flip=drawn)
    Clock.schedule_once(press, 1)
    app.run()
    for name, found in spans.items():
        first = 1000 * found[0][0]
        wall, own = (statistics.median(column) * 1000 for column in zip(*found, strict=True))
        print(f"{name + ', pressed until drawn':44} {wall:8.1f} ms  (own {own:8.1f} ms, first {first:.0f})")


def main() -> None:
    answers = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    os.environ["DRILLAPP_WINDOW"] = "1280x800"
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        write_log(data / "practice.sqlite", answers)
        print(f"{answers:,} answers")
        without_a_window(data)
        starts(data, 5)
        in_a_window(data)


if __name__ == "__main__":
    main()
