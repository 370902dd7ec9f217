"""Kivy's painting of a page against librsvg's picture of its SVG, pixel by pixel."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from drillapp.music import parse
from drillapp.notation import engrave
from drillapp.notation.painters import svg

HERE = Path(__file__).parent
CASES = [
    ("D- DU -U DU", "4/4", None, ["staff", "letters", "counts"], 15),
    ("D-DU X-DU D-DU >X-DU", "4/4", None, ["letters", "arrows", "counts", "staff", "bows"], 12),
    ("D. DUD .U DUDUDU | D - - -", "4/4", "2:1", ["staff", "counts"], 22),
    ("D-U DUD | D-- .DU", "6/8", None, ["staff", "arrows"], 17.5),
    (">D- Xu -U uU", "4/4", None, ["letters", "counts"], 10),
]


@pytest.fixture(scope="module")
def painted(tmp_path_factory, needs) -> dict:
    needs("rsvg-convert", "libGL.so.1", *([] if os.environ.get("DISPLAY") else ["Xvfb", "xvfb-run", "xauth"]))
    folder = tmp_path_factory.mktemp("kivy")
    for number, (text, meter, swing, layers, space) in enumerate(CASES):
        page = engrave(parse(text, meter, swing=swing), layers)
        space = round(page.height * space) / page.height  # whole pixels high, so that both start level
        case = {"text": text, "meter": meter, "swing": swing, "layers": layers, "space": space, "margin": 8}
        (folder / f"case-{number}.json").write_text(json.dumps(case))
        source = folder / f"case-{number}.svg"
        drawn = svg.paint(page, space=space, ground="#FFFFFF", margin=8 / space)
        source.write_text(drawn, encoding="utf-8")
        picture = source.with_suffix(".png")
        subprocess.run(["rsvg-convert", source, "-o", picture], check=True, timeout=60)
    command = [sys.executable, str(HERE / "paint_in_kivy.py"), str(folder)]
    if not os.environ.get("DISPLAY"):
        command = ["xvfb-run", "-a", "-s", "-screen 0 640x480x24", *command]
    root = str(HERE.parent.parent)
    path = os.pathsep.join([root, *filter(None, [os.environ.get("PYTHONPATH")])])
    done = subprocess.run(command, env={**os.environ, "PYTHONPATH": path}, capture_output=True, timeout=120)
    assert done.returncode == 0, done.stderr.decode()[-2000:]
    return json.loads((folder / "result.json").read_text())


def test_kivy_paints_what_librsvg_paints(painted):
    assert len(painted["pages"]) == len(CASES)
    for page in painted["pages"]:
        assert page["mean"] < 0.02, page


def test_the_comparison_would_see_a_wrong_page(painted):
    for page in painted["pages"]:
        # An empty or an upside-down page differs several times more.
        assert page["blank"] > 2.5 * page["mean"]
        assert page["flipped"] > 2.5 * page["mean"]


def test_a_page_that_takes_another_s_place_keeps_what_is_the_same(painted):
    assert painted["kept"] > 0.6 * painted["total"]
    assert painted["kept"] < painted["total"]


def test_another_theme_changes_colours_only_and_no_page_leaves_nothing(painted):
    assert painted["same_when_recoloured"]
    assert painted["left_when_cleared"] == 0
