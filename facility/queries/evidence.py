"""Which open tasks the ledger already proves done."""

from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from typing import Any, Final

from django.db.models import F, OuterRef, Q, Subquery

from facility.models import Entry, Site, Task
from facility.rules.tasks import proves

# A task nobody did in this time is answered by a person, not by what was recorded since.
LOOKS_BACK: Final = timedelta(days=31)
_LATEST: Final = 5000


def proven(abouts: Collection[str], *, at: datetime) -> list[tuple[Task, list[Entry]]]:
    """Open tasks about these subjects with the lines that prove them, in the order due.

    What happened in a task's window proves it: from its opening until the next turn of the same
    duty opens. Entries since withdrawn prove nothing.
    """
    tasks = [task for task in _open(abouts, at) if task.asks.get("deeds")]
    if not tasks:
        return []
    lines = _lines(abouts, since=min(task.opens_at for task in tasks))
    paired = ((task, _within(task, lines)) for task in tasks)
    return [(task, held) for task, held in paired if proves(task.asks, map(_told, held))]


def lately(site: Site, *, since: datetime) -> list[Entry]:
    """The site's lines recorded since then, oldest first, without the longest past."""
    rows = Entry.objects.filter(site=site).order_by("-number")[:_LATEST]
    return sorted(
        (line for line in rows if line.recorded_at >= since), key=lambda line: line.number
    )


def _open(abouts: Collection[str], at: datetime) -> Iterable[Task]:
    later = Task.objects.filter(duty=OuterRef("duty"), due_at__gt=OuterRef("due_at"))
    following = later.order_by("due_at").values("opens_at")[:1]
    over = Q(duty__ended_at__isnull=False, duty__ended_at__lte=F("due_at"))
    rows = Task.objects.filter(about__in=abouts, opens_at__lte=at, opens_at__gte=at - LOOKS_BACK)
    rows = rows.undone().exclude(over).annotate(next_opens_at=Subquery(following))
    return rows.select_related("site", "goes_after").order_by("due_at", "pk")


def _lines(abouts: Collection[str], *, since: datetime) -> list[Entry]:
    """Lines since then with the rows that still stand."""
    rows = Entry.objects.filter(about__in=abouts, happened_at__gte=since).select_related("by")
    lines = list(rows.order_by("happened_at", "number"))
    told = [row for line in lines for row in line.facts.get("rows", ())]
    gone = {row.get("corrects_id") for row in told if row.get("withdrawn")}
    for line in lines:
        rows_left = [row for row in line.facts.get("rows", ()) if row.get("id") not in gone]
        line.facts = {**line.facts, "rows": rows_left}
    return lines


def _within(task: Task, lines: Iterable[Entry]) -> list[Entry]:
    """Lines of the task's window, of the deeds it asks for, about what it asks for."""
    until = getattr(task, "next_opens_at", None)
    subject = task.about if task.asks.get("exactly") else None
    return [
        line
        for line in lines
        if line.kind in task.asks["deeds"]
        and line.happened_at >= task.opens_at
        and (until is None or line.happened_at < until)
        and subject in {None, line.about}
        and line.facts["rows"]
    ]


def _told(line: Entry) -> tuple[str, list[dict[str, Any]]]:
    return line.kind, line.facts["rows"]
