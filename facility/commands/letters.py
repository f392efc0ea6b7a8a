"""The message of a notice as each kind of channel takes it."""

import json
from smtplib import SMTPException
from typing import Any, Final

from django.conf import settings
from django.core.mail import EmailMessage
from pydantic import ValidationError
from webpush import WebPush
from webpush.types import WebPushSubscription

from facility.commands.posting import Letter, NotDelivered, post
from facility.commands.push_keys import private_key, public_key
from facility.models import Channel
from facility.rules.webhooks import KEY, SIGNATURE, TIMESTAMP, signature

# Told so that a phone that was off hears it when it is on again; after that the list says it.
_KEPT_BY_PUSH_SERVER_S: Final = 4 * 60 * 60


def deliver(channel: Channel, told: dict[str, Any], *, at_s: int) -> None:
    """Send ``told`` by the channel; ``told["id"]`` is the same when it is sent again.

    Raises:
        NotDelivered
    """
    by_kind = {"EMAIL": _mail, "PUSH": _push, "WEBHOOK": _post_signed}
    by_kind[channel.kind](channel, told, at_s)


def link_to(path: str) -> str:
    """The page's full address where the house knows its own; else the path."""
    root = str(settings.PUBLIC_URL).rstrip("/")
    return f"{root}{path}"


def _mail(channel: Channel, told: dict[str, Any], _: int) -> None:
    """A mail program shows the same Message-ID once (RFC 5322, 3.6.4)."""
    message = EmailMessage(
        subject=f"{told['title']}",
        body=f"{told['text']}\n\n{told['link']}\n",
        to=[channel.settings["address"]],
        headers={
            "Message-ID": f"<{told['id']}@penstock.invalid>",
            "Auto-Submitted": "auto-generated",
        },
    )
    try:
        message.send()
    except (OSError, SMTPException) as fault:
        raise NotDelivered(f"The mail server did not take it: {fault}") from fault


def _push(channel: Channel, told: dict[str, Any], _: int) -> None:
    """Encrypted for the phone alone (RFC 8291); the push server reads nothing."""
    try:
        subscription = WebPushSubscription.model_validate(channel.settings)
    except ValidationError as fault:
        raise NotDelivered("The phone's subscription is damaged.", is_final=True) from fault
    house = WebPush(
        private_key=private_key(),
        public_key=public_key(),
        subscriber=settings.VAPID_CONTACT,
        ttl=_KEPT_BY_PUSH_SERVER_S,
    )
    message = house.get(json.dumps(told), subscription)
    headers = {**message.headers, "urgency": "high", "content-type": "application/octet-stream"}
    post(
        Letter(
            url=str(subscription.endpoint),
            body=message.encrypted,
            headers=headers,
            may_be_near=False,
        )
    )


def _post_signed(channel: Channel, told: dict[str, Any], at_s: int) -> None:
    body = json.dumps(told, ensure_ascii=False).encode()
    headers = {
        "Content-Type": "application/json",
        KEY: str(told["id"]),
        TIMESTAMP: str(at_s),
        SIGNATURE: signature(secret=channel.secret, timestamp=at_s, body=body),
    }
    post(Letter(url=channel.settings["url"], body=body, headers=headers))
