"""From readings in and out of range to a sign that neither flaps nor cries too soon. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum


class Way(Enum):
    """Where a reading stands: beyond the limit, back from it, or in the dead band between."""

    BEYOND = "beyond"
    BETWEEN = "between"
    BACK = "back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to wait before saying anything: so many readings, or so long unanswered."""

    readings: int
    lasting: timedelta


@dataclass(slots=True)
class _Run:
    sounds: bool = False
    count: int = 0
    since: datetime | None = None

    def outlasts(self, patience: Patience, at: datetime) -> bool:
        return self.since is not None and at - self.since >= patience.lasting

    def take(self, way: Way, at: datetime) -> None:
        if way is Way.BEYOND:
            self.count, self.since = self.count + 1, self.since or at
            return
        self.count, self.since = 0, None
        self.sounds = self.sounds and way is Way.BETWEEN


def sounds(marks: Iterable[tuple[datetime, Way]], patience: Patience, *, at: datetime) -> bool:
    """Tell whether a sign stands at ``at`` after ``marks``, oldest first.

    It begins with so many readings beyond the limit in a row, or when one has stood so long
    without another to contradict it. Once begun it ends only with a reading that is back on the
    far side of the dead band.
    """
    run = _Run()
    for moment, way in marks:
        run.sounds = run.sounds or run.outlasts(patience, moment)
        run.take(way, moment)
        run.sounds = run.sounds or run.count >= patience.readings
    return run.sounds or run.outlasts(patience, at)
