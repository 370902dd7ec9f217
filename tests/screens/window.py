"""A real window for tests: its own X server, the app in a process of its own, real key and mouse events.

    with XServer(1280, 800) as screen, AppWindow(screen, data) as app:
        app.wait(screen="today")
        app.click("start")

The app writes what it shows to a trace (see drillapp/screens/trace.py); clicks land in the middle of the
controls that the trace names. Needs the Debian packages xvfb and xdotool.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 40.0
"""seconds that a busy machine is given"""


class XServer:
    """An Xvfb of its own size on a free display number."""

    def __init__(self, width: int, height: int) -> None:
        self.size = (width, height)

    def __enter__(self) -> XServer:
        read, write = os.pipe()
        self._process = subprocess.Popen(
            [
                "Xvfb",
                "-displayfd",
                str(write),
                "-screen",
                "0",
                "{}x{}x24".format(*self.size),
                "-nolisten",
                "tcp",
            ],
            pass_fds=[write],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(write)
        with os.fdopen(read) as numbers:
            number = numbers.readline().strip()
        if not number:
            raise RuntimeError("Xvfb does not start; is it installed?")
        self.display = f":{number}"
        return self

    def __exit__(self, *_: object) -> None:
        self._process.terminate()
        self._process.wait(10)

    def do(self, *words: str) -> None:
        """Send real events with xdotool."""
        subprocess.run(["xdotool", *words], env={**os.environ, "DISPLAY": self.display}, check=True)

    def shoot(self, path: Path) -> None:
        """A picture of the whole screen (ImageMagick)."""
        subprocess.run(["import", "-display", self.display, "-window", "root", str(path)], check=True)


class AppWindow:
    """The app in its own process with its own data folder; ``seen`` is the last line of its trace."""

    def __init__(
        self,
        screen: XServer,
        data: Path,
        command: Sequence[str] | None = None,
        environment: Mapping[str, str] | None = None,
        seed: int = 11,
    ) -> None:
        self.screen, self.data = screen, data
        self.trace = data.parent / f"{data.name}-trace.jsonl"
        self.output = data.parent / f"{data.name}-output.txt"
        self._command = list(command or [sys.executable, "-m", "drillapp", "--data", str(data)])
        self._environment = {
            "XDG_CACHE_HOME": str(data.parent / "cache"),  # unless all tests share one
            **(environment or os.environ),
            "DISPLAY": screen.display,
            "DRILLAPP_WINDOW": "{}x{}".format(*screen.size),
            "DRILLAPP_TRACE": str(self.trace),
            "DRILLAPP_SEED": str(seed),
            "PYTHONPATH": str(ROOT),
            "LP_NUM_THREADS": "1",
        }
        self.seen: dict[str, Any] = {}

    def __enter__(self) -> AppWindow:
        self.trace.unlink(missing_ok=True)
        with self.output.open("ab") as output:
            self.process = subprocess.Popen(
                self._command, env=self._environment, cwd=ROOT, stdout=output, stderr=output
            )
        self._read = 0
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(5)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()

    def kill(self) -> None:
        """SIGKILL: no chance to save anything."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def look(self) -> dict[str, Any]:
        """The newest whole line of the trace."""
        if self.trace.exists():
            with self.trace.open("rb") as file:
                file.seek(self._read)
                new = file.read()
            whole = new[: new.rfind(b"\n") + 1]
            self._read += len(whole)
            if whole:
                self.seen = json.loads(whole.splitlines()[-1])
        return self.seen

    def until(self, holds: Callable[[dict[str, Any]], bool], what: str = "") -> dict[str, Any]:
        """Wait until what is on screen holds; an AssertionError says what was there instead."""
        deadline = time.monotonic() + PATIENCE
        while time.monotonic() < deadline:
            if self.look() and holds(self.seen):
                return self.seen
            if self.process.poll() is not None:
                break
            time.sleep(0.02)
        shown = {key: value for key, value in self.seen.items() if key != "controls"}
        said = self.output.read_text(errors="replace")[-2000:]
        names = list(self.seen.get("controls", ()))
        raise AssertionError(f"waited for {what or holds}; on screen: {shown} {names}; the app said: {said}")

    def wait(self, **wanted: Any) -> dict[str, Any]:
        """Wait until the trace shows these values."""
        return self.until(
            lambda seen: all(seen.get(key) == value for key, value in wanted.items()), str(wanted)
        )

    def control(self, name: str) -> dict[str, Any]:
        """Wait until a control is in sight."""
        return self.until(lambda seen: name in seen["controls"], f"the control {name}")["controls"][name]

    def click(self, name: str) -> None:
        """A real mouse click in the middle of a control."""
        left, top, right, bottom = self.control(name)["box"]
        x, y = (left + right) // 2, (top + bottom) // 2
        self.screen.do("mousemove", str(x), str(y), "sleep", "0.03", "click", "1")

    def press(self, *keys: str) -> None:
        """Real key presses, one after another, by their X names."""
        self.screen.do("key", "--delay", "40", *keys)
