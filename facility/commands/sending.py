"""Send what waits: each message by one sender at a time, again until it is taken or given up."""

from collections.abc import Collection
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.urls import reverse

from facility.commands.letters import deliver, link_to
from facility.commands.posting import NotDelivered
from facility.models import Channel, Notice
from facility.queries.notices import waiting
from facility.rules.notices import pause_after


@transaction.atomic(durable=True)
def send_next(*, at: datetime, passing_over: Collection[UUID] = ()) -> Notice | None:
    """Send the most pressing message that is due, but for these channels; None: nothing waits.

    The row stays locked while it is sent, so another sender takes the next one. A sender that
    dies before it has marked the row leaves it waiting: it may be sent again under the same
    key, and is never lost.
    """
    rows = waiting(at=at).exclude(channel__in=passing_over)
    notice = rows.select_for_update(skip_locked=True, of=("self",)).first()
    if notice is None:
        return None
    if outdated := _outdated(notice):
        notice.given_up_at, notice.last_fault = at, outdated
    else:
        _try(notice, at)
    notice.save(update_fields=["tries", "next_try_at", "delivered_at", "given_up_at", "last_fault"])
    return notice


def try_channel(channel: Channel, *, at: datetime) -> str:
    """Send a message that says it is a trial; return the sentence of what went wrong, or ""."""
    told = {
        "id": str(uuid4()),
        "step": "trial",
        "title": "Trial message",
        "text": f"This is a trial: {channel.name} of {channel.site.name} works.",
        "url": reverse("facility:channels"),
        "link": link_to(reverse("facility:channels")),
        "at": at.isoformat(),
    }
    try:
        deliver(channel, told, at_s=int(at.timestamp()))
    except NotDelivered as fault:
        return str(fault)
    return ""


def _outdated(notice: Notice) -> str:
    """Why nobody needs to hear it any more; machines are told all, in order."""
    alert = notice.alert
    if notice.channel.ended_at is not None:
        return "Not sent: the channel was ended before."
    if notice.channel.person_id is None:
        return ""
    if alert.cleared_at is not None:
        return "Not sent: the alert was cleared before."
    if alert.accepted_at is not None and alert.accepted_at >= notice.made_at:
        return "Not sent: somebody had accepted the alert before."
    return ""


def _try(notice: Notice, at: datetime) -> None:
    notice.tries += 1
    try:
        deliver(notice.channel, _told(notice), at_s=int(at.timestamp()))
    except NotDelivered as fault:
        pause = None if fault.is_final else pause_after(notice.tries)
        notice.last_fault = str(fault)[:300]
        notice.next_try_at = at + pause if pause else None
        notice.given_up_at = None if pause else at
    else:
        notice.next_try_at, notice.delivered_at = None, at


def _told(notice: Notice) -> dict[str, Any]:
    alert = notice.alert
    path = reverse("facility:alert", args=[alert.pk])
    return {
        "id": str(notice.pk),
        "step": notice.step,
        "title": notice.text.partition(". ")[0].rstrip("."),
        "text": notice.text,
        "url": path,
        "link": link_to(path),
        "at": notice.made_at.isoformat(),
        "alert": str(alert.pk),
        "level": alert.level,
        "about": alert.about,
        "name": alert.name,
        "site": alert.site.name,
    }
