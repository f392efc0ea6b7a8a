"""Messages about an alert, written in the transaction that makes them necessary."""

from datetime import datetime

from facility.models import Alert, Channel, Notice
from facility.queries.alerts import with_signs
from facility.queries.calling import call_times
from facility.queries.notices import channels_for, is_quiet, sent_lately
from facility.rules.calling import CallTimes, held_back, is_held_back
from facility.rules.notices import TOLD_TO_MACHINES, words_of


def notices_for(alert: Alert, step: str, *, at: datetime) -> list[Notice]:
    """Write one message for each channel that is to carry this step; a job sends them.

    Whoever rolls back takes them back too; once committed they wait until they are delivered
    or given up.
    """
    if is_quiet(alert, at=at) and step not in TOLD_TO_MACHINES:
        return []
    text, times = _text(alert, step), call_times(alert.site)
    rows = [
        _held_if_too_many(_made(alert, channel, step, text, at), channel, times)
        for channel in channels_for(alert, step, at=at)
    ]
    return Notice.objects.bulk_create(rows)


def call(alert: Alert, step: str, at: datetime) -> None:
    """As the socket of callers asks for it."""
    notices_for(alert, step, at=at)


def _made(alert: Alert, channel: Channel, step: str, text: str, at: datetime) -> Notice:
    return Notice(alert=alert, channel=channel, step=step, text=text, made_at=at, next_try_at=at)


def _held_if_too_many(notice: Notice, channel: Channel, times: CallTimes) -> Notice:
    """A person's channel carries so many in a shift; a machine takes them all."""
    lately, level = sent_lately(channel, at=notice.made_at, times=times), notice.alert.level
    if channel.person_id and is_held_back(times, level=level, sent_lately=lately):
        notice.next_try_at, notice.given_up_at = None, notice.made_at
        notice.last_fault = held_back(times)
    return notice


def _text(alert: Alert, step: str) -> str:
    now = with_signs(Alert.objects.filter(pk=alert.pk)).get()
    signs = [sign for sign in now.signs.all() if sign.passed_at is None]
    by = now.cleared_by or now.accepted_by
    return words_of(
        step=step,
        level=alert.level,
        name=alert.name,
        sentences=[sign.sentence for sign in signs],
        advice=next((sign.advice for sign in signs if sign.advice), ""),
        by=by.full_name if by and step in TOLD_TO_MACHINES else "",
    )
