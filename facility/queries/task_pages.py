"""Where the work of a task is done, and what its evidence says."""

from collections.abc import Iterable

from django.urls import NoReverseMatch, reverse

from facility.models import Entry, Task


def page_of(task: Task) -> str:
    """The page where the first deed asked for is recorded; empty where there is none.

    Deed and address bear one name, and what the address needs is named after the subject:
    ``tanks.log-readings`` about ``tanks.vessel:<id>`` is at ``tanks:log-readings``, ``vessel_id``.
    """
    table, _, key = task.about.partition(":")
    blank = f"{table.rpartition('.')[2]}_id"
    for deed in task.asks.get("deeds", ()):
        try:
            return reverse(deed.replace(".", ":"), kwargs={blank: key})
        except NoReverseMatch:
            continue
    return ""


def lines_of(evidence: Iterable[str]) -> list[Entry]:
    """The ledger lines an answer rests on, oldest first."""
    keys = [key.partition(":")[2] for key in evidence if key.startswith("facility.entry:")]
    rows = Entry.objects.filter(pk__in=[key for key in keys if key.isdecimal()])
    return list(rows.select_related("by").order_by("number"))
