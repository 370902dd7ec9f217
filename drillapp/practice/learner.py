"""Who practises: the learners on this device, and which one of them it is now.

Those who only handed in are the desk's: they are not listed here, and nobody practises as them.
"""

from __future__ import annotations

from collections.abc import Callable

from drillapp.records import Learner, PracticeLog

FIRST_LEARNER = "First learner"


class WhoPractises:
    """The learners in a log; ``current`` is the one who practised last, or a first one made for the purpose.

    ``now`` gives UTC seconds.
    """

    def __init__(self, log: PracticeLog, now: Callable[[], float]) -> None:
        self._learners, self._now = log.learners, now
        here = self.all()
        self.current: Learner = self._learners.last() or (here[0] if here else self.add(FIRST_LEARNER))

    def all(self, archived: bool = False) -> tuple[Learner, ...]:
        return tuple(one for one in self._learners.all(archived) if one.here)

    def choose(self, learner: str) -> None:
        """Practise as this learner. Raises LookupError where none of that id practises here."""
        chosen = self._learners.get(learner)
        if not chosen.here:
            raise LookupError(f"{chosen.name} handed in from another device; nobody practises here as them.")
        self.current = chosen

    def add(self, name: str) -> Learner:
        """Raises ValueError for an empty name."""
        return self._learners.add(name, self._now())

    def rename(self, learner: str, name: str) -> None:
        """Raises ValueError for an empty name."""
        self._learners.rename(learner, name, self._now())
        if learner == self.current.id:
            self.choose(learner)

    def archive(self, learner: str) -> None:
        """Put a learner aside (their answers stay); another one practises then."""
        self._learners.archive(learner)
        if learner == self.current.id:
            here = self.all()
            self.choose(here[0].id if here else self.add(FIRST_LEARNER).id)

    def look_again(self) -> None:
        """After learners were deleted: somebody else practises where it was the current one."""
        here = self.all()
        if all(one.id != self.current.id for one in here):
            self.choose(here[0].id if here else self.add(FIRST_LEARNER).id)

    def restore(self, learner: str) -> None:
        self._learners.restore(learner)
