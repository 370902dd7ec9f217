"""24 simulated hours in one real window: 5,000 questions of all drills, in both orientations. By hand:

    xvfb-run -a -s "-screen 0 1280x1280x24" python -m tests.destroy.soak [QUESTIONS]

Prints a line each SAMPLE questions, then how far memory, handles, threads and files are from the first hour.
The clock runs on by 24 hours / 5,000 a question; drills, screens, log and window are the real ones.
"""

from __future__ import annotations

import gc
import json
import os
import random
import sys
import threading
import time
import traceback
from pathlib import Path
from typing import Any

from drillapp.decks.load import load_decks
from drillapp.music import FEATURES
from drillapp.practice.opening import LOG_FILE, open_practice
from drillapp.records import LogError, open_log
from drillapp.screens.frame.kivy_setup import prepare_kivy

from .material import NOON
from .outcome import folder

MOST = 5_000
STEP = 86_400 / MOST
HOUR = round(3_600 / STEP)
SAMPLE = 50
FLAT = 0.05
SIZES = ((1280, 800), (800, 1280))
DRILLS = ("page_to_sound", "sound_to_page", "strum_it", "write_it_down")
WAITS_FOR = 20_000
"""Frames in which nothing new came: it is stuck."""


def measured(data: Path) -> dict[str, int]:
    """Memory in KiB, open handles, threads, files."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return {
        "KiB": pages * os.sysconf("SC_PAGE_SIZE") // 1024,
        "handles": len(os.listdir("/proc/self/fd")),
        "threads": threading.active_count(),
        "files": sum(one.is_file() for one in data.rglob("*")),
    }


class Soak:
    """Presses what a learner presses, a step a frame."""

    def __init__(self, app: Any, data: Path, questions: int, clock: list[float]) -> None:
        from kivy.clock import Clock

        self.app, self.data, self.questions, self.clock = app, data, questions, clock
        self.rng = random.Random(6)
        self.given = self.idle = self.sittings = 0
        self.samples: list[dict[str, int]] = []
        self.fault = ""
        Clock.schedule_interval(self._frame, 0)

    def _frame(self, _dt: float) -> bool:
        self.idle += 1
        try:
            self._step()
        except Exception:
            self.fault = traceback.format_exc()
        if self.idle > WAITS_FOR:
            self.fault = f"stuck on {self.app.showing}"
        if self.fault or self.given >= self.questions:
            self.app.stop()
            return False
        return True

    def _step(self) -> None:
        name, screen = self.app.showing, self.app.root.screen
        for notice in list(self.app.root.notices):
            self.app.root.put_away(notice)
        if name in ("drill", "strum", "write"):
            self._answer(name, screen)
        elif name in ("answer", "hand_result"):
            if self.rng.random() < 0.02:
                screen.key("z", [])
                self.given -= self.app.showing != name
            else:
                screen.key("enter", [])
        elif name == "today":
            self._begin(screen)
        else:
            screen.key("enter", [])

    def _answer(self, name: str, screen: Any) -> None:
        before = screen.drilling
        if name == "drill" and self.rng.random() < 0.9:
            screen.key(str(self.rng.randint(1, 2)), [])
        elif name == "write" and self.rng.random() < 0.7:
            for _ in range(40):
                screen.key(self.rng.choice("du-x"), [])
            screen.key("enter", [])
        if self.app.showing == name and before.result is None:
            screen.key("n", [])
        if self.app.showing != name:
            self.given += 1
            self.idle = 0
            self.clock[0] += STEP
            if not self.given % SAMPLE:
                self.samples.append({"given": self.given, **measured(self.data)})
                print(json.dumps(self.samples[-1]), flush=True)

    def _begin(self, screen: Any) -> None:
        from kivy.core.window import Window

        self.sittings += 1
        Window.size = SIZES[self.sittings % 2]
        for other in ("progress", "signs", "decks", "settings", "learners", "forecasts"):
            self.app.go(other)
        self.app.go("today")
        self.app.root.screen.key("enter", [])


def said(samples: list[dict[str, int]]) -> list[str]:
    """What of it grows by more than FLAT after the first hour, and the figures."""
    if not samples or samples[-1]["given"] <= HOUR:
        return ["too short: nothing after the first hour"]
    first = next(one for one in samples if one["given"] >= HOUR)
    lines = []
    for what in ("KiB", "handles", "threads", "files"):
        most = max(one[what] for one in samples if one["given"] >= HOUR)
        growth = most / first[what] - 1
        grew = "grew" if growth > FLAT else "flat"
        lines.append(f"{what}: {grew}: {first[what]} after an hour, at most {most} after it ({growth:+.1%})")
    return lines


def main() -> int:
    questions = int(sys.argv[1]) if len(sys.argv) > 1 else MOST
    clock = [NOON]
    with folder() as data:
        with open_log(data / LOG_FILE) as log:
            learner = log.learners.add("Mira", NOON).id
            log.settings.set("drills", DRILLS, learner)
            log.settings.set("met_signs", FEATURES, learner)
            log.settings.set("minutes", 60, learner)
            log.settings.set("cautions_read", True)
        prepare_kivy(data / "kivy", SIZES[0])
        from kivy.clock import Clock

        from drillapp.screens.frame.shell import DrillApp
        from drillapp.sound import open_player

        app = DrillApp(
            lambda: open_practice(data, load_decks, lambda: clock[0], seed=6),
            lambda _preferred: open_player("silent"),
            data,
            (LogError,),
        )
        begun: list[Soak] = []
        Clock.schedule_once(lambda _dt: begun.append(Soak(app, data, questions, clock)), 0.5)
        start = time.monotonic()
        app.run()
        (soak,) = begun
        with open_log(data / LOG_FILE) as log:
            there = [one.id for one in log.answers()]
    print(f"{soak.given} questions, {soak.sittings} sittings, {time.monotonic() - start:.0f} s")
    print("\n".join(lines := said(soak.samples)))
    if soak.fault:
        print(soak.fault)
    if len(there) != len(set(there)):
        print("an answer twice")
    return int(bool(soak.fault) or len(there) != len(set(there)) or any("grew" in one for one in lines))


if __name__ == "__main__":
    sys.exit(main())
