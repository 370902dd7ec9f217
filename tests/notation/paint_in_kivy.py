"""Paint pages with Kivy off screen and compare them with pictures of the same pages: run by the tests.

Arguments: a folder. ``case-N.json`` there has pattern, layers, space and margin; ``case-N.png`` a picture of
it by another program. Writes ``result.json`` with the mean difference of each, and how many instructions
changed when one page took another's place.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path

folder = Path(sys.argv[1])
os.environ.update(
    KIVY_NO_ARGS="1", KIVY_NO_CONSOLELOG="1", KIVY_NO_FILELOG="1", KIVY_HOME=str(folder / "home")
)
(folder / "home").mkdir(exist_ok=True)

from kivy.config import Config  # noqa: E402

Config.set("graphics", "width", "64")
Config.set("graphics", "height", "64")

import numpy as np  # noqa: E402
from kivy.base import EventLoop  # noqa: E402
from kivy.core.image import Image  # noqa: E402
from kivy.graphics import ClearBuffers, ClearColor, Fbo  # noqa: E402

from drillapp.music import parse  # noqa: E402
from drillapp.notation import engrave  # noqa: E402
from drillapp.notation.painters.kivy_painter import PagePainter  # noqa: E402

EventLoop.ensure_window()


def painted(case: dict, painter: PagePainter, width: int, height: int) -> np.ndarray:
    page = engrave(parse(case["text"], case["meter"], swing=case["swing"]), case["layers"])
    fbo = Fbo(size=(width, height))
    with fbo:
        ClearColor(1, 1, 1, 1)
        ClearBuffers()
    fbo.add(painter.group)
    painter.show(page, case["margin"], case["margin"], case["space"])
    fbo.draw()
    pixels = np.frombuffer(fbo.pixels, np.uint8).reshape(height, width, 4)
    fbo.remove(painter.group)
    return pixels[::-1, :, :3].astype(float)


def picture(path: Path) -> np.ndarray:
    texture = Image(str(path)).texture
    width, height = texture.size
    pixels = np.frombuffer(texture.pixels, np.uint8).reshape(height, width, 4)
    return pixels[:, :, :3].astype(float)


results = []
for source in sorted(folder.glob("case-*.json")):
    case = json.loads(source.read_text())
    theirs = picture(source.with_suffix(".png"))
    ours = painted(case, PagePainter(), theirs.shape[1], theirs.shape[0])
    assert ours.shape == theirs.shape, (ours.shape, theirs.shape)
    ink = (theirs.min(axis=2) < 250) | (ours.min(axis=2) < 250)
    difference = np.abs(ours - theirs).mean(axis=2) / 255
    results.append(
        {
            "text": case["text"],
            "mean": float(difference.mean()),
            "ink": float(ink.mean()),
            "blank": float(np.abs(255 - theirs).mean() / 255),
            "flipped": float(np.abs(ours[::-1] - theirs).mean() / 255),
        }
    )

painter = PagePainter()
first = engrave(parse("D- DU -U DU"), ["staff", "letters", "counts"], width=60)
second = engrave(parse("D- DU DU DU"), ["staff", "letters", "counts"], width=60)
painter.show(first, 0, 0, 14)
before = [r for marks in painter._painted.values() for r in marks.values()]
painter.show(second, 0, 0, 14)
after = [r for marks in painter._painted.values() for r in marks.values()]
times = []
for number in range(30):
    start = time.perf_counter()
    painter.show(first if number % 2 else second, 0, 0, 14)
    times.append(time.perf_counter() - start)
kept = [r for marks in painter._painted.values() for r in marks.values()]
painter.recolour({"ink": "#EFE9DD"})
recoloured = [r for marks in painter._painted.values() for r in marks.values()]
painter.show(None, 0, 0, 14)
left = sum(len(marks) for marks in painter._painted.values())
figures = {
    "pages": results,
    "kept": len({*map(id, before)} & {*map(id, after)}),
    "total": len(after),
    "times": sorted(times),
    "same_when_recoloured": [*map(id, kept)] == [*map(id, recoloured)],
    "left_when_cleared": left,
}
(folder / "result.json").write_text(json.dumps(figures))
