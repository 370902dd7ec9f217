"""The player as the screens know it: one sound at a time, which one, and whether there is sound at all."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.clock import Clock
from kivy.event import EventDispatcher
from kivy.properties import ObjectProperty, StringProperty

from drillapp.practice.notice import Notice
from drillapp.screens.sound.sounds import RATE, Renders, Sounds

if TYPE_CHECKING:
    from drillapp.sound import Handle, Player
    from drillapp.sound.players.facade import Stream
    from drillapp.sound.strokes import Samples

LOOK_AGAIN = 4.0
"""seconds between two looks for a sound device where there is none"""


class Speaker(EventDispatcher):
    """``playing``: the key of the sound that is heard, empty in silence.

    ``notice``: why nothing can be heard, None where sound can be.
    """

    playing = StringProperty("")
    notice = ObjectProperty(None, allownone=True)

    def __init__(self, open_player: Callable[[], Player], volume: float = 0.3) -> None:
        super().__init__()
        self.sounds = Sounds()
        self._open = open_player
        self._volume = volume
        self._player: Player | None = None
        self._handle: Handle | None = None
        Clock.schedule_interval(self._watch, 0.05)
        Clock.schedule_interval(self._look_again, LOOK_AGAIN)

    @property
    def player(self) -> Player:
        """The player, opened when it is first asked for."""
        if self._player is None:
            self._player = self._open()
            self._player.volume = self._volume
            self._say_notice()
        return self._player

    @property
    def latency(self) -> float:
        """About how many seconds pass between a call to play and the sound."""
        return float(self.player.latency)

    @property
    def silent(self) -> bool:
        """Whether nothing can be heard."""
        return bool(self.player.notice)

    @property
    def lost(self) -> bool:
        """Whether the device that sound went to has gone."""
        return self._player is not None and self._player.lost

    def set_volume(self, volume: float) -> None:
        self._volume = volume
        if self._player is not None:
            self._player.volume = volume

    def toggle(self, key: str, *sounds: Renders) -> bool:
        """Play the sounds in turn under this key, or stop them where they play; True where they start."""
        if self.playing == key:
            self.stop()
            return False
        self.play(key, *sounds)
        return True

    def play(self, key: str, *sounds: Renders) -> None:
        self.stop()
        player = self.player
        if player.notice:
            player.refresh()
        self.play_samples(
            key, self.sounds.in_turn(*sounds) if len(sounds) > 1 else self.sounds.samples(sounds[0])
        )

    def play_samples(self, key: str, samples: Samples) -> Handle:
        self.stop()
        handle = self.player.play(samples, RATE)
        self._handle = handle
        self._say_notice()
        self.playing = key
        return handle

    def stream(self, key: str, samples: Samples, seconds: float) -> Stream | None:
        """Play samples that will be added to, up to ``seconds``; None where only whole sounds play."""
        self.stop()
        if self.player.notice:
            self.player.refresh()
        stream = self.player.stream(samples, RATE, seconds=seconds)
        if stream is not None:
            self._handle, self.playing = stream, key
        self._say_notice()
        return stream

    def stop(self) -> None:
        if self._handle is not None:
            self._handle.stop()
        self._handle = None
        self.playing = ""

    def close(self) -> None:
        self.stop()
        if self._player is not None:
            self._player.close()

    def _watch(self, _dt: float) -> None:
        if self._handle is not None and not self._handle.playing:
            self._handle = None
            self.playing = ""

    def _look_again(self, _dt: float) -> None:
        if self._player is not None and not self.playing and self._player.refresh():
            self._say_notice()

    def _say_notice(self) -> None:
        text = self.player.notice
        self.notice = Notice("sound", text) if text else None
