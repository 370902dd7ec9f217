"""What a Reading check has found."""

from __future__ import annotations

from drillapp.drills import Finding

from .language import _, marked, ngettext
from .plan import spent
from .signs import listed

MANY = 4  # signs still open are named up to so many
LOW = 0.75  # share read right below which it is not enough to say that no sign is weaker than the others
WEAK, OPEN, WELL = "weak", "open", "well"
STANDINGS: dict[str, str] = {
    WEAK: marked("weak"),
    OPEN: marked("still open"),
    WELL: marked("no weaker than the others"),
}


def finding_sentence(finding: Finding) -> str:
    """The finding in a sentence or two, the features by their names.

    >>> finding_sentence(Finding((), ("beat",), (), {}, 0.05))
    'No weak sign was found.'
    """
    if finding.weak:
        return _and_open(_("Weak: %(signs)s.") % {"signs": listed(finding.weak)}, finding)
    right = sum(right for right, _count in finding.read.values())
    count = sum(count for _right, count in finding.read.values())
    if count and not right:
        return _("No sign was read right, so this check cannot tell which one is weaker than the others.")
    if count and right < LOW * count:
        if finding.undecided:
            return _and_open(_("Many signs were not read right, and none stands out yet."), finding)
        return _("No sign is weaker than the others: all of them are misread often.")
    return _and_open(_("No weak sign was found."), finding)


def finding_heading(pages: int, signs: int, seconds: float) -> str:
    """How much was asked, and in what time."""
    return ngettext(
        "%(pages)d page, %(signs)d signs asked, in %(time)s",
        "%(pages)d pages, %(signs)d signs asked, in %(time)s",
        pages,
    ) % {"pages": pages, "signs": signs, "time": spent(seconds)}


def sureness(error_rate: float) -> str:
    """How often such a check calls a sign weak that is not, and what becomes of the open ones."""
    return _(
        "At most one check in %(checks)d calls a sign weak that is read as well as the others. "
        "Signs still open need more pages: the daily drill goes on asking."
    ) % {"checks": round(1 / error_rate)}


def standing_name(standing: str) -> str:
    """What is said of a sign beside its row: one of STANDINGS."""
    return _(STANDINGS[standing])


def no_check(why: str) -> str:
    """Said where no check can be made; ``why`` is the refusal's own sentence."""
    return _("A Reading check is not possible yet: %(why)s.") % {"why": why}


def _and_open(sentence: str, finding: Finding) -> str:
    count = len(finding.undecided)
    if not count:
        return sentence
    if count > MANY:
        more = ngettext("%(count)d sign is still open.", "%(count)d signs are still open.", count)
        return f"{sentence} {more % {'count': count}}"
    return f"{sentence} {_('Still open: %(signs)s.') % {'signs': listed(finding.undecided)}}"
