"""How late the learner's strokes come in: what was calibrated for this device, and whether it still holds.

Kept in the device's settings, a row for each player and device; all learners on it share them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from drillapp.practice.notice import Notice
from drillapp.sound import Calibration, looks_off
from drillapp.words.latency import looks_wrong

if TYPE_CHECKING:
    from drillapp.practice.practice import Practice
    from drillapp.screens.sound.speaker import Speaker


class Latencies:
    """The latencies of ``practice``'s settings, for the device that ``speaker`` plays through."""

    def __init__(self, practice: Practice, speaker: Speaker) -> None:
        self._practice, self._speaker = practice, speaker
        self._key = ""
        self._leads: list[float] = []
        self._said = False

    @property
    def key(self) -> str:
        """The player and its device; ``look`` looks at them afresh."""
        if not self._key:
            self.look()
        return self._key

    def look(self) -> None:
        """See what is plugged in now; takes of another device say nothing about this one."""
        player = self._speaker.player
        key = f"{player.name} on {player.device}"
        if key != self._key:
            self._leads, self._said = [], False
        self._key = key

    @property
    def kept(self) -> Calibration | None:
        """What was calibrated for this player and device; None where nothing was."""
        row = self._practice.setting("latencies").get(self.key)
        return None if row is None else Calibration(row["latency"], row["spread"], int(row["taps"]))

    @property
    def kept_on(self) -> float:
        """When that was, in UTC seconds; 0 where nothing was calibrated."""
        return float(self._practice.setting("latencies").get(self.key, {}).get("utc", 0.0))

    @property
    def seconds(self) -> float:
        """From the call to play until a stroke in time with what is heard comes in."""
        kept = self.kept
        return float(self._speaker.latency) if kept is None else kept.latency

    def keep(self, found: Calibration, now: float) -> None:
        """Keep an estimate for this player and device; ``now`` in UTC seconds."""
        rows = dict(self._practice.setting("latencies"))
        rows[self.key] = {"latency": found.latency, "spread": found.spread, "taps": found.taps, "utc": now}
        self._change(rows)

    def forget(self) -> None:
        rows = self._practice.setting("latencies")
        self._change({key: row for key, row in rows.items() if key != self.key})

    def took(self, lead: float) -> Notice | None:
        """Note a take's constant lead in s; gives a notice, once, where the latency looks wrong."""
        self._leads.append(lead)
        kept = self.kept
        if self._said or not looks_off(self._leads, kept):
            return None
        self._said = True
        return Notice("latency", looks_wrong(kept is not None))

    def _change(self, rows: dict[str, dict[str, float]]) -> None:
        newest = sorted(rows, key=lambda key: rows[key]["utc"])[-20:]
        self._practice.change("latencies", {key: rows[key] for key in newest})
        self._leads, self._said = [], False
