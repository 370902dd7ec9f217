"""The first day of four kinds of new learner in a real window, by real keys and drags, in pictures. By hand:

    python tests/screens/first_days.py FOLDER [KIND...] [--portrait]

Saves FOLDER/KIND-NUMBER-SCREEN.png for each screen the first times that it shows, and prints what was asked.
The learners: knows nothing; knows letters; misreads ties (as struck again); reads all.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path += [str(HERE), str(HERE.parent / "sound"), str(HERE.parents[1])]

from null_sink import NullSink  # noqa: E402
from window import AppWindow, XServer  # noqa: E402
from xtest import XTest, wait_until  # noqa: E402

from drillapp.music import FEATURES, features_to_ask, parse  # noqa: E402

LETTERS = {"beat", "offbeat", "skip", "mute", "accent", "sixteenth", "direction"}
READS = {
    "knows-nothing": set[str](),
    "knows-letters": LETTERS,
    "misreads-ties": set(FEATURES) - {"tie"},
    "reads-all": set(FEATURES),
}
ASKS = ("drill", "strum", "write", "meet")
PICTURES = 3
"""of one screen"""
ENOUGH = 26
"""questions of a day"""


class Day:
    """One learner's first day."""

    def __init__(self, app: AppWindow, kind: str, folder: Path) -> None:
        self.app, self.kind, self.folder = app, kind, folder
        self.reads = READS[kind]
        self._seen: Counter[str] = Counter()
        self._number = 0
        self._rng = random.Random(5)

    def picture(self, name: str) -> None:
        self._seen[name] += 1
        if self._seen[name] <= PICTURES:
            time.sleep(0.3)  # by hand only: a screen is drawn some frames after it is told
            self._number += 1
            self.app.screen.shoot(self.folder / f"{self.kind}-{self._number:02}-{name}.png")

    def all(self) -> None:
        app = self.app
        app.wait(screen="cautions")
        self.picture("cautions")
        app.click("cautions-read")
        app.wait(screen="first", step="name")
        self.picture("name")
        app.screen.do("type", "--delay", "60", "Ana")
        app.until(lambda seen: seen["controls"]["first-name"]["text"] == "Ana", "the name")
        app.click("first-named")
        app.wait(screen="first", step="reads")
        self.picture("reads")
        app.click("first-new" if not self.reads else "first-reads")
        app.until(lambda seen: seen["screen"] in ASKS)
        self.through("first", "today")
        if app.seen["screen"] == "first":
            self.picture("placed")
            app.press("Return")
            app.until(lambda seen: seen["screen"] in (*ASKS, "today"))
            self.through("today")
        self.picture("today")
        app.click("start")
        app.until(lambda seen: seen["screen"] in ASKS)
        self.through("summary", "today")
        if app.seen["screen"] == "summary":
            self.picture("summary")
            app.press("Return")
        app.wait(screen="today")
        self.picture("today")
        for tab in ("signs", "progress", "decks"):
            app.click(f"tab-{tab}")
            app.wait(screen=tab)
            self.picture(tab)
        app.click("tab-today")
        app.wait(screen="today")
        app.click("play-along")
        app.wait(screen="play_along")
        self.picture("play_along")

    def through(self, *ends: str) -> None:
        """Answer what is put until one of these screens shows."""
        asked = 0
        while True:
            seen = self.app.until(lambda seen: seen["screen"] in (*ASKS, *ends), f"{ends} or a question")
            if seen["screen"] in ends:
                return
            self.picture(seen["screen"])
            if seen["screen"] == "meet":
                self.meet(seen)
                continue
            asked += 1
            number, screen = seen["number"], seen["screen"]
            pattern = parse(seen["pattern"], seen["meter"], seen["tempo"])
            held = features_to_ask(pattern)
            print(self.kind, number, screen, seen["meter"], seen["pattern"], seen["tempo"], flush=True)
            if asked > ENOUGH:
                self.app.press("Escape")
                self.app.wait(screen="today")
                return
            {"drill": self.pick, "strum": self.strum, "write": self.write}[screen](seen, pattern, held)
            now = self.app.until(
                lambda seen, n=number: (
                    seen["screen"] in ("answer", "hand_result", *ends) or seen.get("number") not in (n, None)
                ),
                "its answer",
            )
            if now["screen"] in ("answer", "hand_result"):
                kind = "right" if now.get("right") else "wrong"
                self.picture(f"{now['screen']}-{screen}-{kind}")
                self.app.press("Return")
                self.app.until(lambda seen: seen["screen"] not in ("answer", "hand_result"), "what is next")

    def meet(self, seen: dict[str, Any]) -> None:
        self.app.press("h")
        self.app.until(lambda seen: seen["playing"], "both heard")
        if self._seen["trying"] == 0:
            self.picture("hearing")
            self.app.press("t")
            self.app.wait(trying=True)
            self.picture("trying")
        self.app.press("Return")
        feature = seen["feature"]
        self.app.until(lambda now: (now["screen"], now.get("feature")) != ("meet", feature), "on")

    def pick(self, seen: dict[str, Any], pattern: Any, held: frozenset[str]) -> None:
        texts = seen["candidates"]
        right = texts.index(pattern.text) if pattern.text in texts else 0
        known = held <= self.reads and self._rng.random() < 0.97
        other = [index for index in range(len(texts)) if index != right]
        pick = (
            right if known else self._rng.choice(other) if "tie" in held else self._rng.randrange(len(texts))
        )
        self.app.press(str(pick + 1))

    def strum(self, seen: dict[str, Any], pattern: Any, held: frozenset[str]) -> None:
        if not held - {"tie"} <= self.reads and self._rng.random() < 0.5:
            self.app.press("n")
            return
        server = XTest(self.app.screen.display)
        self.app.press("Return")
        first = self.app.until(lambda seen: seen.get("first_beat"), "a count-in")["first_beat"]
        self.picture("counting-in")
        first += time.perf_counter() - time.time()
        for index, stroke in enumerate(pattern.strokes):
            wait_until(first + pattern.seconds(stroke.at) + self._rng.gauss(0, 0.015))
            held_down = [key for key, on in (("space", stroke.muted), ("Shift_L", stroke.accent)) if on]
            struck = "f" if stroke.hand == "down" else "j"
            for key in (*held_down, struck):
                server.key(key, True)
            for key in (struck, *held_down):
                server.key(key, False)
            if index == len(pattern.strokes) - 1:
                self.picture("strumming")

    def write(self, seen: dict[str, Any], pattern: Any, held: frozenset[str]) -> None:
        if not held <= self.reads or seen["slots"] != len(pattern.places):
            for _ in range(seen["slots"]):
                self.app.press("f")
            self.app.wait(full=True)
            self.picture("written")
            self.app.press("Return")
            return
        for place in pattern.places:
            slot = place.slot
            if slot.action != "strike":
                self.app.press("minus" if slot.action == "ring" else "period")
            else:
                plain = "f" if slot.hand == "down" else "j"
                self.app.press("x" if slot.muted else "v" if slot.accent else plain)
        self.app.wait(full=True)
        self.picture("written")
        self.app.press("Return")


def main() -> None:
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    size = (800, 1280) if "--portrait" in sys.argv else (1280, 800)
    for kind in [word for word in sys.argv[2:] if word in READS] or list(READS):
        data = Path(tempfile.mkdtemp(prefix="first-day-"))
        with (
            NullSink() as sink,
            XServer(*size) as screen,
            AppWindow(screen, data / "data", environment=sink.environment()) as app,
        ):
            Day(app, kind, folder).all()
        shutil.rmtree(data)


if __name__ == "__main__":
    main()
