"""Start to first frame, how long Next waits, and memory over 200 questions of all drills, in a real window.

Run under an X server: ``xvfb-run -s "-screen 0 1280x800x24" python tests/bench/bench_screens.py [COUNT]``.
Targets: first frame under 1.5 s; the next question ready under 100 ms; under 250 MB and flat.
"""

from __future__ import annotations

import os
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

FIRST = """
import sys, time
began = float(sys.argv[1])
from pathlib import Path
from drillapp.screens.frame import app
from drillapp.screens.frame.options import Options
import drillapp.screens.frame.kivy_setup as setup
prepare = setup.prepare_kivy
def prepare_and_watch(*given):
    prepare(*given)
    from kivy.core.window import Window
    def flipped(*_):
        print(time.time() - began, flush=True)
        import os; os._exit(0)
    Window.bind(on_flip=flipped)
app.prepare_kivy = prepare_and_watch
app.run(Options(data=Path(sys.argv[2])))
"""


LIMIT = 900
"""seconds, after which something waits for what does not come"""
DRILLS = ("page_to_sound", "sound_to_page", "strum_it", "write_it_down")


def first_frame(data: Path) -> float:
    """Seconds from the start of the process to the first frame on screen."""
    done = subprocess.run(
        [sys.executable, "-c", FIRST, str(time.time()), str(data)], capture_output=True, text=True, check=True
    )
    return float(done.stdout.split()[0])


def resident() -> dict[str, float]:
    """MB in memory: all of it, and what is not a mapped file."""
    rows = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    return {name: int(rows[name].split()[0]) / 1024 for name in ("VmRSS", "RssAnon")}


def two_hundred(data: Path, questions: int) -> None:
    """Answer so many questions as fast as they come, and print what it cost."""
    os.environ["DRILLAPP_WINDOW"] = "1280x800"
    from drillapp.screens.frame.kivy_setup import prepare_kivy

    prepare_kivy(data / "kivy", (1280, 800))
    from kivy.clock import Clock

    from drillapp.decks.load import load_decks
    from drillapp.drills.kinds import Performance
    from drillapp.drills.strum.grade import Hit
    from drillapp.music import FEATURES
    from drillapp.practice.practice import Practice
    from drillapp.records import open_log
    from drillapp.screens.frame.shell import DrillApp
    from drillapp.screens.questions import flow
    from drillapp.sound import open_player

    def make() -> Practice:
        log = open_log(data / "practice.sqlite")
        practice = Practice(log, *load_decks(), time.time, 7)
        practice.who.add("Mira")
        practice.begin(*FEATURES)
        practice.change("cautions_read", True)
        practice.change("minutes", 60)
        practice.change("drills", DRILLS)
        return practice

    app = DrillApp(make, open_player, data)
    waits: list[float] = []
    done = 0

    def step(_dt: float) -> None:
        nonlocal done
        screen = app.root.screen
        if app.showing in ("today", "summary"):
            app.practice.hears(True)  # all drills are asked, also where there is no sound
            flow.begin(app, app.practice.start())
        elif app.showing in ("answer", "hand_result"):
            began = time.perf_counter()
            screen.next()
            waits.append(time.perf_counter() - began)
        elif app.showing in ("drill", "strum", "write"):
            done += 1
            if app.showing == "drill":
                screen.hear(0)
                screen.pick((None, 0, 1)[done % 3])
            elif app.showing == "write":
                screen.hear()
                while not screen.full:
                    screen.fill("struck")
                screen.done()
            else:
                task = screen.drilling.task
                late = float(task.pattern.tempo) / screen.drilling.tempo
                hits = [
                    Hit(task.pattern.seconds(one.at) * late, one.hand, one.muted, 0.5)
                    for one in task.pattern.strokes[: -1 if done % 2 else None]
                ]
                flow.give(app, screen.drilling, Performance(tuple(hits)) if len(hits) > 1 else None)
                if app.showing == "strum":  # set aside
                    screen.not_sure()
            if done in (1, 10, 25, 50, 100, 150, 200, 300, 400, questions):
                print(f"after {done:4} questions: {resident()}", flush=True)
            if done >= questions:
                app.stop()
                return
        Clock.schedule_once(step, 0.25)

    Clock.schedule_once(step, 1)
    app.run()
    waits.sort()
    print(f"Next: median {1000 * statistics.median(waits):.0f} ms, worst {1000 * waits[-1]:.0f} ms")


def main() -> None:
    signal.alarm(LIMIT)
    questions = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        times = sorted(first_frame(Path(folder)) for _ in range(5))
        print(f"first frame: median {times[2]:.2f} s of {[round(one, 2) for one in times]}")
        two_hundred(Path(folder) / "two", questions)


if __name__ == "__main__":
    main()
