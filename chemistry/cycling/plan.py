"""The future: every member follows the keeper's plan on its own water, as the keeper will."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Precision
from chemistry.cycling.case import Case
from chemistry.cycling.columns import batches
from chemistry.cycling.convoy import convoy
from chemistry.cycling.course import Course, Rhythm
from chemistry.cycling.members import Members
from chemistry.cycling.passage import Passage


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """When each member passes for good: by the plan, and if nobody ever added alkalinity.

    Infinite past the horizon. ``kept`` is (kept times, 6, members), halfway between checks.
    """

    ready_at_h: Floats
    unbuffered_at_h: Floats
    kept_h: tuple[float, ...]
    kept: Floats


def follow(
    state: Floats,
    *,
    case: Case,
    members: Members,
    kept_days: int = 0,
    first_dose_mg_l_n: float | None = None,
) -> Outlook:
    """Carry the members from now past the horizon, each by the keeper's plan.

    A first dose, if told, is given now whatever the plan would do; 0 gives none.
    """
    course = Course(case=case, state=state, members=members, first_dose_mg_l_n=first_dose_mg_l_n)
    return follow_each([course], kept_days=kept_days)[0]


def follow_each(
    courses: Sequence[Course], *, kept_days: int = 0, precision: Precision = np.float32
) -> list[Outlook]:
    """Follow several courses side by side; each comes out as it would alone."""
    found: dict[int, Outlook] = {}
    for places in _batches(courses):
        batch = [courses[place] for place in places]
        found.update(zip(places, _followed(batch, kept_days, precision), strict=True))
    return [found[place] for place in range(len(courses))]


def _batches(courses: Sequence[Course]) -> Iterator[list[int]]:
    """Batch courses of one rhythm, the longest first."""

    def order(place: int) -> tuple[Rhythm, int]:
        return courses[place].rhythm, -courses[place].days

    widths = [course.members.count for course in courses]
    places = sorted(range(len(courses)), key=order)
    for _, alike in groupby(places, key=lambda place: courses[place].rhythm):
        yield from batches(list(alike), widths=widths)


def _followed(courses: Sequence[Course], kept_days: int, precision: Precision) -> Iterator[Outlook]:
    passage = Passage(
        convoy(courses, precision=precision), rhythm=courses[0].rhythm, kept_days=kept_days
    )
    passage.run()
    planned, unbuffered = passage.began.reshape(2, -1)
    unbuffered = np.where(passage.has_twin, unbuffered, planned)
    first = 0
    for course in courses:
        columns = slice(first, first + course.members.count)
        yield Outlook(
            ready_at_h=_within(planned[columns], course.case),
            unbuffered_at_h=_within(unbuffered[columns], course.case),
            kept_h=_kept_h(course.case, kept_days),
            kept=np.array([state[:, columns] for state in passage.kept], dtype=np.float64),
        )
        first = columns.stop


def _within(began_d: Floats, case: Case) -> Floats:
    at_h = case.now_h + HOURS_PER_DAY * began_d
    ready: Floats = np.where(at_h <= case.ready.horizon_h, at_h, np.inf)
    return ready


def _kept_h(case: Case, days: int) -> tuple[float, ...]:
    checks = case.plan.checks_per_day
    between_h = HOURS_PER_DAY / checks
    return tuple(case.now_h + (check + 0.5) * between_h for check in range(days * checks))
