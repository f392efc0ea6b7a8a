"""Adopt the shipped alarm rules a site does not have."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.models import Person, Site
from tanks.commands.finding import site_for
from tanks.models import AlarmRule
from tanks.queries.alarm_adoption import missing_rules
from tanks.rules.alarm_defaults import EDITION
from tanks.rules.alarm_values import AlarmValues


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptAlarmRules:
    """``id`` names the act; the rules' own ids follow from it."""

    id: UUID
    site_id: UUID


@transaction.atomic(durable=True)
def adopt_alarm_rules(command: AdoptAlarmRules, *, by: Person, at: datetime) -> list[AlarmRule]:
    """Set from now on what the site never had; given again, there is nothing left to set.

    Raises:
        NotFound, NotAllowed
    """
    site = site_for(by, command.site_id, deed="tanks.adopt-alarm-rules")
    rows = _made(missing_rules(site), command.id, site, since=at)
    if not rows:
        return []
    ledger.record(
        "tanks.adopt-alarm-rules",
        rows,
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        adoption=str(command.id),
        edition=EDITION,
    )
    return rows


def founding_rules(adoption: UUID, site: Site) -> list[AlarmRule]:
    """The rules a site starts with, written down; they have no beginning."""
    return _made(missing_rules(site), adoption, site, since=None)


def _made(
    wanted: Iterable[AlarmValues], adoption: UUID, site: Site, *, since: datetime | None
) -> list[AlarmRule]:
    return AlarmRule.objects.bulk_create([_row(one, adoption, site, since) for one in wanted])


def _row(values: AlarmValues, adoption: UUID, site: Site, since: datetime | None) -> AlarmRule:
    columns = asdict(values)
    origin = columns.pop("origin")
    return AlarmRule(
        id=uuid5(adoption, f"alarm:{values.code}"),
        site=site,
        period=DateTimeTZRange(since, None),
        **columns,
        **origin,
    )
