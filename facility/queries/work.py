"""The day's tasks and where each stands, in a number of queries that does not grow with them."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from facility.models import Area, Completion, Site, Task
from facility.rules.tasks import LATE, OVER, state_of
from facility.sockets.subjects import Place, places_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskNow:
    """A task at a moment.

    ``first`` is what must be answered before it, while it is not. ``is_missed`` when the next
    turn of the same duty has opened before anybody did this one.
    """

    task: Task
    answer: Completion | None
    state: str
    first: Task | None
    is_missed: bool
    place: Place | None

    @property
    def is_answered(self) -> bool:
        return self.answer is not None

    @property
    def hygiene_rank(self) -> int:
        return self.task.hygiene_rank

    @property
    def area(self) -> Area | None:
        return self.task.area

    @property
    def where(self) -> str:
        """The area and the subject, as people say them."""
        name = self.place.name if self.place else ""
        area = self.task.area.name if self.task.area else ""
        return ", ".join(dict.fromkeys(part for part in (area, name) if part))


def tasks_of(site: Site, on: date, *, at: datetime) -> list[TaskNow]:
    """Every task that falls due on that day of the site's clock, soonest first."""
    begin, end = day_of(site, on)
    return stand(_wanted(site).filter(due_at__gte=begin, due_at__lt=end), at=at)


def undone(site: Site, *, at: datetime, abouts: Collection[str] | None = None) -> list[TaskNow]:
    """Everything that may be done now or should have been, and has no answer: late first.

    A missed turn is left out once a later turn of its duty was done: it stays without an answer,
    and there is nothing left to do about it. ``abouts`` keeps to some subjects.
    """
    later = Completion.objects.current().filter(
        outcome=Completion.Outcome.DONE,
        task__duty=OuterRef("duty"),
        task__due_at__gt=OuterRef("due_at"),
    )
    rows = _wanted(site).filter(opens_at__lte=at).undone()  # type: ignore[attr-defined]
    if abouts is not None:
        rows = rows.filter(about__in=abouts)
    found = stand(rows.exclude(Exists(later)), at=at)
    return sorted(found, key=lambda one: (one.state != LATE, one.task.due_at, str(one.task.pk)))


def task_now(task: Task, *, at: datetime) -> TaskNow:
    """One task, also of a duty that was ended."""
    return stand(Task.objects.filter(pk=task.pk), at=at)[0]


def day_of(site: Site, on: date) -> tuple[datetime, datetime]:
    """The first moment of a day at the site and that of the next."""
    begin, end = (
        datetime.combine(day, time.min, tzinfo=site.zone) for day in (on, on + timedelta(days=1))
    )
    return begin, end


def answers_to(tasks: Iterable[UUID]) -> dict[UUID, Completion]:
    """The answer now held true, by task."""
    rows = Completion.objects.current().filter(task__in=set(tasks)).select_related("by")
    return {row.task_id: row for row in rows}


def stand(tasks: QuerySet[Task], *, at: datetime) -> list[TaskNow]:
    """Where these tasks stand, soonest first."""
    later = Task.objects.filter(
        duty=OuterRef("duty"), opens_at__lte=at, due_at__gt=OuterRef("due_at")
    )
    rows = list(
        tasks.annotate(has_next=Exists(later))
        .select_related("area", "duty", "site", "goes_after")
        .order_by("due_at", "hygiene_rank", "title", "pk")
    )
    firsts = {row.goes_after_id for row in rows if row.goes_after_id}
    answers = answers_to({row.pk for row in rows} | firsts)
    places = places_of({row.about for row in rows})
    return [_stands(row, answers, places.get(row.about), at) for row in rows]


def _wanted(site: Site) -> QuerySet[Task]:
    """Tasks still asked for: those of an ended duty only where they fell due before its end."""
    over = Q(duty__ended_at__isnull=False, duty__ended_at__lte=F("due_at"))
    return Task.objects.filter(site=site).exclude(over)


def _stands(
    task: Task, answers: dict[UUID, Completion], place: Place | None, at: datetime
) -> TaskNow:
    answer = answers.get(task.pk)
    first = task.goes_after if task.goes_after_id not in {None, *answers} else None
    state = state_of(
        opens_at=task.opens_at,
        late_at=task.late_at,
        outcome=answer.outcome if answer else None,
        is_barred=first is not None,
        at=at,
    )
    return TaskNow(
        task=task,
        answer=answer,
        state=OVER if answer is None and _is_over(task) else state,
        first=first,
        is_missed=answer is None and bool(getattr(task, "has_next", False)) and at > task.late_at,
        place=place,
    )


def _is_over(task: Task) -> bool:
    ended_at = task.duty.ended_at if task.duty else None
    return ended_at is not None and ended_at <= task.due_at
