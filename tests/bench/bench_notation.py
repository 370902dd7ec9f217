"""Engraving and painting speed: ``python tests/bench/bench_notation.py``. Prints medians."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.music import parse
from drillapp.notation import engrave, fit, to_svg
from drillapp.notation.painters import png
from drillapp.reports.deck_sheet import sheet

TEXT = "D-DU X-DU D-DU >X-DU | DUDU X-DU -UDU DUXU"
LAYERS = ("letters", "counts", "staff")


def median_ms(call: Callable[[], object], times: int = 60) -> float:
    call()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000


def line(what: str, value: float, target: str = "") -> None:
    print(f"{what:44}{value:9.2f} ms  {target}")


def kivy() -> None:
    """Times a new pattern on a page already shown: run in a process of its own, with a window."""
    home = Path(tempfile.mkdtemp())
    os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONSOLELOG="1", KIVY_NO_FILELOG="1", KIVY_HOME=str(home))
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    from drillapp.notation.painters.kivy_painter import PagePainter

    texts = [
        "D- DU -U DU",
        "DU -U DU D-",
        "D-DU X-DU D-DU >X-DU",
        "DUD D- D. -U",
        ">D- XU D- -U",
        "D- D- DU DU",
    ]
    pages = [fit(parse(text), LAYERS, 1140, 360, largest=24) for text in texts * 5]
    painter, first, taken = PagePainter(), [], []
    for number, (page, space) in enumerate(pages):
        start = time.perf_counter()
        painter.show(page, 20, 20, space)
        (first if number < len(texts) else taken).append((time.perf_counter() - start) * 1000)
    line("Kivy, a new pattern, its signs met before", statistics.median(taken), "(target 16.7)")
    line("Kivy, a new pattern, worst of first meetings", max(first), "(target 16.7)")
    shutil.rmtree(home, ignore_errors=True)


def main(quick: bool = False) -> None:
    times = 5 if quick else 60
    start = time.perf_counter()
    to_svg(parse(TEXT), LAYERS)
    line("first SVG, tables read", (time.perf_counter() - start) * 1000)
    line(
        "engrave and SVG, two bars of 16ths",
        median_ms(lambda: to_svg(parse(TEXT), LAYERS), times),
        "(target 5)",
    )
    line("engrave, two bars of 16ths", median_ms(lambda: engrave(parse(TEXT), LAYERS), times))
    line("fit, two bars of 16ths", median_ms(lambda: fit(parse(TEXT), LAYERS, 1140, 360), times))
    page = engrave(parse(TEXT), LAYERS)
    line("PNG, two bars of 16ths", median_ms(lambda: png.paint(page, space=16), 3))
    texts = ["D- DU -U DU", "D-DU X-DU D-DU >X-DU", "DUD D- D. -U", TEXT]
    items = tuple(DeckPattern(f"Pattern {n + 1}", parse(texts[n % 4]), 60, 110) for n in range(60))
    deck = Deck("bench", "Sixty patterns", "", items)
    line("PDF of a deck of 60 patterns", median_ms(lambda: sheet(deck, LAYERS), 1), "(target 3000)")
    command = [sys.executable, __file__, "kivy"]
    if not os.environ.get("DISPLAY"):
        command = ["xvfb-run", "-a", *command]
    subprocess.run(command, check=True)


if __name__ == "__main__":
    kivy() if sys.argv[1:] == ["kivy"] else main(quick="--quick" in sys.argv)
