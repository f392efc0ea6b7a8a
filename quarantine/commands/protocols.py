"""The site's own ways to acclimate animals; each edition is kept."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.models import Protocol
from tanks.commands.finding import site_for


class ProtocolUntold(Refusal):
    code = "protocol-untold"
    field = "steps"


class EditionTaken(Refusal):
    code = "edition-taken"
    field = "edition"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetProtocol:
    """``steps`` in the site's own words; an earlier edition of that name is offered no more."""

    id: UUID
    site_id: UUID
    name: str
    edition: str
    steps: str


@transaction.atomic(durable=True)
def set_protocol(command: SetProtocol, *, by: Person, at: datetime) -> Protocol:
    """Keep an edition of a protocol.

    Raises:
        NotFound, NotAllowed, IdTaken, ProtocolUntold, EditionTaken
    """
    site = site_for(by, command.site_id, deed="quarantine.set-protocol")
    columns = asdict(command)
    columns |= {name: columns[name].strip() for name in ("name", "edition", "steps")}
    if protocol := earlier(Protocol, command.id, columns):
        return protocol
    if not all(columns[name] for name in ("name", "edition", "steps")):
        raise ProtocolUntold("Write its name, its edition and its steps.")
    same = Protocol.objects.filter(site=site, name=columns["name"])
    if same.filter(edition=columns["edition"]).exists():
        raise EditionTaken(f"There is an edition {columns['edition']}; name this one otherwise.")
    retired = list(same.filter(retired_at=None))
    for row in retired:
        row.retired_at = at
        row.save(update_fields=["retired_at"])
    protocol = Protocol.objects.create(**columns, opened_at=at)
    ledger.record(
        "quarantine.set-protocol",
        [protocol, *retired],
        about=protocol,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return protocol


def protocol_at(site: Site, protocol_id: UUID | None) -> Protocol | None:
    """Return the protocol that was used there; a late entry may name a former edition.

    Raises:
        NotFound
    """
    if protocol_id is None:
        return None
    protocol = Protocol.objects.filter(site=site, pk=protocol_id).first()
    if protocol is None:
        raise NotFound("There is no such protocol at this site.")
    return protocol
