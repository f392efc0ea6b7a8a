"""The board shows every water in a fixed number of queries, and says what asks for an act."""

from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tanks.models import Cycle, Forecast, Method, Policy, Product, Reading, Vessel, Volume
from tanks.queries.board import board
from tests.cast import NOON, House

NOW = NOON + timedelta(days=3)


@pytest.fixture
def crowd(house: House) -> House:
    """Enough for any number of waters: one method for each parameter, one ammonia stock."""
    for parameter, unit, basis in (
        ("TAN", "mg/L", "N"),
        ("NITRITE", "mg/L", "N"),
        ("PH", "pH", "NBS"),
        ("TEMPERATURE", "degC", ""),
    ):
        Method.objects.create(
            site=house.site,
            name=f"probe {parameter}",
            kind="PROBE",
            parameter=parameter,
            unit=unit,
            basis=basis,
        )
    Product.objects.create(
        site=house.site,
        name="Stock",
        substance="AMMONIUM_CHLORIDE",
        form="SOLUTION",
        strength=Decimal(100),
        opened_at=NOON,
    )
    return house


def test_board_asks_the_same_number_of_queries_for_10_and_for_300_waters(crowd: House) -> None:
    _stand(crowd, range(10))
    with CaptureQueriesContext(
        connection,
    ) as few:
        assert len(board(crowd.site, at=NOW).lines) == 10
    _stand(crowd, range(10, 300))

    with CaptureQueriesContext(connection) as many:
        shown = board(crowd.site, at=NOW)

    assert len(shown.lines) == 300
    assert len(shown.cycling) == 60
    assert len(many) == len(few)


def test_board_page_asks_the_same_number_of_queries_too(crowd: House, client: Client) -> None:
    client.force_login(crowd.ana)
    _stand(crowd, range(10))
    client.get(reverse("tanks:board"))
    with CaptureQueriesContext(connection) as few:
        client.get(reverse("tanks:board"))
    _stand(crowd, range(10, 40))

    with CaptureQueriesContext(connection) as many:
        page = client.get(reverse("tanks:board"))

    assert page.status_code == 200
    assert len(many) == len(few)


def test_a_reading_over_its_limit_puts_the_water_among_those_that_need_a_look(
    crowd: House,
) -> None:
    _stand(crowd, range(1, 3))
    loud = Vessel.objects.get(code="W-001")
    _read(loud, crowd, "NITRITE", Decimal(4), at=NOW)

    shown = board(crowd.site, at=NOW)

    assert [line.water.anchor.code for line in shown.needing] == ["W-001"]
    assert "itrite" in shown.needing[0].findings[0].sentence


def test_stranger_sees_no_water_and_the_signed_out_are_sent_to_sign_in(
    crowd: House, client: Client
) -> None:
    _stand(crowd, range(1))

    assert client.get(reverse("tanks:board")).status_code == 302

    client.force_login(crowd.bo)
    assert "W-000" not in client.get(reverse("tanks:board")).content.decode()


def _stand(house: House, numbers: range) -> None:
    """Put up lone tanks straight in the tables: this is about reading them, not about rules."""
    common = {"happened_at": NOON, "recorded_at": NOON, "by": house.mo}
    vessels = Vessel.objects.bulk_create(
        Vessel(site=house.site, area=house.area, kind="TANK", code=f"W-{n:03}", opened_at=NOON)
        for n in numbers
    )
    Volume.objects.bulk_create(
        Volume(vessel=vessel, means="METERED", litres=200, basis={}, **common) for vessel in vessels
    )
    for vessel in vessels:
        for name, value in (
            ("TAN", "0.05"),
            ("NITRITE", "0.01"),
            ("PH", "7.4"),
            ("TEMPERATURE", "25"),
        ):
            _read(vessel, house, name, Decimal(value))
    _cycles(house, [vessel for n, vessel in zip(numbers, vessels, strict=True) if n % 5 == 0])


def _read(
    vessel: Vessel,
    house: House,
    parameter: str,
    value: Decimal,
    *,
    at: datetime = NOW - timedelta(hours=1),
) -> None:
    method = Method.objects.get(site=house.site, parameter=parameter)
    Reading.objects.create(
        id=uuid4(),
        vessel=vessel,
        sample=uuid4(),
        parameter=parameter,
        method=method,
        qualifier="EQUAL",
        value=value,
        as_entered=str(value),
        unit=method.unit,
        basis=method.basis,
        happened_at=at,
        recorded_at=at,
        by=house.ana,
    )


def _cycles(house: House, vessels: list[Vessel]) -> None:
    cycles = Cycle.objects.bulk_create(
        Cycle(
            vessel=vessel,
            policy=Policy.objects.get(site=house.site),
            water_kind="FRESH",
            seed="NONE",
            has_substrate=True,
            ammonia=Product.objects.get(site=house.site),
            declared_feed_g_per_day=5,
            protein_share=Decimal("0.45"),
            cycling_temperature_c=27,
            cycling_salinity_g_kg=0,
            stocking_temperature_c=25,
            stocking_salinity_g_kg=0,
            started_at=NOON,
            started_by=house.mo,
        )
        for vessel in vessels
    )
    Forecast.objects.bulk_create(_forecast(cycle) for cycle in cycles)


def _forecast(cycle: Cycle) -> Forecast:
    hours = dict.fromkeys(("p05", "p10", "p25", "p50", "p75", "p90", "p95"), 240.0)
    step = {"kind": "wait", "amount": None, "unit": None, "why": "Nothing has changed yet."}
    answer = {
        "ready_at_h": hours,
        "never_by_horizon": 0.1,
        "causes": {},
        "next_step": step,
        "sureness": "Too early to tell.",
    }
    case = {"now_h": 200.0, "readings": [], "ready_definition": {"horizon_h": 1800}}
    return Forecast(
        cycle=cycle, made_at=NOW, digest="0" * 64, case=case, as_planned=answer, unbuffered=answer
    )
