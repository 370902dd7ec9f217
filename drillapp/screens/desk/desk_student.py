"""A student: each sign over time, what is read as what, the pages misread, the timing; the record itself."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.desk.findings import ERROR_RATE
from drillapp.desk.student import PageFigures, SignFigures, StudentFigures
from drillapp.desk.told import told
from drillapp.music import parse
from drillapp.practice.handing_in import ENDING, file_in
from drillapp.records import Classes, LogError, Student
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.widgets import head, page, sign_ranges
from drillapp.screens.widgets.focus import Choosable
from drillapp.words import desk as desk_words
from drillapp.words import desk_screens as said
from drillapp.words import students as words
from drillapp.words.faults import fault_said
from drillapp.words.language import _
from drillapp.words.signs import meaning, title

__all__ = ["DeskStudent", "MisreadPage", "StudentSign", "head", "page", "sign_ranges"]

SECTIONS = ("signs", "pages", "record")


class StudentSign(Choosable, BoxLayout):
    """A sign of the student's: its range, and what is said of it."""

    feature = StringProperty("")
    caption = StringProperty("")
    note = StringProperty("")
    cells = ListProperty([])
    weak = BooleanProperty(False)


class MisreadPage(BoxLayout):
    """A page that was misread, to be seen and heard."""

    note = StringProperty("")
    ident = StringProperty("")
    playing = BooleanProperty(False)

    __events__ = ("on_hear",)

    def on_hear(self) -> None: ...


class DeskStudent(Sounding):
    """``section``: what is shown of the student; ``sign``: the one that is told in full."""

    title = StringProperty("")
    section = StringProperty("signs")
    heading = StringProperty("")
    diagnosis = StringProperty("")
    timing = StringProperty("")
    sign = StringProperty("")
    sign_title = StringProperty("")
    sign_words = StringProperty("")
    read_as = StringProperty("")
    points = ListProperty([])
    asking = StringProperty("")
    done = StringProperty("")
    fault = StringProperty("")
    class_name = StringProperty("")
    record = StringProperty("")
    archived = BooleanProperty(False)
    joined = BooleanProperty(False)
    working = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._parts = {name: self.ids[name].__self__ for name in SECTIONS}
        self._figures: StudentFigures | None = None

    def enter(self, student: str = "", in_class: str | None = None, **_given: Any) -> None:
        self._key, self._from, self._figures = student, in_class, None
        self.done = self.fault = self.asking = self.heading = self.diagnosis = ""
        self.choose_section("signs")
        self._refresh()
        super().enter()

    def back(self) -> None:
        if self.asking:
            self.asking = ""
        else:
            self.app.go("desk_class", in_class=self._from)

    def choose_section(self, name: str) -> None:
        """Show a part; the others are taken out, since what is hidden would still take touches."""
        self.app.speaker.stop()
        self.section = name
        self.ids.shown.clear_widgets()
        self.ids.shown.add_widget(self._parts[name])

    def choose_sign(self, feature: str) -> None:
        """Tell one sign in full."""
        figures = self._figures
        one = next((one for one in figures.signs if one.feature == feature), None) if figures else None
        if figures is None or one is None:
            return
        self.sign, self.sign_title = feature, title(feature)
        self.sign_words = "\n".join((meaning(feature), words.first_and_met(one)))
        told = [cell for cell in figures.read_as if cell.feature == feature and not cell.right]
        self.read_as = "\n".join(map(words.read_as, told))
        self.points = [
            (week.monday.toordinal(), week.share.low, week.share.middle, week.share.high)
            for week in one.weeks
        ]
        for row in self.ids.rows.children:
            row.chosen = row.feature == feature

    def hear(self, number: int, one: PageFigures) -> None:
        setting = self.app.practice.setting
        pattern = parse(one.pattern, one.meter, swing=one.swing)
        sound = Sound(
            pattern, pattern.tempo, setting("chord"), setting("voice"), int(setting("count_in")), False
        )
        self.app.speaker.toggle(f"page-{number}", sound)

    def keep_remark(self) -> None:
        self._do(lambda: self._classes.note(self._key, self.ids.remark.text), said.kept())

    def rename(self) -> None:
        self._do(lambda: self._classes.rename_student(self._key, self.ids.name.text), said.kept())

    def move(self) -> None:
        classes = self._classes.all()
        keys = [None, *(one.id for one in classes)]
        self.app.over(
            "choose_row",
            title=_("Into which class"),
            rows=[(said.no_class_name(), ""), *((one.name, "") for one in classes)],
            chosen=keys.index(self._student.in_class) if self._student.in_class in keys else 0,
            then=lambda index: self._do(lambda: self._classes.move(self._key, keys[index]), said.kept()),
        )

    def archive(self) -> None:
        gone = not self.archived
        self._do(lambda: self._classes.archive_student(self._key, gone), said.archived(self.title, gone))

    def join(self) -> None:
        """Choose the other record of the same child."""
        others = [one for one in self._classes.students() if one.id != self._key]

        def then(index: int) -> None:
            other = others[index]
            self._do(lambda: self._classes.join(self._key, other.id), words.one_now(self.title, other.shown))

        self.app.over(
            "choose_row",
            title=_("The same child on another device"),
            about=_("What both have done counts together then. It can be undone."),
            rows=[(one.shown, self._of_class(one)) for one in others],
            then=then,
        )

    def part(self) -> None:
        joined = self._classes.joined_to(self._key)

        def then(index: int) -> None:
            key, name = joined[index]
            self._do(lambda: self._classes.part(key), words.parted(name))

        if len(joined) == 1:
            then(0)
        else:
            self.app.over(
                "choose_row", title=_("Part whom"), rows=[(name, "") for _key, name in joined], then=then
            )

    def export(self) -> None:
        """Write all that there is of the student to a file, as a hand-in."""
        name = file_in(Path(), self._student.name, self.app.desk.day).name
        self.app.over(
            "choose_file",
            title=_("Export"),
            about=_("All answers as a file, which any desk can collect."),
            caption=_("Export"),
            endings=(ENDING,),
            file_name=name,
            then=self._export_to,
        )

    def ask_delete(self) -> None:
        self.asking = words.ask_delete(self.title, self._figures.answers if self._figures else 0)

    def delete(self) -> None:
        gone = self.app.desk.delete(self._student)
        self.app.practice.who.look_again()
        self.app.go("desk", done=words.deleted(self.title, gone))

    def set_work(self) -> None:
        if self._figures is not None:
            self.app.go(
                "desk_work",
                whose=self._key,
                called=self._student.name,
                signs=self.app.desk.signs_for(self._figures),
                in_class=self._from,
            )

    def print(self) -> None:
        """A report on the student."""
        self.app.over("desk_print", of="student", key=self._key, called=self.title)

    def acts(self) -> dict[str, Callable[[], object]]:
        return {str(n): partial(self.choose_section, name) for n, name in enumerate(SECTIONS, 1)}

    def traced(self) -> dict[str, object]:
        return {
            "title": self.title,
            "diagnosis": self.diagnosis,
            "done": self.done,
            "fault": self.fault,
            "asking": self.asking,
            "working": self.working,
            "section": self.section,
        }

    @property
    def _classes(self) -> Classes:
        return self.app.desk.log.classes

    def _of_class(self, student: Student) -> str:
        names = {one.id: one.name for one in self._classes.all(archived=True)}
        return names.get(student.in_class or "", said.no_class_name())

    def _do(self, act: Callable[[], object], done: str) -> None:
        """Do it and show the student anew; say why where it is refused."""
        try:
            act()
        except (ValueError, LookupError) as refusal:
            self.fault, self.done = fault_said(refusal), ""
            return
        self.fault, self.done = "", done
        self._refresh()

    def _export_to(self, path: Path) -> None:
        try:
            done = self.app.desk.log.hand_in(path, self._student.learners)
        except LogError as refusal:
            self.fault = fault_said(refusal)
            return
        self.fault, self.done = "", desk_words.handed_in(done)

    def _refresh(self) -> None:
        self._student = self._classes.student(self._key)
        student = self._student
        self.title, self.archived = student.shown, student.archived
        self.joined, self.class_name = bool(student.joined), self._of_class(student)
        self.ids.remark.text, self.ids.name.text = student.remark, student.name
        desk, key = self.app.desk, self._key
        self.working = True

        def then(figures: StudentFigures) -> None:
            if self._key == key:
                self.working = False
                self._show(figures)

        self.app.worker.do(lambda: desk.figures(student), then)

    def _show(self, figures: StudentFigures) -> None:
        self._figures = figures
        self.heading = words.heading(figures)
        self.diagnosis = words.diagnosis(figures, ERROR_RATE)
        self.timing = words.timing(figures.strummed)
        self.record = words.record_note(len(self._student.learners), figures.last)
        self.ids.rows.clear_widgets()
        for one in figures.signs:
            self.ids.rows.add_widget(self._row(one))
        self.sign = ""
        first = next((one.feature for one in figures.signs if one.weak), None)
        self.choose_sign(first or (figures.signs[0].feature if figures.signs else ""))
        self.ids.pages_list.clear_widgets()
        for number, misread in enumerate(figures.pages):
            self.ids.pages_list.add_widget(self._page(number, misread))

    def _row(self, one: SignFigures) -> StudentSign:
        row = StudentSign(
            feature=one.feature,
            caption=title(one.feature),
            note=words.sign_note(one),
            weak=one.weak,
            ident=f"sign-{one.feature}",
            cells=[(told(one.all, one.weak), one.all.low, one.all.middle, one.all.high)],
        )
        row.bind(on_release=lambda row: self.choose_sign(row.feature))
        return row

    def _page(self, number: int, one: PageFigures) -> MisreadPage:
        row = MisreadPage(note=words.misread(one.wrong, one.of), ident=f"hear-{number}")
        row.ids.page.show(parse(one.pattern, one.meter, swing=one.swing), one.layers)
        row.bind(on_hear=lambda _row: self.hear(number, one))
        self.bind(playing=lambda _screen, playing: setattr(row, "playing", playing == f"page-{number}"))
        return row


load_kv(__file__)
