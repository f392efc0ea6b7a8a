"""Issuing a document leaves a row and a line: which, about what, by whom, and its hash."""

import hashlib
from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.commands.documents import IssueDocument, NoDigest, issue_document
from facility.models import Document, Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from tests.cast import NOON, House


def command_in(house: House) -> IssueDocument:
    return IssueDocument(
        id=uuid4(),
        site_id=house.site.pk,
        kind="tanks.dossier",
        about="tanks.cycle:1",
        sha256=hashlib.sha256(b"%PDF").hexdigest(),
    )


def test_it_keeps_the_hash_and_writes_one_line(house: House) -> None:
    command = command_in(house)

    document = issue_document(command, by=house.vera, at=NOON)

    entry = Entry.objects.get(kind="facility.issue-document")
    assert (document.sha256, document.by, document.issued_at) == (command.sha256, house.vera, NOON)
    assert entry.facts["rows"][0]["sha256"] == command.sha256
    assert first_breach(house.site) is None


def test_delivered_twice_it_is_issued_once(house: House) -> None:
    command = command_in(house)

    first = issue_document(command, by=house.ana, at=NOON)
    again = issue_document(command, by=house.ana, at=NOON + timedelta(minutes=1))

    assert first == again
    assert Entry.objects.filter(kind="facility.issue-document").count() == 1
    with pytest.raises(IdTaken):
        issue_document(replace(command, about="tanks.cycle:2"), by=house.ana, at=NOON)


def test_who_may_not_and_what_is_no_hash(house: House) -> None:
    command = command_in(house)

    with pytest.raises(NotAllowed):
        issue_document(command, by=house.hale, at=NOON)
    with pytest.raises(NotFound):
        issue_document(command, by=house.bo, at=NOON)
    with pytest.raises(NoDigest):
        issue_document(replace(command, sha256="ABC"), by=house.ana, at=NOON)
    assert not Document.objects.exists()


def test_an_issued_document_cannot_be_taken_back(house: House) -> None:
    document = issue_document(command_in(house), by=house.ana, at=NOON)

    with pytest.raises(IntegrityError), transaction.atomic():
        Document.objects.filter(pk=document.pk).update(sha256="0" * 64)
