"""Strum it in a real window, strummed by real X events from another process; prints what came of them.

    DISPLAY=:99 python strummed.py FOLDER keys|drags|fingers COUNT [RATE] [POLLING]

One long take of the app on the stand-in's session. Prints JSON:
``made`` and ``heard`` (seconds on one clock),
``hands``, and ``cpu``, the part of a core that the app took meanwhile. POLLING: times a second that the
loop looks for input, in place of the app's own.

Fingers are handed to Kivy's own provider of them, since X has none to inject: one strums while another holds
the palm pad for the first half of the strokes; ``muted`` tells which strokes were.
"""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from drillapp.music import parse
from drillapp.screens.frame.kivy_setup import prepare_kivy
from drillapp.sound import open_player

HERE = Path(__file__).parent
PAGE = parse(
    " | ".join(["DUDU DUDU DUDU DUDU"] * 4), tempo=40
)  # four times through: over a minute and a half
SIZE = (1280, 800)


def stand_in() -> Any:
    spec = importlib.util.spec_from_file_location("stand_in", HERE / "stand_in.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["stand_in"] = module
    spec.loader.exec_module(module)
    return module


class Fingers:
    """Two fingers; ``poll`` gives None until they are done, as that of a process."""

    def __init__(self, screen: Any, count: int, rate: float) -> None:
        from kivy.clock import Clock
        from kivy.core.window import Window
        from kivy.core.window.window_sdl2 import SDL2MotionEventProvider

        self.made: list[float] = []
        self._send = SDL2MotionEventProvider.q.appendleft
        self._size = Window.size
        self._palm, self._field = screen.ids.palm, screen.ids.field
        self._count = count
        self._finger("fingerdown", 1, self._palm, 0.5)
        self._tick = Clock.schedule_interval(self._stroke, 1 / rate)

    def poll(self) -> int | None:
        return 0 if len(self.made) >= self._count else None

    def _finger(self, action: str, finger: int, widget: Any, height: float) -> None:
        """An event as SDL sends it: shares of the window, from its upper left corner."""
        x, y = widget.to_window(widget.center_x, widget.y + widget.height * height)
        self._send((action, finger, x / self._size[0], 1 - y / self._size[1], 1.0))

    def _stroke(self, _dt: float) -> bool:
        number = len(self.made)
        if number == self._count // 2:
            self._finger("fingerup", 1, self._palm, 0.5)
        heights = (0.8, 0.6, 0.4, 0.2) if number % 2 == 0 else (0.2, 0.4, 0.6, 0.8)
        for action, height in zip(
            ("fingerdown", "fingermotion", "fingermotion", "fingerup"), heights, strict=True
        ):
            self._finger(action, 2, self._field, height)
        self.made.append(time.perf_counter())
        return len(self.made) < self._count


def main() -> None:
    folder, by, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    rate = float(sys.argv[4]) if len(sys.argv) > 4 else 12.0
    folder.mkdir(parents=True, exist_ok=True)
    prepare_kivy(folder / "kivy", SIZE)
    from kivy.clock import Clock
    from kivy.core.window import Window

    from drillapp.screens.frame import polling
    from drillapp.screens.frame.shell import DrillApp
    from drillapp.screens.questions import flow

    if len(sys.argv) > 5:
        polling.LISTENING = int(sys.argv[5])
    practice = stand_in().StandIn()
    practice.change("drills", ("strum_it",))
    app = DrillApp(lambda: practice, lambda _preferred: open_player("silent"), folder)
    found: dict[str, Any] = {}
    running: list[Any] = []

    def begin(_dt: float) -> None:
        sitting = practice.start()
        sitting.prepare().pattern = PAGE
        sitting.prepare().tempo = PAGE.tempo
        flow.begin(app, sitting)
        app.root.screen.drilling.times = 4
        Clock.schedule_once(strum, 0.7)

    def strum(_dt: float) -> None:
        app.root.screen.begin()
        # From the first beat on: until then the lights of the count-in are painted.
        Clock.schedule_once(inject, app.root.screen._zero - time.perf_counter())

    def inject(_dt: float) -> None:
        screen = app.root.screen
        if by == "fingers":
            Clock.schedule_interval(look, 0.1)
            running[:] = [Fingers(screen, count, rate), time.process_time(), time.perf_counter()]
            return
        field = screen.ids.field
        x, y = field.to_window(field.x, field.y)
        top, bottom = Window.height - y - field.height, Window.height - y
        words = [
            os.environ["DISPLAY"],
            by,
            count,
            rate,
            round(x + field.width / 2),
            round(top),
            round(bottom),
        ]
        running[:] = [
            subprocess.Popen(
                [sys.executable, HERE / "xtest.py", *map(str, words)], stdout=subprocess.PIPE, text=True
            ),
            time.process_time(),
            time.perf_counter(),
        ]
        Clock.schedule_interval(look, 0.5)

    def look(_dt: float) -> None:
        process, cpu, since = running
        screen = app.root.screen
        if process.poll() is None:
            return
        now = time.perf_counter()
        found.update(
            made=json.loads(process.stdout.read()) if by != "fingers" else process.made,
            heard=[hit.time + screen._zero for hit in screen._take.hits],
            hands=[hit.hand for hit in screen._take.hits],
            muted=[hit.muted for hit in screen._take.hits],
            cpu=(time.process_time() - cpu) / (now - since),
        )
        app.stop()

    Clock.schedule_once(begin, 1)
    app.run()
    print(json.dumps(found))


if __name__ == "__main__":
    main()
