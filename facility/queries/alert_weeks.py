"""A site's week of alerts, person by person and rule by rule."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from facility.models import Alert, Notice, Person, Shift, Site
from facility.queries.alerts import with_signs
from facility.queries.memberships import keepers_at
from facility.rules.alert_weeks import Called, Ended, RuleRecord, records_of, weeks_of
from facility.rules.alerts import PUSHED

WEEK: Final = timedelta(days=7)
# A rule shows what it is worth over more than one week.
_RULES_OVER: Final = timedelta(days=28)


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertWeek:
    """Everybody who works on the tanks there, by name, and the rules of the last four weeks."""

    site: Site
    since: datetime
    until: datetime
    people: tuple[tuple[Person, Called], ...]
    rules: tuple[RuleRecord, ...]


def alert_week(site: Site, *, until: datetime) -> AlertWeek:
    """The seven days up to ``until``."""
    since = until - WEEK
    ended = _ended(site, since=until - _RULES_OVER, until=until)
    lately = [one for moment, one in ended if moment >= since]
    counted = weeks_of(
        _calls(site, since=since, until=until), _shifts(site, since=since, until=until), lately
    )
    nothing = Called(calls=0, shifts=0, cleared=0, for_nothing=0)
    return AlertWeek(
        site=site,
        since=since,
        until=until,
        people=tuple((one, counted.get(one.pk, nothing)) for one in keepers_at(site)),
        rules=tuple(records_of(one for _, one in ended)),
    )


def _ended(site: Site, *, since: datetime, until: datetime) -> list[tuple[datetime, Ended]]:
    rows = Alert.objects.filter(site=site, cleared_at__gte=since, cleared_at__lt=until)
    return [
        (
            row.cleared_at,
            Ended(
                person=row.accepted_by_id or row.owner_id,
                rules=frozenset(sign.rule.partition(":")[0] for sign in row.signs.all()),
                action_needed=bool(row.action_needed),
            ),
        )
        for row in with_signs(rows).order_by("cleared_at", "pk")
        if row.cleared_at is not None
    ]


def _calls(site: Site, *, since: datetime, until: datetime) -> Counter[UUID]:
    """Each time somebody was called at level 1 or 2, by whichever ways: once for each step."""
    alerts = Alert.objects.filter(site=site, level__in=PUSHED)
    raised = alerts.filter(raised_at__gte=since, raised_at__lt=until, owner__isnull=False)
    passed_on = alerts.filter(escalated_at__gte=since, escalated_at__lt=until, backup__isnull=False)
    sent = Notice.objects.filter(
        alert__in=alerts, made_at__gte=since, made_at__lt=until, channel__person__isnull=False
    )
    steps = {(owner, pk, "raised") for owner, pk in raised.values_list("owner_id", "pk")}
    steps |= {(backup, pk, "escalated") for backup, pk in passed_on.values_list("backup_id", "pk")}
    steps |= set(sent.values_list("channel__person_id", "alert_id", "step"))
    return Counter(person for person, _, _ in steps)


def _shifts(site: Site, *, since: datetime, until: datetime) -> Counter[UUID]:
    rows = Shift.objects.filter(
        site=site, cancelled_at=None, period__startswith__gte=since, period__startswith__lt=until
    )
    return Counter(rows.values_list("person_id", flat=True))
