"""Which open tasks the ledger already proves done."""

import re
from collections.abc import Collection, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any, Final

from django.db.models import F, OuterRef, Q, Subquery

from facility.models import Completion, Entry, Site, Task
from facility.rules.tasks import proves
from facility.sockets.work import judges

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
    return [(task, held) for task, held in paired if _is_proven(task, map(_told, held))]


def unproven(abouts: Collection[str], *, at: datetime) -> list[Completion]:
    """Answers that rest on entries withdrawn since, so that nothing proves them any more."""
    rows = Completion.objects.current().filter(
        task__about__in=abouts, happened_at__gte=at - LOOKS_BACK
    )
    known = rows.exclude(evidence=[]).select_related("task__site", "by")
    cited = {key for answer in known for key in answer.evidence if _is_line(key)}
    kept = Entry.objects.filter(pk__in=[key.partition(":")[2] for key in cited])
    lines = {f"facility.entry:{line.pk}": line for line in kept}
    answers = [answer for answer in known if lines.keys() >= set(answer.evidence)]
    subjects = {line.about for line in lines.values()}
    gone = _gone(Entry.objects.filter(about__in=subjects, recorded_at__gte=at - LOOKS_BACK))
    for line in lines.values():
        _leave_out(gone, line)
    return [answer for answer in answers if not _is_proven(answer.task, _held(answer, lines))]


def _is_proven(task: Task, lines: Iterable[tuple[str, list[dict[str, Any]]]]) -> bool:
    """Proven by what was recorded and, where the task names a judge, good enough to it."""
    told = list(lines)
    if not proves(task.asks, told):
        return False
    name = task.asks.get("judge")
    rows = [row for _, each in told for row in each]
    return name is None or (name in judges and judges[name].passes(task.asks["judged"], rows))


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
    gone = _gone(lines)
    for line in lines:
        _leave_out(gone, line)
    return lines


def _is_line(key: str) -> bool:
    """Whether it names a ledger line; a person may name other rows, which prove by their word."""
    table, _, pk = key.partition(":")
    return table == "facility.entry" and re.fullmatch(r"[0-9]{1,18}", pk) is not None


def _held(answer: Completion, lines: Mapping[str, Entry]) -> list[tuple[str, list[dict[str, Any]]]]:
    """What is left of an answer's evidence."""
    return [_told(lines[key]) for key in answer.evidence if lines[key].facts["rows"]]


def _gone(lines: Iterable[Entry]) -> set[str]:
    """Ids of rows that these lines take back."""
    rows = [row for line in lines for row in line.facts.get("rows", ())]
    return {row["corrects_id"] for row in rows if row.get("withdrawn")}


def _leave_out(gone: set[str], line: Entry) -> None:
    rows = [row for row in line.facts.get("rows", ()) if row.get("id") not in gone]
    line.facts = {**line.facts, "rows": rows}


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
