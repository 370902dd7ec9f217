"""How far the moving mark is from the moment at which its slot is heard, in a real window.

Run under an X server: ``xvfb-run -s "-screen 0 1280x800x24" python tests/bench/bench_mark.py``. Target:
within 30 ms. What is measured is from the moment that is reckoned with (the latency of the sound is a matter
of calibration) to the end of the frame that shows the mark there.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path


def main() -> None:
    from drillapp.screens.frame.kivy_setup import prepare_kivy

    with tempfile.TemporaryDirectory() as folder:
        prepare_kivy(Path(folder) / "kivy", (1280, 800))
        from kivy.app import App
        from kivy.clock import Clock
        from kivy.core.window import Window

        from drillapp.music import parse
        from drillapp.screens.look.look import look, register_fonts
        from drillapp.screens.sound.moving_mark import MovingMark
        from drillapp.screens.widgets.page import PageView

        pattern = parse("D-DU X-DU D-DU XUDU")
        register_fonts()
        look.fit(1280, 800)
        page, mark = PageView(), MovingMark()
        page.show(pattern, ("letters", "counts", "staff"))
        way = [(0.125 * step, step % len(pattern.places)) for step in range(160)]
        due: dict[int, float] = {}
        off: list[float] = []
        shown: list[int] = [-1]

        class Bench(App):
            def build(self) -> PageView:
                return page

        def flipped(_window: object) -> None:
            if page.cursor is not None and page.cursor != shown[-1]:
                shown.append(page.cursor)
                off.append(1000 * (time.perf_counter() - due[len(off)]))

        def begin(_dt: float) -> None:
            start = time.perf_counter() + 0.5
            due.update({step: start + at for step, (at, _) in enumerate(way)})
            mark.follow(start, (page, way))
            Clock.schedule_once(lambda _dt: app.stop(), 0.5 + way[-1][0] + 0.5)

        app = Bench()
        Window.bind(on_flip=flipped)
        Clock.schedule_once(begin, 1)
        app.run()
    print(
        f"{len(off)} of {len(way)} places shown, median {statistics.median(off):.1f} ms from the sound, "
        f"{min(off):.1f} to {max(off):.1f}; within 30 ms {sum(abs(one) <= 30 for one in off)}"
    )


if __name__ == "__main__":
    main()
