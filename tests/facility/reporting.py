"""Builders of kept reports."""

from datetime import date, datetime
from uuid import uuid4

from facility.commands.reports import KeepReport, keep_report
from facility.models import KeptReport
from tests.cast import House

BEFORE = date(2026, 3, 16)


def keeping_of(house: House, *, begins_on: date = BEFORE, kind: str = "WEEK") -> KeepReport:
    """By default the week before the house was opened, in which nothing was."""
    return KeepReport(id=uuid4(), site_id=house.site.pk, kind=kind, begins_on=begins_on)


def kept(house: House, *, at: datetime, begins_on: date = BEFORE, kind: str = "WEEK") -> KeptReport:
    command = keeping_of(house, begins_on=begins_on, kind=kind)
    return keep_report(command, by=house.mo, at=at)
