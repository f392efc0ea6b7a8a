"""What one shift finds: since when to look, what was written, who is on, who is on call."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from facility.models import HandOver, Person, Shift, Site

_A_DAY: Final = timedelta(days=1)
_FARTHEST: Final = timedelta(days=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """A moment to look back to, by the name people choose it with."""

    code: str
    label: str
    at: datetime


def looks_back(site: Site, person: Person, *, at: datetime) -> list[Since]:
    """Return the moments to look back to, the most fitting first; none farther than two weeks."""
    shift = Shift.objects.filter(site=site, person=person, cancelled_at=None, is_on_call=False)
    last = shift.filter(period__endswith__lte=at).order_by("-period__endswith", "pk").first()
    note = HandOver.objects.current().filter(site=site, happened_at__lte=at)
    latest = note.order_by("-happened_at", "pk").first()
    found = [
        ("shift", "the end of my last shift", last.period.upper if last else None),
        ("day", "this time yesterday", at - _A_DAY),
        ("note", "the last hand-over", latest.happened_at if latest else None),
    ]
    return [
        Since(code=code, label=label, at=max(moment, at - _FARTHEST))
        for code, label, moment in found
        if moment is not None
    ]


def written(site: Site, *, until: datetime, most: int = 3) -> list[HandOver]:
    """Return the latest hand-overs, latest first."""
    rows = HandOver.objects.current().filter(site=site, happened_at__lte=until)
    return list(rows.select_related("by").order_by("-happened_at", "pk")[:most])


def on_call(site: Site, *, at: datetime) -> list[Shift]:
    """Return who answers the phone now and in the night to come."""
    return _shifts(site, at, is_on_call=True)


def on_site(site: Site, *, at: datetime) -> list[Shift]:
    """Return who is on now and who comes on within a day."""
    return _shifts(site, at, is_on_call=False)


def _shifts(site: Site, at: datetime, *, is_on_call: bool) -> list[Shift]:
    rows = Shift.objects.filter(site=site, cancelled_at=None, is_on_call=is_on_call)
    rows = rows.filter(period__endswith__gt=at, period__startswith__lt=at + _A_DAY)
    return list(rows.select_related("person").order_by("period", "pk"))
