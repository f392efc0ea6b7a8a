"""Adopt the duties a house of tanks usually has."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.duties import SetDuty, made_duty
from facility.models import Duty, Person, Site
from tanks.commands.finding import site_for
from tanks.queries.default_duties import Missing, missing_defaults
from tanks.rules.default_duties import begins_on


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptDuties:
    """``id`` names the act; the duties' own ids follow from what they are about."""

    id: UUID
    site_id: UUID


@transaction.atomic(durable=True)
def adopt_duties(command: AdoptDuties, *, by: Person, at: datetime) -> list[Duty]:
    """Set every usual duty the site does not have; given again, it sets what came since.

    Raises:
        NotFound, NotAllowed
    """
    site = site_for(by, command.site_id, deed="tanks.adopt-duties")
    rows = [_duty(one, site, at) for one in missing_defaults(site, at=at)]
    if not rows:
        return []
    Duty.objects.bulk_create(rows)
    ledger.record(
        "tanks.adopt-duties",
        rows,
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        adoption=str(command.id),
    )
    return rows


def _duty(one: Missing, site: Site, at: datetime) -> Duty:
    default = one.default
    today = at.astimezone(site.zone).date()
    command = SetDuty(
        id=one.id,
        site_id=site.pk,
        kind=default.kind,
        title=one.title,
        about=one.about,
        rule=default.rule,
        begins_on=begins_on(default, one.turn, today=today),
        at=default.clock,
        opens_before_minutes=int(default.opens_before.total_seconds()) // 60,
        late_after_minutes=int(default.late_after.total_seconds()) // 60,
        minutes=default.minutes,
        why=default.why,
        asks=dict(default.asks),
    )
    return made_duty(command, site=site, at=at, place=one.place)
