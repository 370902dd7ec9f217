"""Meet the sign: what it looks like, what the hand does, a bar with it and one without, and a try by hand.

Nothing here is graded or logged. The mark on the page moves with the sound as it is heard, so it sets out the
player's latency after the call to play.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.drills.lessons import LESSONS, Lesson
from drillapp.drills.strum.grade import repeated
from drillapp.music import LAYERS
from drillapp.music.slots import Hand
from drillapp.notation.sign_parts import sign_parts
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.frame.polling import listen_closely
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import PAUSE, RATE, Clicks, Sound
from drillapp.screens.widgets import sign
from drillapp.screens.widgets.basic import Card
from drillapp.screens.widgets.held_keys import HeldKeys
from drillapp.screens.widgets.moving_page import MovingPage
from drillapp.screens.widgets.strings import Crossing
from drillapp.screens.widgets.strum_keys import read_keys
from drillapp.words import lessons as words

__all__ = ["Meet", "sign"]

WITH, WITHOUT, BOTH, TRY = "with", "without", "both", "try"
ROUNDS = 4
"""how often the bar is tried in one go"""
EARLY = 0.15
"""seconds before a round from which a stroke belongs to it"""


class SignPart(BoxLayout):
    """A sign as one layer shows it, and which layer that is."""

    caption = StringProperty("")


class BarCard(Card):
    """A bar with its caption and Hear; ``marked`` keeps room for the marks of strokes."""

    caption = StringProperty("")
    key = StringProperty("")
    hint = StringProperty("")
    playing = BooleanProperty(False)
    marked = BooleanProperty(False)

    __events__ = ("on_hear",)

    def on_hear(self) -> None: ...


class TryCard(Card):
    """The strings, and the palm beside them."""

    key_hint = StringProperty("")
    palm_key = BooleanProperty(False)


class Meet(Sounding):
    """The lesson on one sign. ``asks``: the question about it comes next."""

    heading = StringProperty("")
    see = StringProperty("")
    hand = StringProperty("")
    say = StringProperty("")
    count = StringProperty("")
    remark = StringProperty("")
    asks = BooleanProperty(False)
    trying = BooleanProperty(False)
    round = NumericProperty(0)
    layers = ListProperty([])

    _lesson: Lesson | None = None

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._then: Callable[[], object] = lambda: app.go("signs")
        self._keys = HeldKeys(self._key_stroke)
        self._try = TryCard()
        self._keys.bind(muting=self._try.setter("palm_key"))
        self._try.ids.field.struck = self._struck
        self._cards = {WITH: self._card(WITH, "1"), WITHOUT: self._card(WITHOUT, "2")}
        self._marks: list[tuple[MovingPage, float]] = []
        self._moving = Clock.create_trigger(self._move, interval=True)
        self._zero = 0.0
        """when the first beat of a try is heard, on ``perf_counter``"""
        self._of_round = 0

    def _card(self, key: str, hint: str) -> BarCard:
        card = BarCard(key=key, hint=hint)
        card.bind(on_hear=lambda _card: self.hear(key))
        return card

    @property
    def lesson(self) -> Lesson:
        """The lesson that is shown."""
        assert self._lesson is not None  # the screen is shown with a sign
        return self._lesson

    def enter(
        self,
        feature: str = "beat",
        then: Callable[[], object] | None = None,
        asks: bool = False,
        **_given: object,
    ) -> None:
        super().enter()
        self._lesson = lesson = LESSONS[feature]
        self._then, self.asks = then or self._then, asks
        setting = self.app.practice.setting
        own, names = setting("layers"), setting("counts")
        self.layers = list(lesson.layers_beside(own))
        self.heading = words.lesson_title(feature)
        self.see, self.hand, self.say = words.see(feature), words.hand(feature), words.say(feature)
        self.count = words.count_row(lesson.shown, names)
        self._show_parts(names)
        bars = {WITH: (lesson.shown, lesson.plain), WITHOUT: (lesson.plain, lesson.shown)}
        for key, (bar, other) in bars.items():
            page = self._cards[key].ids.page
            page.names, page.beside, page.heard, page.strokes = names, other, None, []
            page.show(bar, self.layers, lesson.places(self.layers) if key == WITH else ())
        self._cards[WITH].caption = words.with_it(feature)
        self._cards[WITHOUT].caption = words.without_it(feature)
        self._strum_keys = read_keys(setting("strum_keys"))
        self._try.key_hint = self._strum_keys.hint
        self._place_hands(setting("hand") == "left")
        self.trying = False
        self._lay_out()
        sounds = tuple(self._sound(key) for key in (WITH, WITHOUT))
        self.app.worker.do(lambda: self._ready(sounds))

    def leave(self) -> None:
        self._put_down()
        super().leave()

    def hear(self, key: str) -> None:
        """Play the bar with the sign, the one without it, or both in turn; or stop what plays."""
        playing = self.playing
        self._put_down()
        self.app.speaker.stop()
        if self.trying:
            self.trying = False
            self._lay_out()
        if playing == key:
            return
        pairs = [(self._cards[one].ids.page, self._sound(one)) for one in (WITH, WITHOUT)]
        chosen = pairs if key == BOTH else pairs[:1] if key == WITH else pairs[1:]
        sounds = self.app.speaker.sounds
        lasting = [len(sounds.samples(sound)) / RATE + PAUSE for _, sound in chosen]
        begun = time.perf_counter()
        self.app.speaker.play(key, *(sound for _, sound in chosen))
        start = begun + self.app.speaker.latency
        starts = [start + sum(lasting[:number]) for number in range(len(chosen))]
        self._set_out([(page, at) for (page, _), at in zip(chosen, starts, strict=True)])

    def try_it(self) -> None:
        """Count in, then play the bar round and round with a click while it is strummed; or stop."""
        playing = self.playing
        self._put_down()
        self.app.speaker.stop()
        if playing == TRY:
            return
        self.trying = True
        self._lay_out()
        bar = self.lesson.shown
        clicks = Clicks(repeated(bar, ROUNDS), float(bar.tempo), True)
        samples = self.app.speaker.sounds.samples(clicks)
        listen_closely(True)
        begun = time.perf_counter()
        self.app.speaker.play_samples(TRY, samples)
        self._zero = begun + self.app.latencies.seconds + clicks.count_in_seconds
        self._try.ids.field.listening = True
        self._keys.listen(self._strum_keys)
        self.round = self._of_round = 0
        self.remark = words.try_words(counting=True)
        page = self._cards[WITH].ids.page
        page.strokes = []
        self._set_out([(page, begun + self.app.speaker.latency + clicks.count_in_seconds)])

    def pause(self) -> None:
        self._put_down()
        super().pause()

    def keys_that_strum(self) -> str:
        return str(self._strum_keys.hint)

    def done(self) -> None:
        """The sign is met; on to the question about it, or back to where the lesson was opened."""
        self._put_down()
        self.app.practice.meet(self.lesson.feature)
        self._then()

    def back(self) -> None:
        if self.asks:
            super().back()
        else:
            self._then()

    def acts(self) -> dict[str, Callable[[], object]]:
        return {
            "1": lambda: self.hear(WITH),
            "2": lambda: self.hear(WITHOUT),
            "h": lambda: self.hear(BOTH),
            "space": lambda: self.hear(BOTH),
            "t": self.try_it,
            "enter": self.done,
        }

    def traced(self) -> dict[str, object]:
        if self._lesson is None:
            return {}
        page = self._cards[WITH].ids.page
        return {
            "feature": self._lesson.feature,
            "asks": self.asks,
            "playing": self.playing,
            "trying": self.trying,
            "round": int(self.round),
            "strokes": len(page.strokes),
            "pattern": self._lesson.shown.text,
        }

    def on_playing(self, _screen: object, playing: str) -> None:
        for key, card in self._cards.items():
            card.playing = playing == key
        if not playing:
            self._put_down()

    def arrange(self) -> None:
        """Set the cards again after the window was turned."""
        if self._lesson is not None:
            self._lay_out()

    def _sound(self, key: str) -> Sound:
        bar = self.lesson.shown if key == WITH else self.lesson.plain
        setting = self.app.practice.setting
        # A click on the beats says where they are; a bar counted in would make the two hard to compare.
        return Sound(bar, float(bar.tempo), setting("chord"), setting("voice"), 0, False, True)

    def _ready(self, sounds: tuple[Sound, ...]) -> None:
        for sound in sounds:
            self.app.speaker.sounds.ready(sound)

    def _lay_out(self) -> None:
        shown = [self._cards[WITH], self._try if self.trying else self._cards[WITHOUT]]
        bars = self.ids.bars
        bars.clear_widgets()
        for card in shown:
            bars.add_widget(card)
        if not self.trying:
            self.remark = words.what_differs(self.lesson.feature)
        self._cards[WITH].marked = self.trying

    def _show_parts(self, names: str) -> None:
        """The sign as each layer that is shown draws it."""
        parts = self.ids.parts
        parts.clear_widgets()
        bar, feature = self.lesson.shown, self.lesson.feature
        for layer in LAYERS:
            if layer not in self.layers:
                continue
            drawn = sign_parts(bar, feature, self.lesson.places(self.layers) or (0,), layer, names)
            if drawn is not None:
                part = SignPart(caption=words.layer_words(layer))
                part.ids.drawn.parts = drawn
                parts.add_widget(part)

    def _place_hands(self, left_handed: bool) -> None:
        palm, strings = self._try.ids.palm, self._try.ids.strings
        self._try.ids.hands.clear_widgets()
        for card in (strings, palm) if left_handed else (palm, strings):
            self._try.ids.hands.add_widget(card)

    def _set_out(self, marks: list[tuple[MovingPage, float]]) -> None:
        """Let a mark run over each page from the moment that its first beat is heard."""
        self._marks = marks
        self._moving()

    def _move(self, _dt: float) -> None:
        now = time.perf_counter()
        if self.playing == TRY:
            self._move_round(now)
            return
        for page, start in self._marks:
            at = now - start
            page.heard = at if 0 <= at <= page.pattern.seconds(page.pattern.length) else None

    def _move_round(self, now: float) -> None:
        page, start = self._marks[0]
        lasts = page.pattern.seconds(page.pattern.length)
        number = int((now - start) // lasts)
        page.heard = (now - start) - max(number, 0) * lasts if now - start < ROUNDS * lasts else None
        if number >= 0 and number + 1 > self.round:
            self.round = number + 1
            self.remark = words.try_words(counting=False)

    def _struck(self, stroke: Crossing) -> None:
        """Mark a stroke where it fell in the bar; those of the round before go."""
        page = self._cards[WITH].ids.page
        lasts = page.pattern.seconds(page.pattern.length)
        since = stroke.time - self._zero
        if since < -EARLY or since > ROUNDS * lasts:
            return
        number = int((since + EARLY) // lasts)
        kept = page.strokes if number == self._of_round else []
        self._of_round = number
        page.strokes = [*kept, (since - number * lasts, stroke.hand, stroke.muted)]

    def _key_stroke(self, hand: Hand, accent: bool) -> None:
        self._try.ids.field.key_stroke(hand, accent)

    def _put_down(self) -> None:
        """No mark moves and no stroke is listened for."""
        self._moving.cancel()
        self._keys.stop()
        listen_closely(False)
        self._try.ids.field.listening = False
        for card in self._cards.values():
            card.ids.page.heard = None


load_kv(__file__)
