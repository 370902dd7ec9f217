"""Walks over every screen in one window, and says what does not fit: run by test_room.py, or by hand.

    walk.py FOLDER WIDTH HEIGHT [pictures]

Prints as JSON how many screens were looked at, and the findings, each with the size of the text, the screen
and what is wrong there. Looked at are all widgets in sight: each inside its parent (what scrolls aside), no
two texts over one another, no text larger than its place or shortened. With ``pictures`` each screen is
saved as a PNG in FOLDER; further words name the only parts to be walked: learner, given, desk.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import traceback
from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

from stand_in import StandIn

from drillapp.desk.invented import fill
from drillapp.records import SetWork, open_log
from drillapp.records.set_work import write_work
from drillapp.records.work_rows import WorkDone
from drillapp.screens.frame.kivy_setup import prepare_kivy

TEXTS = (1.0, 1.4, 2.0)
FEW = ("beat", "skip")
SCRATCH = f"desk-{os.getpid()}"
NOW = datetime(2026, 9, 28, 12).timestamp()
WORK = SetWork(
    "Tuesday group",
    NOW,
    date(2026, 10, 4),
    10,
    ("on-the-beat", "a-deck-that-is-not-here"),
    ("tie", "rest"),
    ("letters", "staff"),
    0.8,
    "Slowly, please, and count aloud.",
)
NEAR = 2.5
"""pixels that rounding may move an edge"""
WROTE = ("choose-", "who")
"""controls whose text a user wrote: it may be of any length, and is shortened where it must be"""
FRAMES = 40
"""at most, until a screen is laid out"""

folder, size = Path(sys.argv[1]), (int(sys.argv[2]), int(sys.argv[3]))
pictures = "pictures" in sys.argv
ONLY = set(sys.argv[4:]) - {"pictures"}
folder.mkdir(parents=True, exist_ok=True)
prepare_kivy(folder / "kivy", size)

from kivy.config import Config  # noqa: E402

Config.set("graphics", "maxfps", "0")  # nobody watches

from kivy.clock import Clock  # noqa: E402
from kivy.core.window import Window  # noqa: E402
from kivy.uix.label import Label  # noqa: E402
from kivy.uix.scrollview import ScrollView  # noqa: E402
from kivy.uix.textinput import TextInput  # noqa: E402
from kivy.uix.widget import Widget  # noqa: E402

from drillapp.screens.frame.memory import Tidy  # noqa: E402
from drillapp.screens.frame.shell import DrillApp  # noqa: E402
from drillapp.screens.frame.trace import in_sight  # noqa: E402
from drillapp.screens.look.look import look  # noqa: E402
from drillapp.sound import open_player  # noqa: E402

Box = tuple[float, float, float, float]


def scratch_file(name: str, data: bytes) -> Path:
    path = folder / SCRATCH / name
    path.write_bytes(data)
    return path


def box_of(widget: Widget) -> Box:
    left, bottom = widget.to_window(widget.x, widget.y)
    return left, bottom, left + widget.width, bottom + widget.height


def text_box(label: Label) -> Box:
    """Where the glyphs of a label are: its texture, placed as the label aligns it."""
    left, bottom, right, top = box_of(label)
    wide, high = label.texture_size
    if label.text_size[0] is not None:  # the texture is as wide as the room: measure its widest line
        lines = label._label._cached_lines
        wide = max((line.w for line in lines), default=0) if lines else wide
    middle = (left + right) / 2
    if label.text_size[0] is not None and label.halign == "left":
        left_of = middle - label.texture_size[0] / 2
    elif label.text_size[0] is not None and label.halign == "right":
        left_of = middle + label.texture_size[0] / 2 - wide
    else:
        left_of = middle - wide / 2
    centre = (bottom + top) / 2
    before, _, after, _ = label.padding
    if label.text_size[0] is None:  # the texture holds the padding too
        return left_of + before, centre - high / 2, left_of + wide - after, centre + high / 2
    return left_of, centre - high / 2, left_of + wide, centre + high / 2


def inside(one: Box, other: Box, sides: str = "xy") -> bool:
    fits = True
    if "x" in sides:
        fits = one[0] >= other[0] - NEAR and one[2] <= other[2] + NEAR
    if "y" in sides:
        fits = fits and one[1] >= other[1] - NEAR and one[3] <= other[3] + NEAR
    return fits


def view_of(widget: Widget) -> ScrollView | None:
    above = widget.parent
    while above is not None and above is not above.parent:
        if isinstance(above, ScrollView):
            return above
        above = above.parent
    return None


def named(widget: Widget) -> str:
    name = getattr(widget, "ident", "") or type(widget).__name__
    text = str(getattr(widget, "text", ""))
    return f"{name} {text[:40]!r}" if text else name


def findings(root: Widget) -> Iterator[str]:
    window: Box = (0.0, 0.0, *map(float, Window.size))
    texts: list[tuple[Label, Box]] = []
    for widget in in_sight(root):
        box, parent, view = box_of(widget), widget.parent, view_of(widget)
        if min(widget.width, widget.height) < 1:
            continue
        if isinstance(parent, Widget) and parent is not root.parent:
            sides = "x" if isinstance(parent, ScrollView) else "xy"
            if not inside(box, box_of(parent), sides):
                yield f"{named(widget)} {rounded(box)} is outside {named(parent)} {rounded(box_of(parent))}"
        if view is None and not inside(box, window):
            yield f"{named(widget)} is outside the window: {rounded(box)}"
        if isinstance(widget, Label) and widget.text.strip():
            user = str(getattr(widget, "ident", "")).startswith(WROTE)
            if widget.texture_size[0] > widget.width + NEAR or widget.texture_size[1] > widget.height + NEAR:
                yield f"{named(widget)} is cut: {widget.texture_size} in {rounded(widget.size)}"
            if widget.is_shortened and not user:
                yield f"{named(widget)} is shortened"
            if view is None or inside(text_box(widget), box_of(view), "y"):
                texts.append((widget, text_box(widget)))
        elif isinstance(widget, TextInput):
            texts.append((widget, box))
    for index, (one, a) in enumerate(texts):
        for other, b in texts[index + 1 :]:
            wide = min(a[2], b[2]) - max(a[0], b[0])
            high = min(a[3], b[3]) - max(a[1], b[1])
            if wide > 2 and high > 2:
                yield f"{named(one)} and {named(other)} are over one another by {wide:.0f} x {high:.0f}"


def rounded(box: Any) -> list[int]:
    return [round(side) for side in box]


def geometry(root: Widget) -> list[Any]:
    return [(id(one), one.pos[:], one.size[:]) for one in in_sight(root)]


class Walk:
    """One step a screen, then frames until it stands, then a look at it."""

    def __init__(self, app: DrillApp, practice: StandIn) -> None:
        self.app, self.practice = app, practice
        self.found: list[dict[str, Any]] = []
        self._steps = self._all()
        self._name = ""
        self._frames = 0
        self.looked_at = 0
        self._last: list[Any] = []
        Clock.schedule_interval(self._frame, 0)

    def _frame(self, _dt: float) -> None:
        self._frames += 1
        now = geometry(self.app.root)
        if not self._name and self._frames < 6 and self.looked_at:
            return
        if self._name and (self._frames < 4 or (now != self._last and self._frames < FRAMES)):
            self._last = now
            return
        if self._name:
            self._look_at(self._name)
        try:
            self._name, self._frames = next(self._steps), 0
        except StopIteration:
            print(json.dumps({"screens": self.looked_at, "found": self.found}))
            self.app.stop()
        except Exception:  # the app would say it in a notice and go on
            traceback.print_exc()
            self.app.stop()

    def _look_at(self, name: str) -> None:
        showing = self.app.showing
        self.looked_at += 1
        for what in dict.fromkeys(findings(self.app.root)):
            self.found.append({"text": look.text_size, "screen": name, "showing": showing, "what": what})
        if pictures:
            Window.screenshot(str(folder / f"{name}-{look.text_size:.1f}.png"))

    def press(self, ident: str) -> None:
        for widget in self.app.root.walk():
            if getattr(widget, "ident", "") == ident:
                widget.press()
                return
        raise LookupError(f"{ident} is not on {self.app.showing}")

    def key(self, name: str) -> None:
        self.app.root.screen.key(name, [])

    def _all(self) -> Iterator[str]:
        while self.app.root.notices:
            yield "notice"
            self.app.root.put_away(self.app.root.notices[0])
        for text in TEXTS:
            look.text_size = text
            self.app.fit()
            self.practice._met = set(self.all_signs)
            for name, part in self._parts().items():
                if not ONLY or name in ONLY:
                    yield from part()

    def _parts(self) -> dict[str, Callable[[], Iterator[str]]]:
        return {
            "learner": self._learners_screens,
            "given": self._given,
            "desk": self._desk,
            "few": self._few_signs,
            "picks": self._picks,
            "hands": self._hands,
        }

    @property
    def all_signs(self) -> tuple[str, ...]:
        from drillapp.music import FEATURES

        return FEATURES

    def _to(self, name: str, label: str = "", **given: Any) -> str:
        self.app.go(name, **given)
        return label or name

    def _learners_screens(self) -> Iterator[str]:
        for name in ("cautions", "today", "signs", "progress", "forecasts", "decks", "learners"):
            yield self._to(name)
        self.app.go("settings")
        for number in range(6):
            self.app.root.screen.choose_section(number)
            yield f"settings-{number}"
        self.app.go("decks")
        self.press("filter")
        yield "decks-filter"
        self.press("sign-tie")
        yield "decks-found"
        self.press("sign-tie")
        self.press("filter")
        self.app.go("progress")
        for feature in ("tie", "compound"):
            self.press(f"feature-{feature}")
            yield f"progress-{feature}"
        self.app.go("today")
        self.press("play-along")
        yield "play_along"
        self.app.go("first", again=True)
        yield "first-reads"
        self.practice.learner.name, kept = "First learner", self.practice.learner.name
        yield self._to("first", "first-name")
        self.practice.learner.name = kept
        for feature in ("tie", "swing", "triplet"):
            yield self._to("meet", f"meet-{feature}", feature=feature)
        yield self._to("calibration")
        self.app.go("decks")
        self.press("new-deck")
        yield "deck_editor"
        self.press("new-pattern")
        yield "deck_editor-pattern"
        self.app.go("decks")
        self.press("share-deck")
        yield "deck_file"
        message = (
            "/home/mira/.local/share/drillapp/practice.sqlite: " + "the practice log cannot be read. " * 3
        )
        yield self._to("stopped", message=message)

    def _given(self) -> Iterator[str]:
        yield self._to("hand_in")
        self.press("other-folder")
        yield "choose_file"
        self.app.uncover()
        write_work(WORK, folder / "work.setwork")
        yield self._to("work_file", path=folder / "work.setwork")
        yield self._to("work_file", "work_file-none", path=folder / "none.setwork")

    def _desk(self) -> Iterator[str]:
        desk, (made,) = self.app.desk, self.practice.log.classes.all()
        yield self._to("desk")
        yield self._to("desk_lock", "desk_lock-new", changing=True)
        desk.lock.set("1234", bytes(16))
        for _number in range(4):
            with contextlib.suppress(ValueError):
                desk.lock.open("0", desk.now())
        yield self._to("desk_lock")
        desk.lock.take_off()
        self.app.go("desk_roll")
        self.app.root.screen.ids.roll.text = "Surname;First name\nNilsson;Carla\nTamm;Carla\nNilsson;Carla"
        yield "desk_roll"
        bad = scratch_file("cut-off.handin", b"no hand-in at all")
        self.app.go("desk_collect", paths=[bad, *sorted((folder / SCRATCH).glob("*.handin"))])
        yield from self._until(lambda: not self.app.root.screen.working, "desk_collect")
        self.app.go("desk_class", in_class=made.id)
        yield from self._until(lambda: not self.app.root.screen.working, "desk_class")
        self.press("head-tie")
        yield "desk_class-tie"
        self.press("deck")
        yield "choose_row"
        self.app.uncover()
        self.press("student-0")
        yield from self._until(lambda: not self.app.root.screen.working, "desk_student")
        self.press("section-pages")
        yield "desk_student-pages"
        self.press("print")
        yield "desk_print-student"
        self.app.uncover()
        self.press("section-record")
        self.press("delete")
        yield "desk_student-record"
        self.app.go("desk_class", in_class=made.id)
        yield from self._until(lambda: not self.app.root.screen.working, "desk_class-again")
        self.press("set-work")
        self.press("give-work")
        yield "desk_work"
        yield self._to("desk_keep")

    def _until(self, holds: Callable[[], bool], name: str) -> Iterator[str]:
        """Wait for work in the background, then look."""
        for _ in range(200):
            if holds():
                break
            yield ""
        yield name

    def _few_signs(self) -> Iterator[str]:
        self.practice._met = set(FEW)
        for name in ("today", "signs", "progress"):
            yield self._to(name, f"{name}-few")
        self.practice._met = set(self.all_signs)

    def _begin(self, *drills: str) -> None:
        from drillapp.screens.questions import flow

        self.practice.change("drills", drills)
        flow.begin(self.app, self.practice.start())

    def _picks(self) -> Iterator[str]:
        self._begin("page_to_sound", "sound_to_page")
        for number in range(4):
            yield f"drill-{number}"
            if not number:
                self.press("look-up")
                yield "look_up"
                self.app.uncover()
            task = self.app.root.screen.drilling.task
            self.press(f"pick-{'ABCD'[(task.question.answer + 1) % len(task.question.candidates)]}")
            yield f"answer-{number}"
            self.press("next")
        for _ in range(8):
            self.key("n")
            self.press("next")
        yield "summary"

    def _hands(self) -> Iterator[str]:
        self._begin("strum_it", "write_it_down")
        yield "strum"
        self.press("not-sure")
        yield "hand_result-strum"
        self.press("next")
        yield "write"
        for key in "fj-xfj":
            self.key(key)
        yield "write-filled"
        self.press("not-sure")
        yield "hand_result-write"


def main() -> None:
    scratch = folder / SCRATCH
    scratch.mkdir()
    log = open_log(scratch / "practice.sqlite")
    fill(log, scratch, NOW)
    practice = StandIn(many=True, work=WorkDone(WORK, 2, 4, 21.0), log=log)
    practice.now = lambda: NOW  # type: ignore[method-assign]
    app = DrillApp(lambda: practice, lambda _preferred: open_player("silent"), folder)
    if not pictures:  # where things are is known before they are painted, which takes half of the time
        Window.bind(on_draw=lambda *_: True, on_flip=lambda *_: True)
    Tidy.question = lambda _self: None  # type: ignore[method-assign]  # a walk is too short to fill memory
    begin: list[Walk] = []
    Clock.schedule_once(lambda _dt: begin.append(Walk(app, practice)), 0.5)
    app.run()


if __name__ == "__main__":
    main()
