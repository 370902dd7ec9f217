"""A machine without a sound card is told once, in words of ours, and not by ALSA."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest


@pytest.mark.parametrize("player", ["simpleaudio", "miniaudio"])
def test_no_sound_card_writes_nothing_to_the_terminal(tmp_path: Path, player: str) -> None:
    # ALSA is pointed at an empty configuration, so that no device can be found.
    nothing = tmp_path / "asound.conf"
    nothing.write_text("")
    environ = {**os.environ, "ALSA_CONFIG_PATH": str(nothing), "HOME": str(tmp_path), "PULSE_SERVER": "none"}
    code = f"from drillapp.sound import open_player; p = open_player({player!r}); print(p.name, p.notice)"
    done = subprocess.run(
        [sys.executable, "-c", code], env=environ, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    assert done.stdout.startswith("silent No sound device answers")
