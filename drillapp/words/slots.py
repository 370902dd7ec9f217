"""What is said of a page that was strummed or written: its slots, takes set aside, the timing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from drillapp.drills import StrumResult
from drillapp.drills.dictation import EMPTY, SILENCE_ADDED, SILENCE_MISSED
from drillapp.drills.explain import motion
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.strum.recognised import (
    DOUBLE_TIME,
    HALF_TIME,
    NO_STROKES,
    SCORED,
    TOO_FAST,
    TOO_FEW,
    TOO_MANY,
    TOO_SLOW,
    UNCLEAR,
    UNREADABLE,
)
from drillapp.drills.verdicts import (
    ACCENT_ADDED,
    ACCENT_MISSED,
    EARLY,
    EXTRA,
    LATE,
    LEFT_OUT,
    MUTE_ADDED,
    MUTE_MISSED,
    WRONG_HAND,
)
from drillapp.music import Pattern

from .hands import hand_of, sign_at
from .language import _, marked, ngettext, nmarked
from .places import place_name

#: what each verdict says of a slot that was strummed
STRUMMED: dict[str, str | Sequence[str]] = {
    EARLY: marked("early (struck before its time, by the player's own beat)"),
    LATE: marked("late (struck after its time, by the player's own beat)"),
    LEFT_OUT: (marked("left out (the hand strikes down)"), marked("left out (the hand strikes up)")),
    EXTRA: (
        marked("extra (the hand goes down past the strings)"),
        marked("extra (the hand comes up past the strings)"),
    ),
    WRONG_HAND: (marked("wrong hand (it strikes down)"), marked("wrong hand (it strikes up)")),
    MUTE_MISSED: marked("mute missed (the strings are damped)"),
    MUTE_ADDED: marked("mute added (the strings ring)"),
    ACCENT_MISSED: marked("accent missed (no louder than the player's plain strokes)"),
    ACCENT_ADDED: marked("accent added (louder than the player's plain strokes)"),
}
#: and of one that was written down
WRITTEN_DOWN: dict[str, str | Sequence[str]] = {
    LEFT_OUT: (marked("left out (the hand strikes down)"), marked("left out (the hand strikes up)")),
    EXTRA: (
        marked("extra (the hand goes down past the strings)"),
        marked("extra (the hand comes up past the strings)"),
    ),
    WRONG_HAND: (marked("wrong hand (it strikes down)"), marked("wrong hand (it strikes up)")),
    MUTE_MISSED: marked("mute missed (the strings are damped)"),
    MUTE_ADDED: marked("mute added (the strings ring)"),
    ACCENT_MISSED: marked("accent missed (it sounded louder)"),
    ACCENT_ADDED: marked("accent added (it sounded no louder)"),
    SILENCE_MISSED: marked("silence missed (a hand stops the strings)"),
    SILENCE_ADDED: marked("silence added (the strings ring on)"),
    EMPTY: marked("left empty (nothing was written)"),
}
#: why a take is not scored; the numbers of strokes have a plural and are said by ``_strokes``
SET_ASIDE: dict[str, str] = {
    NO_STROKES: marked("No stroke was heard, so this take is not scored."),
    HALF_TIME: marked(
        "This was in half time: %(found)d beats a minute where %(asked)d was counted in. "
        "Not scored; try again."
    ),
    DOUBLE_TIME: marked(
        "This was in double time: %(found)d beats a minute where %(asked)d was counted in. "
        "Not scored; try again."
    ),
    TOO_SLOW: marked(
        "This was at %(found)d beats a minute, and %(asked)d was counted in. "
        "Not scored; set your tempo and try again."
    ),
    TOO_FAST: marked(
        "This was at %(found)d beats a minute, and %(asked)d was counted in. "
        "Not scored; set your tempo and try again."
    ),
    UNREADABLE: marked("Some strokes came without a time or force, so this take is not scored."),
    UNCLEAR: marked("These strokes do not fit the page well enough to say what was read. Try it slower."),
}
DISTURBANCES: dict[str, str] = {
    "sound changed": marked("The sound changed while you played, so this take is not scored. Try it again."),
    "sound stopped": marked("The sound stopped while you played, so this take is not scored. Try it again."),
    "window changed": marked(
        "The window changed while you played, so this take is not scored. Try it again."
    ),
}
ROUNDS: tuple[tuple[str, str], ...] = (
    nmarked(
        "The first time through %(count)d slot more went wrong; the other times decide.",
        "The first time through %(count)d slots more went wrong; the other times decide.",
    ),
    nmarked(
        "The second time through %(count)d slot more went wrong; the other times decide.",
        "The second time through %(count)d slots more went wrong; the other times decide.",
    ),
    nmarked(
        "The third time through %(count)d slot more went wrong; the other times decide.",
        "The third time through %(count)d slots more went wrong; the other times decide.",
    ),
    nmarked(
        "The fourth time through %(count)d slot more went wrong; the other times decide.",
        "The fourth time through %(count)d slots more went wrong; the other times decide.",
    ),
)
ON_THE_CLICK, AHEAD, BEHIND = "on the click", "ahead", "behind"
STEADY, FASTER, SLOWER = "steady", "faster", "slower"
LEAST_LEAD = 10  # ms: nearer is with the click
TIMING: dict[tuple[str, str], str] = {
    (ON_THE_CLICK, STEADY): marked(
        "With the click; steady to %(steadiness)d ms. That is timing, not reading."
    ),
    (ON_THE_CLICK, FASTER): marked(
        "With the click, %(drift)d %% faster than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
    (ON_THE_CLICK, SLOWER): marked(
        "With the click, %(drift)d %% slower than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
    (AHEAD, STEADY): marked(
        "%(lead)d ms ahead of the click; steady to %(steadiness)d ms. That is timing, not reading."
    ),
    (AHEAD, FASTER): marked(
        "%(lead)d ms ahead of the click, %(drift)d %% faster than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
    (AHEAD, SLOWER): marked(
        "%(lead)d ms ahead of the click, %(drift)d %% slower than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
    (BEHIND, STEADY): marked(
        "%(lead)d ms behind the click; steady to %(steadiness)d ms. That is timing, not reading."
    ),
    (BEHIND, FASTER): marked(
        "%(lead)d ms behind the click, %(drift)d %% faster than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
    (BEHIND, SLOWER): marked(
        "%(lead)d ms behind the click, %(drift)d %% slower than counted in; steady to %(steadiness)d ms. "
        "That is timing, not reading."
    ),
}


def verdict_of_slots(misread: int | None, by_ear: bool) -> str:
    """The heading after a page: how many slots differ, None for Not sure; ``by_ear``: from what sounded."""
    if misread is None:
        return _("Here it is")
    if not misread:
        return _("Everything read right")
    if by_ear:
        words = ngettext(
            "%(count)d slot differs from what sounded", "%(count)d slots differ from what sounded", misread
        )
    else:
        words = ngettext(
            "%(count)d slot differs from the page", "%(count)d slots differ from the page", misread
        )
    return words % {"count": misread}


def slot_lines(detail: SlotBySlot) -> tuple[str, ...]:
    """A line for each slot that is wrong, then what went otherwise in single rounds, which does not count."""
    table = STRUMMED if detail.written is None else WRITTEN_DOWN
    lines = [
        slot_line(
            detail.page,
            slot.index,
            (
                hand_of(table, word, motion(detail.page, slot.index))
                for word in detail.verdicts
                if word in slot.verdicts
            ),
        )
        for slot in detail.slots
        if slot.verdicts
    ]
    if detail.played is not None and len(detail.played.rounds) > 1:
        lines.extend(_rounds(detail.played))
    return tuple(lines)


def slot_line(pattern: Pattern, index: int, verdicts: Iterable[str]) -> str:
    """What is said of one slot: ``On the + of 2, an offbeat: left out (the hand strikes up)``."""
    return _("On %(place)s, %(sign)s: %(verdicts)s") % {
        "place": place_name(pattern, index),
        "sign": sign_at(pattern, index),
        "verdicts": "; ".join(verdicts),
    }


def set_aside(graded: StrumResult) -> str:
    """Why a take is not scored; empty where it is."""
    if graded.kind == SCORED:
        return ""
    if graded.kind in (TOO_FEW, TOO_MANY):
        return _strokes(graded)
    return _(SET_ASIDE[graded.kind]) % {"found": round(graded.tempo), "asked": round(graded.asked)}


def disturbed(what: str) -> str:
    """Why a take that something came in the way of is not scored; ``what`` is one of DISTURBANCES."""
    return _(DISTURBANCES[what])


def timing(graded: StrumResult) -> str:
    """How the take stood to the click, apart from reading."""
    lead, drift = round(graded.lead * 1000), round(graded.drift * 100)
    side = ON_THE_CLICK if abs(lead) < LEAST_LEAD else AHEAD if lead > 0 else BEHIND
    pace = FASTER if drift > 0 else SLOWER if drift else STEADY
    return _(TIMING[side, pace]) % {
        "lead": abs(lead),
        "drift": abs(drift),
        "steadiness": round(graded.steadiness * 1000),
    }


def how_often(times: int) -> str:
    """How often a page is played in one take."""
    if times == 1:
        return _("Once")
    if times == 2:
        return _("Twice")
    return ngettext("%(count)d time", "%(count)d times", times) % {"count": times}


def slots_left(empty: int) -> str:
    """How many slots are still to be filled; nothing where none is."""
    if not empty:
        return ""
    return ngettext("%(count)d slot left", "%(count)d slots left", empty) % {"count": empty}


def _rounds(graded: StrumResult) -> Iterator[str]:
    for (one, many), slots in zip(ROUNDS, graded.rounds, strict=False):
        slips = sum(
            slot.misread and not counts.misread for slot, counts in zip(slots, graded.slots, strict=True)
        )
        if slips:
            yield ngettext(one, many, slips) % {"count": slips}


def _strokes(graded: StrumResult) -> str:
    if graded.kind == TOO_FEW:
        words = ngettext(
            "Only %(played)d of %(written)d stroke was played, so this take is not scored. Try it slower.",
            "Only %(played)d of %(written)d strokes were played, so this take is not scored. Try it slower.",
            graded.written,
        )
    else:
        words = ngettext(
            "%(played)d stroke was played where the page has %(written)d, so this take is not scored.",
            "%(played)d strokes were played where the page has %(written)d, so this take is not scored.",
            graded.played,
        )
    return words % {"played": graded.played, "written": graded.written}
