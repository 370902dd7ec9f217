"""What the screens of a question have in common: its head and tempo before the answer, its pages after it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.decks.folder import DeckFileError
from drillapp.decks.kept import is_kept, keep
from drillapp.drills.lessons import features_on
from drillapp.drills.tasks import Task
from drillapp.music import Pattern
from drillapp.notation.beneath import Row
from drillapp.practice.notice import Notice
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.sound.moving_mark import MovingMark, Way
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import PAUSE, Renders
from drillapp.screens.widgets import page
from drillapp.screens.widgets.basic import Card
from drillapp.words import after
from drillapp.words.faults import fault_said
from drillapp.words.settings import kind_name

__all__ = ["AnswerPage", "Answered", "Question", "page"]


class OfDrilling(Sounding):
    """A screen of the running drill: which question of how many, and which of its sounds is heard."""

    heading = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)

    _drilling: DrillState | None = None

    @property
    def drilling(self) -> DrillState:
        """The running drill, once the screen was shown."""
        assert self._drilling is not None
        return self._drilling

    def take_up(self, drilling: DrillState | None) -> DrillState:
        """Show the head of the question that is on."""
        assert drilling is not None  # screens of a drill are shown with it
        self._drilling = drilling
        self.heading, self.number, self.of = (
            kind_name(drilling.kind),
            drilling.task.number,
            drilling.task.of,
        )
        super().enter()
        return drilling

    def change_tempo(self, by: int) -> None:
        """Slower (-1) or faster (1)."""

    def acts(self) -> dict[str, Callable[[], object]]:
        slower, faster = partial(self.change_tempo, -1), partial(self.change_tempo, 1)
        return {"-": slower, "+": faster, "=": faster}


class Question(OfDrilling):
    """A question that waits for its answer."""

    place = StringProperty("")
    tempo = StringProperty("")

    def take_up(self, drilling: DrillState | None) -> DrillState:
        drilling = super().take_up(drilling)
        self.place = after.place(drilling.task.number, drilling.task.of, drilling.extra, drilling.seen)
        self.say_tempo()
        return drilling

    @property
    def task(self) -> Task[Any] | None:
        """The question's task, None before there is one."""
        return None if self._drilling is None else self._drilling.task

    def change_tempo(self, by: int) -> None:
        self.drilling.change_tempo(by)
        self.app.speaker.stop()
        self.say_tempo()

    def not_sure(self) -> None:
        """Give no answer rather than a guess."""
        self.app.speaker.stop()
        flow.give(self.app, self.drilling, None)

    def look_up(self) -> None:
        """Show what the signs of this question mean; the answer then counts as helped."""
        self.drilling.helped = True
        pages, layers = self.drilling.pages, self.drilling.task.layers
        self.app.over("look_up", features=features_on(pages, layers))

    def acts(self) -> dict[str, Callable[[], object]]:
        return {**super().acts(), "n": self.not_sure, "s": self.look_up}

    def say_tempo(self) -> None:
        self.tempo = f"{self.drilling.tempo:g}"

    def traced(self) -> dict[str, object]:
        if self.task is None:
            return {}
        return {"tempo": self.drilling.tempo, "playing": self.playing, **of_task(self.task)}


class AnswerPage(Card):
    """A page with what it is, and Hear; ``keeping`` is what the button says that keeps it, empty for none."""

    caption = StringProperty("")
    keeping = StringProperty("")
    keeps = BooleanProperty(False)
    key = StringProperty("")
    hint = StringProperty("")
    playing = BooleanProperty(False)
    left, right_of = NumericProperty(0), NumericProperty(0)
    """Pixels beside the page that its head takes; 0 where the head stands over it."""

    __events__ = ("on_hear", "on_keep")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._place = Clock.create_trigger(self._place_head, -1)
        self.bind(size=self._place)
        self.ids.page.bind(pattern=self._place, rows=self._place, layers=self._place)

    def _place_head(self, _dt: float) -> None:
        """The head over the page, or beside it where the page is then larger."""
        page, u = self.ids.page, look.u
        sides = 230 * u, self.ids.hear.width + 20 * u
        wide, high = self.width - 56 * u, self.height - 24 * u
        over = page.space_in(wide, high - self.ids.head.height)
        beside = 0.0 if look.portrait or look.text_size > 1.2 else page.space_in(wide - sum(sides), high)
        self.left, self.right_of = sides if beside > over else (0, 0)

    def on_hear(self) -> None: ...

    def on_keep(self) -> None: ...


class Spared(BoxLayout):
    """A button in a row of them that takes no room, and no key, where it is not ``there``.

    ``share``: of the row's width, against the others' 1.
    """

    caption = StringProperty("")
    name = StringProperty("")
    letter = StringProperty("")
    there = BooleanProperty(False)
    share = NumericProperty(1)

    __events__ = ("on_release",)

    def on_release(self) -> None: ...


class Tools(BoxLayout):
    """Take it back, where that is still possible, and the tempo at which the answer is heard."""

    may_take_back = BooleanProperty(False)
    tempo = StringProperty("")

    __events__ = ("on_take_back", "on_step")

    def on_take_back(self) -> None: ...

    def on_step(self, by: int) -> None: ...


class Answered(OfDrilling):
    """Shown once the answer is on disk: a page or two, what is to be said of them, and Next."""

    verdict = StringProperty("")
    right = BooleanProperty(False)
    last = BooleanProperty(False)
    tempo = StringProperty("")
    may_take_back = BooleanProperty(False)
    has_another = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._mark = MovingMark()

    def take_up(self, drilling: DrillState | None) -> DrillState:
        drilling = super().take_up(drilling)
        self.last = drilling.over
        self.may_take_back = drilling.may_take_back
        right = drilling.result is not None and drilling.result.right
        self.has_another = not right and not drilling.in_check and not drilling.practising
        self._say_tempo()
        return drilling

    def leave(self) -> None:
        self._mark.stop()
        super().leave()

    def play(self, key: str, *parts: tuple[Renders, AnswerPage, Way]) -> None:
        """Play sounds in turn under this key, a mark moving over the page of each; or stop them."""
        if not self.app.speaker.toggle(key, *(sound for sound, _, _ in parts)):
            return
        heard, start = time.perf_counter() + self.app.latencies.seconds, 0.0
        ways = []
        for sound, card, way in parts:
            ways.append((card.ids.page, [(start + at, slot) for at, slot in way]))
            start += self.app.speaker.sounds.seconds(sound) + PAUSE
        self._mark.follow(heard, *ways)

    def take_back(self) -> None:
        """The answer was given by mistake: its question stands again."""
        flow.take_back(self.app, self.drilling)

    def another(self) -> None:
        """Another question like the one that was misread."""
        if self.has_another:
            flow.another(self.app, self.drilling)

    def keep(self) -> None:
        """Put the page that was asked into a deck of the user's own."""
        task, practice = self.drilling.task, self.app.practice
        try:
            deck = keep(
                task.pattern, task.source.title, self.app.own_decks, practice.decks, after.kept_pages()
            )
        except DeckFileError as error:
            self.app.tell(Notice("decks", fault_said(error)))
            return
        self.app.reload_decks()
        self.app.tell(Notice("kept", after.kept(deck.title)))
        self._say_kept()

    def _say_kept(self) -> None:
        own, decks = self.app.own_decks, self.app.practice.decks
        words = after.keeping(is_kept(self.drilling.task.pattern, own, decks))
        for card in self.ids.pages.children:
            card.keeping = words if card.keeps else ""

    def hear(self, key: str) -> None:
        """Play what stands under this key, or stop it."""

    def next(self) -> None:
        flow.next_question(self.app, self.drilling)

    def acts(self) -> dict[str, Callable[[], object]]:
        acts = {**super().acts(), "enter": self.next, "e": self.keep}
        if self.may_take_back:
            acts["z"] = self.take_back
        if self.has_another:
            acts["m"] = self.another
        return acts

    def change_tempo(self, by: int) -> None:
        """Hear it slower or faster; what plays goes on at the new tempo."""
        playing = self.playing
        self.drilling.change_replay(by)
        self._say_tempo()
        self.app.speaker.stop()
        if playing:
            self.hear(playing)

    def _say_tempo(self) -> None:
        self.tempo = f"{self.drilling.replay_tempo:g}"

    def card(self, key: str, hint: str = "", keeps: bool = False) -> AnswerPage:
        """A page that ``hear`` plays under ``key``, made once and shown when it is needed.

        ``keeps``: with a button that keeps it.
        """
        card = AnswerPage(key=key, hint=hint, keeps=keeps)
        card.bind(on_hear=lambda _card: self.hear(key), on_keep=lambda _card: self.keep())
        return card

    def show_page(
        self,
        card: AnswerPage,
        caption: str,
        pattern: Pattern,
        places: Iterable[int],
        rows: Sequence[Row] = (),
    ) -> None:
        """Show a page with what it is, marks under some of its slots and rows beneath its lines."""
        card.caption = caption
        card.ids.page.rows = tuple(rows)
        card.ids.page.names = self.app.practice.setting("counts")
        card.ids.page.show(pattern, self.drilling.task.layers, places)
        if card.parent is None:
            self.ids.pages.add_widget(card)
        self._say_kept()

    def hide_page(self, card: AnswerPage) -> None:
        if card.parent is not None:
            self.ids.pages.remove_widget(card)

    def on_playing(self, _screen: object, playing: str) -> None:
        if not playing:
            self._mark.stop()
        for card in self.ids.pages.children:
            card.playing = playing == card.key

    def traced(self) -> dict[str, object]:
        return {
            "playing": self.playing,
            "cursors": {card.key: card.ids.page.cursor for card in self.ids.pages.children},
            "number": self.number,
            "of": self.of,
            "right": self.right,
            "verdict": self.verdict,
            "tempo": self.tempo,
        }


def of_task(task: Task[Any]) -> dict[str, object]:
    """What the trace tells of a task."""
    return {
        "number": task.number,
        "of": task.of,
        "drill": task.drill,
        "meter": task.pattern.meter.text,
        "pattern": task.pattern.text,
    }


load_kv(__file__)
