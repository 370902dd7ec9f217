"""Every screen at three sizes of window, with words of the usual size, 1.4 and twice as large: all fits.

WCAG 2.2 (W3C), criterion 1.4.4: text can be made twice as large without loss of content or function. The
sizes of window are a small and a large desktop and a tablet held upright (common practice, no source).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from window import ROOT, XServer

WALK = Path(__file__).with_name("walk.py")
SCREENS = 185
"""at the least, over the three sizes of words"""


@pytest.mark.parametrize("size", ["landscape", "portrait", "desktop"])
def test_nothing_is_cut_nor_outside_its_place_nor_over_another_text(
    size: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    screen: XServer = request.getfixturevalue(size)
    done = subprocess.run(
        [sys.executable, str(WALK), str(tmp_path), *map(str, screen.size)],
        env={**os.environ, "DISPLAY": screen.display, "PYTHONPATH": str(ROOT), "LP_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=400,
    )
    assert done.stdout, done.stderr[-3000:]
    seen = json.loads(done.stdout)
    assert seen["screens"] >= SCREENS
    found = [f"{one['text']} {one['screen']}: {one['what']}" for one in seen["found"]]
    assert found == []
