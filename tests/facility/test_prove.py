"""The ledger proves itself; whoever changes a line or a row around the code is found out.

SHA-256: FIPS 180-4, checked against the standard's own example "abc".
"""

import hashlib
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction

from facility.commands.places import OpenArea, open_area
from facility.models import Area, Entry
from facility.queries.proof import first_breach
from facility.rules.canonical import canonical_json, digest
from tests.cast import NOON, House


def test_digest_is_sha256_of_the_canonical_json() -> None:
    assert canonical_json({"b": 1, "a": ["é", None]}) == '{"a":["é",null],"b":1}'
    assert digest("abc") == hashlib.sha256(b'"abc"').hexdigest()
    assert (
        hashlib.sha256(b"abc").hexdigest()
        == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


def test_untouched_ledger_holds(house: House) -> None:
    assert Entry.objects.filter(site=house.site).count() >= 5
    assert first_breach(house.site) is None


def test_every_line_links_to_the_one_before(house: House) -> None:
    lines = list(Entry.objects.filter(site=house.site).order_by("number"))

    assert [line.previous for line in lines[1:]] == [line.digest for line in lines[:-1]]
    assert [line.number for line in lines] == list(range(1, len(lines) + 1))


def test_database_refuses_to_change_delete_or_empty_the_ledger(house: House) -> None:
    _settle()
    for sql in (
        "UPDATE facility_entry SET kind = 'x'",
        "DELETE FROM facility_entry",
        "TRUNCATE facility_entry",
    ):
        with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(sql)


def test_prove_names_the_first_line_that_was_changed_behind_the_triggers(house: House) -> None:
    _behind_the_triggers(
        "UPDATE facility_entry SET happened_at = happened_at + '1 s' WHERE number >= 3"
    )

    breach = first_breach(house.site)

    assert breach is not None
    assert breach.number == 3
    with pytest.raises(CommandError, match="broken at line 3"):
        call_command("prove")


def test_prove_notices_a_line_taken_out(house: House) -> None:
    _behind_the_triggers("DELETE FROM facility_entry WHERE number = 2")

    breach = first_breach(house.site)

    assert breach is not None
    assert breach.number == 2


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("tanks_policy", "challenge_limit_mg_l_n = 2"),
        ("facility_membership", "role = 'MANAGER'"),
    ],
)
def test_prove_names_a_rule_or_a_role_that_no_command_changed(
    house: House, table: str, change: str
) -> None:
    _settle()
    with connection.cursor() as cursor:
        cursor.execute(f"UPDATE {table} SET {change}")

    breach = first_breach(house.site)

    assert breach is not None
    assert table.replace("_", ".") in breach.sentence
    assert "changed by no command" in breach.sentence


def test_the_same_command_twice_is_one_line(house: House) -> None:
    command = OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=4)
    open_area(command, by=house.mo, at=NOON)
    before = Entry.objects.count()

    open_area(command, by=house.mo, at=NOON)

    assert Entry.objects.count() == before
    assert Area.objects.filter(name="Back room").count() == 1


def _settle() -> None:
    """A table with deferred checks pending cannot be emptied at all; have them done first."""
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")


def _behind_the_triggers(sql: str) -> None:
    _settle()
    with connection.cursor() as cursor:
        cursor.execute("SET session_replication_role = replica")
        cursor.execute(sql)
        cursor.execute("SET session_replication_role = origin")
