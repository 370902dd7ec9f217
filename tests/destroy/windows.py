"""SIGKILL of the real window while questions are answered. By hand:

    python -m tests.destroy.windows [TIMES]

Every answer whose feedback was shown is in the log exactly once, and at most one more.
"""

from __future__ import annotations

import importlib.util
import json
import os
import random
import sys
import time
from pathlib import Path
from typing import Any

from drillapp.music import FEATURES
from drillapp.practice.opening import LOG_FILE
from drillapp.records import open_log

from .outcome import ROOT, Outcome, folder

SHOWS = ("answer", "hand_result")
ASKS = ("drill", "strum", "write")
DRILLS = ("page_to_sound", "sound_to_page", "strum_it", "write_it_down")
LONGEST = 4.0
"""Seconds from the first question to the kill, at most."""


def _window() -> Any:
    spec = importlib.util.spec_from_file_location("window", ROOT / "tests" / "screens" / "window.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["window"] = module
    spec.loader.exec_module(module)
    return module


def window_kills(times: int, seed: int = 8) -> Outcome:
    """So many kills on one log, each at a random moment of answering by real keys."""
    window, rng = _window(), random.Random(seed)
    outcome = Outcome("killed in the real window while answering")
    with folder() as place, window.XServer(1280, 800) as screen:
        data = place / "data"
        with open_log(data / LOG_FILE) as log:
            learner = log.learners.add("Mira").id
            log.settings.set("drills", DRILLS, learner)
            log.settings.set("met_signs", FEATURES, learner)
            log.settings.set("minutes", 60, learner)
            log.settings.set("cautions_read", True)
        shown, before = 0, 0
        for _ in range(times):
            outcome.tried += 1
            with window.AppWindow(screen, data, environment=_silent(place)) as app:
                app.wait(screen="today")
                app.press("Return")
                app.until(lambda seen: seen["screen"] in ASKS, "a question")
                until = time.monotonic() + rng.uniform(0, LONGEST)
                while time.monotonic() < until:
                    seen = app.look()
                    app.press("n" if seen["screen"] in ASKS else "Return")
                app.kill()
                now = _shown(app.trace)
            with open_log(data / LOG_FILE) as log:
                there = [one.id for one in log.answers()]
            shown += now
            new = len(there) - before
            before = len(there)
            if not now <= new <= now + 1 or len(there) != len(set(there)):
                outcome.fell.append(f"{now} shown, {new} new, {len(there) - len(set(there))} twice")
    outcome.note = f"{shown} answers shown, {before} in the log"
    return outcome


def _shown(trace: Path) -> int:
    """How many answers' feedback was on screen; one that is looked at again is the same."""
    lines = trace.read_bytes().split(b"\n")[:-1]
    names = [json.loads(line)["screen"] for line in lines]
    return sum(one in SHOWS and before in ASKS for before, one in zip(["", *names], names, strict=False))


def _silent(place: Path) -> dict[str, str]:
    """No sound: no device of the user's is opened."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("PULSE")}
    (place / "no-sound").mkdir(exist_ok=True)
    return {**kept, "XDG_RUNTIME_DIR": str(place / "no-sound"), "ALSA_CONFIG_PATH": os.devnull}


def main() -> int:
    outcome = window_kills(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
    print(outcome.what, outcome.tried, len(outcome.fell), outcome.note, *outcome.fell, sep="\n  ")
    return int(bool(outcome.fell))


if __name__ == "__main__":
    sys.exit(main())
