"""Whom a call reaches and by which channels; what waits, and what became of it."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Max, Q, QuerySet

from facility.models import Alert, Channel, Membership, Notice, Person, Shift, Site
from facility.queries import alerts as known
from facility.queries.calling import call_times
from facility.rules.alerts import ACT_NOW, PUSHED
from facility.rules.calling import CallTimes, next_call_at
from facility.rules.notices import (
    ESCALATED,
    REMINDED,
    TOLD_TO_MACHINES,
    step_of,
)
from facility.sockets.deeds import MANAGER


def channels_for(alert: Alert, step: str, *, at: datetime) -> list[Channel]:
    """The site's webhooks, and the channels of the first people in line who have any."""
    rows = Channel.objects.filter(site=alert.site, ended_at=None, up_to_level__gte=alert.level)
    machines = list(rows.filter(kind=Channel.Kind.WEBHOOK).order_by("set_at", "pk"))
    if step in TOLD_TO_MACHINES:
        return machines
    return [*machines, *_people_reached(rows, _in_line(alert, step, at=at))]


def _people_reached(rows: QuerySet[Channel], groups: Iterable[list[Person]]) -> list[Channel]:
    for group in groups:
        now = rows.filter(person__in=group, person__is_active=True).order_by("set_at", "pk")
        if found := [row for row in now if _is_member(row)]:
            return found
    return []


def _is_member(channel: Channel) -> bool:
    """Who has left the site is not called any more."""
    held = Membership.objects.filter(site=channel.site_id, person=channel.person_id, until=None)
    return held.exists()


def _in_line(alert: Alert, step: str, *, at: datetime) -> list[list[Person]]:
    """Who is called at this step, and who instead if none of them can be reached."""
    owner, backup = _present(alert.owner), _present(alert.backup)
    managers = managers_to_call(alert.site, at=at)
    if step == REMINDED:
        return [[*owner, *backup, *managers]]
    line = [owner, backup, managers]
    return line[1 + alert.escalations :] if step == ESCALATED else line


def _present(person: Person | None) -> list[Person]:
    return [] if person is None else [person]


def managers_to_call(site: Site, *, at: datetime) -> list[Person]:
    """The managers on shift or on call; when there are none, all of them."""
    held = Membership.objects.filter(site=site, until=None, role=MANAGER, person__is_active=True)
    rows = held.select_related("person").order_by("person__full_name", "pk")
    everybody = [row.person for row in rows]
    on = Shift.objects.filter(site=site, cancelled_at=None, period__contains=at)
    present = set(on.values_list("person_id", flat=True))
    return [person for person in everybody if person.pk in present] or everybody


def is_quiet(alert: Alert, *, at: datetime) -> bool:
    """Level 3 calls nobody; planned work keeps all but the most pressing quiet."""
    if alert.level not in PUSHED:
        return True
    if alert.level == ACT_NOW:
        return False
    return known.maintenance_of(known.around(alert, at=at), at=at) is not None


def sent_lately(channel: Channel, *, at: datetime, times: CallTimes) -> int:
    """Calls by this channel within a shift's length, but for those held back."""
    rows = Notice.objects.filter(channel=channel, made_at__gt=at - times.usual_shift)
    return rows.filter(Q(given_up_at=None) | Q(tries__gt=0)).count()


def step_due(alert: Alert, *, at: datetime) -> str | None:
    """The next step of an alert that nobody accepted in time, if it is due."""
    is_over = alert.cleared_at is not None or alert.accepted_at is not None
    if is_over or is_quiet(alert, at=at):
        return None
    due = next_call_at(
        call_times(alert.site),
        level=alert.level,
        escalations=alert.escalations,
        called_at=max(filter(None, (_called_at(alert), alert.escalated_at, alert.raised_at))),
        shift_ends_at=_shift_end(alert),
    )
    return step_of(alert.escalations) if due and due <= at else None


def _called_at(alert: Alert) -> datetime | None:
    rows = alert.notices.exclude(step__in=TOLD_TO_MACHINES)
    last: datetime | None = rows.aggregate(last=Max("made_at"))["last"]
    return last


def _shift_end(alert: Alert) -> datetime | None:
    rows = Shift.objects.filter(site=alert.site_id, cancelled_at=None, person=alert.owner_id)
    shift = rows.filter(period__contains=alert.raised_at, is_on_call=False).first()
    return shift.period.upper if shift else None


def unaccepted() -> QuerySet[Alert]:
    """What may ask for another call."""
    rows = Alert.objects.filter(cleared_at=None, accepted_at=None, level__in=PUSHED)
    return rows.select_related("site", "owner", "backup").order_by("level", "raised_at", "pk")


def waiting(*, at: datetime) -> QuerySet[Notice]:
    """What is to be sent now, most pressing first."""
    rows = Notice.objects.filter(delivered_at=None, given_up_at=None, next_try_at__lte=at)
    related = rows.select_related(
        "alert__site", "alert__accepted_by", "channel__person", "channel__site"
    )
    return related.order_by("alert__level", "made_at", "pk")


def calling(person: Person) -> list[Alert]:
    """What is not accepted at the person's sites and asks for action now or today."""
    rows = unaccepted().filter(site__in=Site.objects.open_to(person))
    return list(rows)


def notices_seen_by(person: Person) -> QuerySet[Notice]:
    """The deliveries at the person's sites, latest first."""
    rows = Notice.objects.filter(alert__site__in=Site.objects.open_to(person))
    related = rows.select_related("alert__site", "channel__person")
    return related.order_by("-made_at", "-pk")


def channels_at(site: Site, person: Person) -> list[Channel]:
    """One's own channels at the site."""
    rows = Channel.objects.filter(site=site, person=person, ended_at=None)
    return list(rows.order_by("set_at", "pk"))


def webhooks_at(site: Site) -> list[Channel]:
    rows = Channel.objects.filter(site=site, kind=Channel.Kind.WEBHOOK, ended_at=None)
    return list(rows.order_by("set_at", "pk"))
