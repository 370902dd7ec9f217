"""Play along, in words."""

from __future__ import annotations

from .language import _, ngettext


def round_place(number: int, tempo: float, left: int, then: float | None) -> str:
    """Which round it is, and when the tempo rises: after ``left`` more rounds, to ``then``; None: not."""
    if then is None:
        return _("Round %(number)d at %(tempo)s") % {"number": number, "tempo": f"{tempo:g}"}
    if left == 0:
        return _("Round %(number)d at %(tempo)s, then %(then)s") % {
            "number": number,
            "tempo": f"{tempo:g}",
            "then": f"{then:g}",
        }
    return ngettext(
        "Round %(number)d at %(tempo)s, one more, then %(then)s",
        "Round %(number)d at %(tempo)s, %(count)d more, then %(then)s",
        left,
    ) % {"number": number, "tempo": f"{tempo:g}", "count": left, "then": f"{then:g}"}


def counting_in() -> str:
    """The clicks of the count-in sound."""
    return _("Counting in")


def getting_ready() -> str:
    """The strokes of the chords are being made."""
    return _("Getting the strings ready")


def before_start(seconds: float) -> str:
    """What the screen is for, before it plays; ``seconds``: after how long it stops by itself."""
    return _(
        "Play with it; nothing is judged. It stops after %(minutes)d minutes, so that the hands rest."
    ) % {"minutes": round(seconds / 60)}


def rest_now() -> str:
    """It has stopped by itself after its longest time."""
    return _("Rest the hands for a while, and stop for today where anything hurts.")


def from_next_round() -> str:
    """What was changed holds from the next round on."""
    return _("From the next round on.")


def rise(step: int) -> str:
    """By how much the tempo rises."""
    return _("not faster") if not step else _("faster by %(step)d") % {"step": step}


def every(rounds: int) -> str:
    """After how many rounds the tempo rises."""
    return ngettext("each round", "every %(count)d rounds", rounds) % {"count": rounds}


def bars_a_chord(bars: int) -> str:
    """How long each chord lasts."""
    return ngettext("a chord a bar", "a chord for %(count)d bars", bars) % {"count": bars}


def in_key(key: str) -> str:
    """The key that the degrees are of."""
    return _("in %(key)s") % {"key": key}


def progression(degrees: tuple[str, ...]) -> str:
    """The chords by their degrees."""
    return _("one chord") if len(degrees) == 1 else " ".join(degrees)


def next_chord(chord: str) -> str:
    """The chord after this one."""
    return _("then %(chord)s") % {"chord": chord}
