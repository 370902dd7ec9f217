"""A deck of 500 patterns on the Decks screen and in the editor: opening it, and a frame while it scrolls.

Run under an X server: ``xvfb-run -s "-screen 0 1280x800x24" python tests/bench/bench_deck_screens.py``.
Targets: opened under 300 ms; a frame of scrolling under 1/60 s = 16.7 ms of the app's own work.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

PATTERNS = 500


def write_big_deck(folder: Path) -> None:
    """A deck file with so many of the course's patterns, each with a title of its own."""
    from drillapp.decks.folder import save_deck
    from drillapp.decks.load import load_decks

    course = load_decks()[0]
    patterns = [one for deck in course for one in deck.patterns]
    big = tuple(
        replace(patterns[n % len(patterns)], title=f"Pattern {n + 1}", line=0) for n in range(PATTERNS)
    )
    path = folder / "big.toml"
    save_deck(replace(course[0], name="big", title="Big", patterns=big, source=str(path), signs=()), path)


def main(frames: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        write_big_deck(data / "decks")
        from drillapp.screens.frame.kivy_setup import prepare_kivy

        prepare_kivy(data / "kivy", (1280, 800))
        from kivy.clock import Clock
        from kivy.core.window import Window

        from drillapp.decks.load import load_decks
        from drillapp.practice.practice import Practice
        from drillapp.records import open_log
        from drillapp.screens.frame.shell import DrillApp
        from drillapp.sound import open_player

        def make() -> Practice:
            return Practice(
                open_log(data / "practice.sqlite"), *load_decks(data / "decks"), time.time, 7, "bench"
            )

        app = DrillApp(make, open_player, data)

        def opened(name: str, **given: Any) -> float:
            """Milliseconds until the screen is laid out and drawn."""
            began = time.perf_counter()
            app.go(name, **given)
            for _ in range(2):
                Clock.tick_draw()
                Window.canvas.ask_update()
                Window.dispatch("on_draw")
            return 1000 * (time.perf_counter() - began)

        def scrolled(view: Any) -> tuple[list[float], list[float]]:
            """Milliseconds of the app's work and of drawing, each frame, while the list runs to its end."""
            took, drawn = [], []
            for frame in range(frames):
                began = time.perf_counter()
                view.scroll_y = 1 - frame / frames
                Clock.tick_draw()
                took.append(1000 * (time.perf_counter() - began))
                began = time.perf_counter()
                Window.dispatch("on_draw")
                drawn.append(1000 * (time.perf_counter() - began))
            return sorted(took), sorted(drawn)

        def measure(_dt: float) -> None:
            from drillapp.decks.draft import draft_of

            decks = app.practice.decks
            opened("today")
            say = [("decks, first time", opened("decks", deck="big"))]
            opened("today")
            say.append(("decks, again", opened("decks", deck="big")))
            view = app.root.screen.ids.patterns
            listed = len(view.data)
            took, drawn = scrolled(view)
            for name in ("editor, first time", "editor, again"):
                say.append((name, opened("deck_editor", draft=draft_of(decks[-1], None, decks))))
                opened("today")
            print(f"{listed} patterns listed; opened in " + ", ".join(f"{n}: {ms:.0f} ms" for n, ms in say))
            print(
                f"scrolling, {frames} frames: median {statistics.median(took):.1f} ms, "
                f"95 of 100 under {took[int(len(took) * 0.95)]:.1f} ms; "
                f"drawing on this machine: median {statistics.median(drawn):.1f} ms"
            )
            app.stop()

        Clock.schedule_once(measure, 1)
        app.run()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
