"""Opening a page in headless Chromium: what it says in its console, and what axe-core finds."""

from __future__ import annotations

import json
import subprocess
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

AXE = Path(__file__).resolve().parents[1] / "reference" / "axe-core-4.14.1.min.js"
_RUN = """
addEventListener("load", () => axe.run(document, {resultTypes: ["violations"]}).then(found => {
  const said = document.createElement("pre");
  said.id = "axe";
  said.textContent = JSON.stringify(
    found.violations.map(one => [one.impact, one.id, one.nodes.map(node => node.html)]));
  document.body.append(said);
}));
"""


def open_page(page: bytes, folder: Path, *more: str) -> tuple[str, list[str]]:
    """The page's document once it is loaded, and the lines of its console."""
    file = folder / "page.html"
    file.write_bytes(page)
    done = subprocess.run(
        [
            "chromium",
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            f"--user-data-dir={folder / 'chromium'}",
            "--enable-logging=stderr",
            "--virtual-time-budget=20000",
            *(more or ("--dump-dom",)),
            file.as_uri(),
        ],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=True,
    )
    return done.stdout, [line for line in done.stderr.splitlines() if "CONSOLE" in line]


def axe_findings(page: bytes, folder: Path) -> list[list[Any]]:
    """What axe-core finds wrong: impact, rule and places."""
    script = f"<script>{AXE.read_text(encoding='utf-8')}</script><script>{_RUN}</script>".encode()
    dom, _console = open_page(page.replace(b"</head>", script + b"</head>"), folder)
    reader = _Said()
    reader.feed(dom)
    assert reader.text, "axe-core did not run"
    found: list[list[Any]] = json.loads(reader.text)
    return found


class _Said(HTMLParser):
    """The text of the element with the id axe."""

    def __init__(self) -> None:
        super().__init__()
        self.text, self._inside = "", False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = ("id", "axe") in attrs

    def handle_endtag(self, tag: str) -> None:
        self._inside = False

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.text += data
