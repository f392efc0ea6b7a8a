"""A root kept outside shows that the ledger grew from what it was, RFC 9162 section 2.1.4."""

from io import StringIO
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from facility.commands.places import OpenArea, open_area
from tests.cast import NOON, House


def _proved(*options: str) -> str:
    out = StringIO()
    call_command("prove", *options, stdout=out)
    return out.getvalue()


def _root(said: str) -> str:
    return said.split("to keep outside: ")[1].split(maxsplit=1)[0]


def _another_area(house: House) -> None:
    area = OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=2)
    open_area(area, by=house.mo, at=NOON)


def test_a_ledger_that_only_grew_agrees_with_the_root_kept_earlier(house: House) -> None:
    kept = _root(_proved())
    _another_area(house)

    assert _root(_proved("--site", house.site.name, "--kept", kept)) != kept


def test_lines_cut_off_together_with_their_rows_are_missed(house: House) -> None:
    _another_area(house)
    kept = _root(_proved())
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET session_replication_role = replica")
        cursor.execute("DELETE FROM facility_area WHERE name = 'Back room'")
        cursor.execute(
            "DELETE FROM facility_entry WHERE kind = 'facility.open-area' AND number > 4"
        )
        cursor.execute("SET session_replication_role = origin")

    with pytest.raises(CommandError, match="were cut off"):
        _proved("--site", house.site.name, "--kept", kept)


def test_another_beginning_is_not_the_one_that_was_kept(house: House) -> None:
    lines, _, root = _root(_proved()).partition(":")
    other = f"{lines}:{root[::-1]}"

    with pytest.raises(CommandError, match="not those the kept root was made from"):
        _proved("--site", house.site.name, "--kept", other)


@pytest.mark.parametrize("kept", ["12", "0:ab", "12:xyz"])
def test_a_root_that_is_none_is_told_how_one_looks(house: House, kept: str) -> None:
    with pytest.raises(CommandError, match="LINES:ROOT"):
        _proved("--site", house.site.name, "--kept", kept)
