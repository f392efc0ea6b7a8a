"""Ways to reach a person or a machine: add one, end one."""

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import Channel, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.alerts import PUSHED
from facility.rules.webhooks import url_fault

_KEY: Final = re.compile(r"[A-Za-z0-9_-]{16,200}=*")
_SHORTEST_SECRET: Final = 32


class ChannelNameMissing(Refusal):
    code = "channel-name-missing"
    field = "name"


class LevelOutOfReach(Refusal):
    code = "level-out-of-reach"
    field = "up_to_level"


class NoAddress(Refusal):
    code = "no-address"
    field = "address"


class NoSubscription(Refusal):
    code = "no-subscription"
    field = "endpoint"


class ReceiverUnfit(Refusal):
    code = "receiver-unfit"
    field = "url"


class SecretTooShort(Refusal):
    code = "secret-too-short"
    field = "secret"


@dataclass(frozen=True, slots=True, kw_only=True)
class AddChannel:
    """One's own: an e-mail ``address``, or what a phone's browser subscribed with.

    ``up_to_level`` 1 carries only what asks for action now, 2 also what is due today.
    """

    id: UUID
    site_id: UUID
    name: str
    up_to_level: int = 2
    address: str = ""
    endpoint: str = ""
    p256dh: str = ""
    auth: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddWebhook:
    """A receiver of the site; ``secret`` signs each message and is known to both ends only."""

    id: UUID
    site_id: UUID
    name: str
    url: str
    secret: str
    up_to_level: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class EndChannel:
    """Send nothing more this way."""

    channel_id: UUID


@transaction.atomic(durable=True)
def add_channel(command: AddChannel, *, by: Person, at: datetime) -> Channel:
    """Let alerts reach oneself by e-mail or on this phone.

    Raises:
        NotFound, NotAllowed, IdTaken, ChannelNameMissing, LevelOutOfReach, NoAddress,
        NoSubscription
    """
    site = _site_for(by, command.site_id, deed="facility.add-channel")
    is_push = bool(command.endpoint)
    told = _told(command) | {
        "kind": Channel.Kind.PUSH if is_push else Channel.Kind.EMAIL,
        "person_id": by.pk,
        "settings": _subscription(command) if is_push else {"address": command.address.strip()},
    }
    if channel := earlier(Channel, command.id, told):
        return channel
    _require_named(command.name, command.up_to_level)
    if is_push:
        _require_subscription(command)
    else:
        _require_address(command.address)
    return _added("facility.add-channel", command.id, told, site, by=by, at=at)


@transaction.atomic(durable=True)
def add_webhook(command: AddWebhook, *, by: Person, at: datetime) -> Channel:
    """Tell a machine of the site about its alerts.

    Raises:
        NotFound, NotAllowed, IdTaken, ChannelNameMissing, LevelOutOfReach, ReceiverUnfit,
        SecretTooShort
    """
    site = _site_for(by, command.site_id, deed="facility.add-webhook")
    told = _told(command) | {
        "kind": Channel.Kind.WEBHOOK,
        "settings": {"url": command.url.strip()},
        "secret": command.secret,
    }
    if channel := earlier(Channel, command.id, told):
        return channel
    _require_named(command.name, command.up_to_level)
    if fault := url_fault(command.url.strip()):
        raise ReceiverUnfit(fault)
    if len(command.secret) < _SHORTEST_SECRET:
        raise SecretTooShort(f"Give a random secret of {_SHORTEST_SECRET} characters or more.")
    return _added("facility.add-webhook", command.id, told, site, by=by, at=at)


@transaction.atomic(durable=True)
def end_channel(command: EndChannel, *, by: Person, at: datetime) -> Channel:
    """End one's own channel, or as a manager a webhook; ended before, return it as it is.

    Raises:
        NotFound, NotAllowed
    """
    here = Channel.objects.filter(site__in=Site.objects.open_to(by)).select_related("site")
    channel = here.filter(pk=command.channel_id).first()
    if channel is None:
        raise NotFound("There is no such channel.")
    people.require(by, "facility.end-channel", channel.site)
    if channel.person_id is None:
        people.require(by, "facility.add-webhook", channel.site)
    elif channel.person_id != by.pk:
        raise NotFound("There is no such channel of yours.")
    take_turn(channel.site)
    channel.refresh_from_db()
    if channel.ended_at is not None:
        return channel
    channel.ended_at = at
    channel.save(update_fields=["ended_at"])
    _record("facility.end-channel", channel, by=by, at=at)
    return channel


def _site_for(by: Person, site_id: UUID, *, deed: str) -> Site:
    site = Site.objects.open_to(by).filter(pk=site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, deed, site)
    take_turn(site)
    return site


def _told(command: AddChannel | AddWebhook) -> dict[str, Any]:
    return {
        "site_id": command.site_id,
        "name": command.name.strip(),
        "up_to_level": command.up_to_level,
    }


def _subscription(command: AddChannel) -> dict[str, Any]:
    keys = {"p256dh": command.p256dh, "auth": command.auth}
    return {"endpoint": command.endpoint, "keys": keys}


def _require_named(name: str, up_to_level: int) -> None:
    if not name.strip():
        raise ChannelNameMissing("Give the channel a name, such as My phone.")
    if up_to_level not in PUSHED:
        raise LevelOutOfReach("Choose: only what asks for action now, or also what is due today.")


def _require_address(address: str) -> None:
    try:
        validate_email(address.strip())
    except ValidationError as fault:
        raise NoAddress("Give an e-mail address, such as ana@example.org.") from fault


def _require_subscription(command: AddChannel) -> None:
    is_secure = command.endpoint.startswith("https://") and url_fault(command.endpoint) is None
    if not (is_secure and _KEY.fullmatch(command.p256dh) and _KEY.fullmatch(command.auth)):
        raise NoSubscription("The phone gave no subscription; try again on the phone itself.")


def _added(
    kind: str, id_: UUID, told: dict[str, Any], site: Site, *, by: Person, at: datetime
) -> Channel:
    channel = Channel.objects.create(id=id_, set_at=at, **told)
    channel.site = site
    _record(kind, channel, by=by, at=at)
    return channel


def _record(kind: str, channel: Channel, *, by: Person, at: datetime) -> None:
    """Without the row: addresses are personal, secrets secret, and the ledger is for ever."""
    ledger.record(
        kind,
        [],
        about=channel,
        site=channel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
        name=channel.name,
        channel_kind=str(channel.kind),
        up_to_level=channel.up_to_level,
    )
