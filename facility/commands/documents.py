"""Remember that a document was issued, and the hash of its bytes."""

import re
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import Document, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal

_SHA256: Final = re.compile(r"[0-9a-f]{64}")


class NoDigest(Refusal):
    code = "no-digest"
    field = "sha256"


@dataclass(frozen=True, slots=True, kw_only=True)
class IssueDocument:
    """``about`` is a row as the ledger names it, ``sha256`` 64 hexadecimal digits over the bytes.

    ``kind`` names the document, such as ``tanks.dossier``.
    """

    id: UUID
    site_id: UUID
    kind: str
    about: str
    sha256: str


@transaction.atomic(durable=True)
def issue_document(command: IssueDocument, *, by: Person, at: datetime) -> Document:
    """Keep what was issued, to whom and when; the bytes can be made again from the record.

    Raises:
        NotFound, NotAllowed, IdTaken, NoDigest
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.issue-document", site)
    take_turn(site)
    if document := earlier(Document, command.id, asdict(command)):
        return document
    if not _SHA256.fullmatch(command.sha256):
        raise NoDigest("Give the SHA-256 of the document as 64 hexadecimal digits.")
    document = Document.objects.create(**asdict(command), issued_at=at, by=by)
    ledger.record(
        "facility.issue-document",
        [document],
        about=document,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return document
