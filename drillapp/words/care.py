"""Short cautions for ears and hands."""

from __future__ import annotations

from .language import _, marked

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        marked("Keep the sound moderate."),
        # WHO and ITU, Recommendation H.870 (2018, 2022): a week's allowance, for adults and for children.
        marked(
            "Begin softly, above all with headphones, and turn it down when ears ring or feel dull. "
            "As a guide: at most 40 hours a week at 80 dB, for children at 75 dB (WHO and ITU, H.870)."
        ),
    ),
    (
        marked("Rest the hands."),
        marked(
            "A few minutes a day are enough. Shake the hands out between drills; "
            "let the shoulders hang loose."
        ),
    ),
    (
        marked("Stop when it hurts."),
        marked(
            "Pain, numbness or tingling is a sign to stop. If it stays or comes back, see a doctor or "
            "another qualified person."
        ),
    ),
)


def cautions() -> tuple[tuple[str, str], ...]:
    """Each caution: what to do, and why or how."""
    return tuple((_(head), _(words)) for head, words in CAUTIONS)
