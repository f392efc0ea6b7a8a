"""What must always be true of a reading, tried around the code."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, connection, transaction

from tanks.models import Reading
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged


@contextmanager
def refused(by: str) -> Iterator[None]:
    with pytest.raises(DatabaseError, match=by), transaction.atomic():
        yield


@pytest.fixture
def reading(house: House) -> Reading:
    return logged(house, vessel_of(house), kit(house, "TAN"), "0.5")


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE tanks_reading SET value = 0 WHERE id = %s",
        "UPDATE tanks_reading SET withdrawn = true WHERE id = %s",
        "DELETE FROM tanks_reading WHERE id = %s",
    ],
)
def test_nobody_changes_or_deletes_one(reading: Reading, sql: str) -> None:
    with refused(by="keeps what was written"), connection.cursor() as cursor:
        cursor.execute(sql, [reading.pk])

    assert Reading.objects.get(pk=reading.pk).as_entered == "0.5"


def test_nobody_empties_the_table(reading: Reading) -> None:
    with refused(by="keeps what was written"), connection.cursor() as cursor:
        # PostgreSQL empties no table while a foreign key of this transaction waits for its check.
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("TRUNCATE tanks_reading CASCADE")

    assert Reading.objects.exists()


@pytest.mark.parametrize(
    ("changes", "constraint"),
    [
        ({"value": "-1"}, "tanks_reading_not_negative"),
        ({"parameter": "PH", "value": "14.1"}, "tanks_reading_ph_on_scale"),
        ({"qualifier": "BETWEEN"}, "tanks_reading_bracket"),
        ({"qualifier": "BETWEEN", "upper": "0.5"}, "tanks_reading_bracket"),
        ({"qualifier": "EQUAL", "upper": "1"}, "tanks_reading_bracket"),
        ({"qualifier": "ABOUT"}, "tanks_reading_qualifier"),
        ({"parameter": "TEMPERATURE", "unit": "degC", "value": "46"}, "temperature_of_water"),
        ({"parameter": "TEMPERATURE", "unit": "degF", "value": "20"}, "temperature_of_water"),
        ({"withdrawn": True}, "tanks_reading_correction_has_reason"),
        ({"reason": "because"}, "tanks_reading_correction_has_reason"),
    ],
)
def test_the_table_itself_refuses(
    reading: Reading, changes: dict[str, Any], constraint: str
) -> None:
    row = Reading.objects.get(pk=reading.pk)
    row.pk, row._state.adding = uuid4(), True
    for column, value in changes.items():
        setattr(row, column, value)

    with refused(by=constraint):
        row.save(force_insert=True)


def test_one_reading_is_corrected_once(reading: Reading) -> None:
    for is_first in (True, False):
        row = Reading.objects.get(pk=reading.pk)
        row.pk, row._state.adding = uuid4(), True
        row.corrects, row.reason, row.recorded_at = reading, "again", NOON
        if is_first:
            row.save(force_insert=True)
        else:
            with refused(by="corrects_id"):
                row.save(force_insert=True)
