"""The app talks to the display and to the sound, and to no one else.

Python's own sockets are seen by an audit hook (PEP 578), those of libraries in /proc (proc(5), from memory):
a session by real keys, with sound, from the first screen to an answer, a hand-in and the way back.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.music import FEATURES
from drillapp.records import open_log

HOOKED = """
import runpy, sys
seen = open(sys.argv.pop(1), "a")
def hook(event, arguments):
    if event.startswith(("socket.", "urllib.", "http.", "ftplib.", "smtplib.")):
        print(event, arguments[1:], file=seen, flush=True)
sys.addaudithook(hook)
import socket
socket.socket().close()  # shows that the hook sees one
runpy.run_module("drillapp", run_name="__main__", alter_sys=True)
"""
ELSEWHERE = ("tcp", "tcp6", "udp", "udp6", "udplite", "raw", "raw6", "icmp", "packet")
"""Local ones lead to the display and the sound; netlink to the kernel, which tells of devices."""


def sockets_elsewhere(pid: int) -> dict[str, str]:
    """A process's open sockets of every family but the local one, by number, each with its family."""
    held = set()
    for link in Path(f"/proc/{pid}/fd").iterdir():
        target = os.readlink(link)
        if target.startswith("socket:["):
            held.add(target[len("socket:[") : -1])
    found = {}
    for family in ELSEWHERE:
        table = Path(f"/proc/{pid}/net/{family}")
        for line in table.read_text().splitlines()[1:] if table.exists() else ():
            for word in line.split():
                if word in held:
                    found[word] = family
    return found


def test_no_socket_but_the_displays_and_the_sounds(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data, seen = tmp_path / "data", tmp_path / "sockets"
    with open_log(data / "practice.sqlite") as log:
        learner = log.learners.add("Mira").id
        log.settings.set("drills", ("page_to_sound",), learner)
        log.settings.set("met_signs", FEATURES, learner)
    command = [sys.executable, "-c", HOOKED, str(seen), "--data", str(data)]
    with AppWindow(landscape, data, command, null_sink.environment()) as app:

        def look() -> None:
            assert sockets_elsewhere(app.process.pid) == {}

        app.wait(screen="cautions")
        look()
        app.press("Return")
        app.wait(screen="today")
        app.press("Return")
        app.wait(screen="drill")
        app.press("a", "space")
        look()
        app.press("n")
        app.wait(screen="answer")
        app.press("Return")
        app.until(lambda shown: shown["screen"] != "answer", "the next question")
        look()
    events = seen.read_text().splitlines()
    assert [event for event in events if not event.startswith("socket.__new__")] == []
    assert len(events) == 1, events
