"""The app's frame: which screen shows, the bar of screens, notices, keys, and the way out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.app import App as KivyApp
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.properties import ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.desk.desk import TeachersDesk
from drillapp.files.resources import shipped
from drillapp.practice.notice import Kind, Notice, with_notice, without_kind
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.frame.errors import keep_going, report
from drillapp.screens.frame.keys import KEY_LIST, Keys
from drillapp.screens.frame.memory import Tidy
from drillapp.screens.frame.table import SCREENS
from drillapp.screens.frame.trace import Trace
from drillapp.screens.frame.worker import Worker
from drillapp.screens.look.look import look, register_fonts
from drillapp.screens.sound.latencies import Latencies
from drillapp.screens.sound.speaker import Speaker
from drillapp.screens.widgets.focus import Focus
from drillapp.words.faults import fault_said
from drillapp.words.first import without_sound

if TYPE_CHECKING:
    from drillapp.decks.deck import Deck
    from drillapp.decks.faults import Fault
    from drillapp.practice.practice import Practice
    from drillapp.sound import Player


class NoticeBar(BoxLayout):
    """A sentence for the user at the top of the window, with a button that puts it away."""

    notice = ObjectProperty(None, allownone=True)

    __events__ = ("on_close",)

    def on_close(self) -> None: ...


class InventedBar(BoxLayout):
    """Says on every screen that all of it is invented."""


class TabBar(BoxLayout):
    """The bar of screens; ``on_choose`` gives the name of the one that was pressed."""

    chosen = StringProperty("")

    __events__ = ("on_choose",)

    def on_choose(self, name: str) -> None: ...


class Shell(BoxLayout):
    """The whole window: notice, screen, bar of screens.

    What is not shown is taken out: a disabled widget would still take the touches in its place.
    """

    screen = ObjectProperty(None, allownone=True)
    notices = ListProperty([])

    def __init__(self, go: Callable[[str], None], invented: bool = False) -> None:
        super().__init__()
        if invented:
            self.add_widget(InventedBar(), len(self.children))
        self._notice_bar, self._tab_bar = NoticeBar(), TabBar()
        self._notice_bar.bind(on_close=lambda bar: self.put_away(bar.notice))
        self._tab_bar.bind(on_choose=lambda _bar, name: go(name))

    def show(self, screen: Screen) -> None:
        self.ids.holder.clear_widgets()
        self.ids.holder.add_widget(screen)
        self.screen = screen
        self._tab_bar.chosen = screen.tab
        self._place(self._tab_bar, bool(screen.tab), 0)

    def choose_tab(self, number: int) -> None:
        """The screen of the bar with this number, from 1; nothing where no bar is shown."""
        tabs = [tab for tab in reversed(self._tab_bar.children) if not tab.disabled]
        if self._tab_bar.parent is not None and number <= len(tabs):
            tabs[number - 1].press()

    def tell(self, notice: Notice) -> None:
        self.notices = list(with_notice(self.notices, notice))

    def put_away(self, notice: Notice) -> None:
        self.notices = [other for other in self.notices if other != notice]

    def is_over(self, kind: Kind) -> None:
        """What notices of this kind told of is over."""
        self.notices = list(without_kind(self.notices, kind))

    def on_notices(self, _shell: Shell, notices: list[Notice]) -> None:
        self._notice_bar.notice = notices[0] if notices else None
        self._place(self._notice_bar, bool(notices), len(self.children))

    def _place(self, bar: BoxLayout, shown: bool, index: int) -> None:
        if shown and bar.parent is None:
            self.add_widget(bar, index)
        elif not shown and bar.parent is not None:
            self.remove_widget(bar)


class DrillApp(KivyApp):
    """The running app. ``make`` opens the practice and may raise ``refused`` with a sentence for the user."""

    def __init__(
        self,
        make: Callable[[], Practice],
        open_player: Callable[[str | None], Player],
        folder: Path,
        refused: tuple[type[Exception], ...] = (),
        load_decks: Callable[[], tuple[tuple[Deck, ...], tuple[Fault, ...]]] | None = None,
        trace: Path | None = None,
        invented: bool = False,
    ) -> None:
        super().__init__()
        self.title = "drillapp"
        self._make = make
        self._refused = refused
        self._trace_to = trace
        self._load_decks = load_decks
        self.own_decks = folder / "decks"
        self.folder = folder
        self.invented = invented
        self.practice: Practice  # once it is open
        self._is_open = False
        self.worker = Worker(self._failed)
        self.speaker = Speaker(lambda: open_player(self._preferred_player()))
        self.tidy = Tidy()
        self._screens: dict[str, Screen] = {}
        self.showing = ""
        self._beneath: list[tuple[Screen, str]] = []

    def build(self) -> Shell:
        register_fonts()
        self.root = Shell(self.go, self.invented)
        self.focus = Focus(lambda: self.root)
        self.keys = Keys(self.focus, lambda: self.root.screen, lambda: self.root.walk(), self._general_key)
        keep_going(self.tell)
        Window.bind(size=lambda *_args: self.fit())
        self.fit()
        look.bind(ground=self._clear_colour)
        self._clear_colour()
        self.speaker.bind(notice=self._on_sound_notice)
        if self._trace_to is not None:
            self._trace = Trace(self._trace_to, self._described, lambda: self.root)
        self.open_practice()
        return self.root

    def load_kv(self, filename: str | None = None) -> bool:
        """Nothing: every module loads its own rules, and Kivy would take drill.kv for the app's."""
        return False

    def open_settings(self, *_args: object) -> bool:
        """Nothing: F1 would open Kivy's own settings, which are none of the learner's."""
        return False

    def get_application_icon(self) -> str:
        try:
            return str(shipped("media", "icon.png"))
        except FileNotFoundError:
            return ""

    def on_start(self) -> None:
        # The device is opened once the first frame is up; it may take its time.
        Clock.schedule_once(lambda _dt: self._open_sound(), 0.1)

    def on_stop(self) -> None:
        if self.root.screen is not None:
            self.root.screen.leave()
        self.speaker.close()
        self.worker.close()
        if self._is_open:
            self.practice.log.close()

    def on_pause(self) -> bool:
        self.speaker.stop()
        return True

    def fit(self) -> None:
        """Take the window's size."""
        look.fit(*Window.size)

    def open_practice(self) -> None:
        """Open the practice log and show Today, or say in full why it cannot be opened."""
        try:
            self.practice = self._make()
        except self._refused as refusal:
            self.go("stopped", message=fault_said(refusal))
            return
        self._is_open = True
        self.desk = TeachersDesk(self.practice.log, self.folder, self.practice.now)
        self.practice.hears(self.speaker.notice is None)
        self.latencies = Latencies(self.practice, self.speaker)
        look.theme = self.practice.setting("theme")
        look.hints = self.practice.setting("key_hints")
        look.text_size = self.practice.setting("text_size")
        self.fit()
        self.speaker.set_volume(self.practice.setting("volume"))
        for notice in self.practice.notices:
            self.tell(replace(notice, text=fault_said(notice.text)))
        if self.practice.setting("cautions_read"):
            self.go("first" if self.practice.is_new() else "today")
        else:
            self.go("cautions")

    def go(self, name: str, **given: Any) -> None:
        """Show a screen, handing it what it is to show."""
        if self.root.screen is not None:
            self.root.screen.leave()
        while self._beneath:
            self._beneath.pop()[0].leave()
        screen = self._screen(name)
        self.focus.clear()
        self.showing = name
        screen.enter(**given)
        self.root.show(screen)

    def over(self, name: str, **given: Any) -> None:
        """Show a screen over the present one, which keeps its state until ``uncover``."""
        self.root.screen.pause()
        self._beneath.append((self.root.screen, self.showing))
        screen = self._screen(name)
        self.focus.clear()
        self.showing = name
        screen.enter(**given)
        self.root.show(screen)

    def uncover(self) -> None:
        """Put away the screen that is shown over another, which is then told to ``resume``."""
        if not self._beneath:
            return
        screen, self.showing = self._beneath.pop()
        self.root.screen.leave()
        self.focus.clear()
        self.root.show(screen)
        screen.resume()

    def _general_key(self, act: str, number: int = 0) -> None:
        """What keys do on every screen: the list of keys, shown or put away, or a screen of the bar."""
        if act == KEY_LIST:
            if self.showing == KEY_LIST:
                self.uncover()
            else:
                self.over(KEY_LIST, about=self.root.screen)
        else:
            self.root.choose_tab(number)

    def build_ahead(self, name: str) -> None:
        """Build a screen that will be shown soon."""
        self._screen(name)

    def screen_made(self, name: str) -> Screen | None:
        """A screen that was shown or built before; None where it was not."""
        return self._screens.get(name)

    def _screen(self, name: str) -> Screen:
        """A screen; built when it is first asked for."""
        if name not in self._screens:
            self._screens[name] = SCREENS[name](self)
        return self._screens[name]

    def reload_decks(self) -> None:
        """Read the decks' files again."""
        if self._load_decks is not None:
            self.practice.decks, self.practice.faults = self._load_decks()

    def later(self, act: Callable[[], None]) -> None:
        """Do something once the present change of screen is done."""
        Clock.schedule_once(lambda _dt: act(), 0)

    def tell(self, notice: Notice) -> None:
        """Show a sentence at the top of the window until it is put away or out of date."""
        self.root.tell(notice)

    def is_over(self, kind: Kind) -> None:
        """What notices of this kind told of is over: they go."""
        self.root.is_over(kind)

    def _failed(self, error: BaseException) -> None:
        report(error, self.tell)

    def _preferred_player(self) -> str | None:
        chosen = self.practice.setting("player") if self._is_open else "automatic"
        return None if chosen == "automatic" else chosen

    def _open_sound(self) -> None:
        if self._is_open:
            _ = self.speaker.player

    def _on_sound_notice(self, _speaker: Speaker, notice: Notice | None) -> None:
        look.silent = notice is not None
        if self._is_open:
            self.practice.hears(notice is None)
        if notice is None:
            self.root.is_over("sound")
        else:
            self.tell(replace(notice, text=without_sound(notice.text)))

    def _clear_colour(self, *_args: object) -> None:
        Window.clearcolor = look.ground

    def _described(self) -> dict[str, Any]:
        screen = self.root.screen
        focus = self.focus.current()
        return {
            "screen": self.showing,
            "notices": [notice.text for notice in self.root.notices],
            "focus": focus.ident if focus is not None else "",
            **(screen.traced() if screen else {}),
        }


load_kv(__file__)
