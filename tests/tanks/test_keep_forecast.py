"""A start-up as a case, the forecast made from it, and who asks for it."""

import json
from decimal import Decimal
from uuid import uuid4

import pytest

from chemistry.cycling import read_case
from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks import jobs
from tanks.commands.changes import LogWaterChange, log_water_change
from tanks.commands.forecasts import KeepForecast, keep_forecast
from tanks.commands.incidents import LogIncident, log_incident
from tanks.commands.seedings import LogSeeding, log_seeding
from tanks.models import Forecast
from tanks.queries.cases import case_of
from tanks.queries.cycles import latest_forecast
from tests.cast import NOON, House
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.shelf import dosed, shelved


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def kept_of(tank: Proving, **changes: object) -> KeepForecast:
    told: dict[str, object] = {
        "id": uuid4(),
        "cycle_id": tank.cycle.pk,
        "case": {"now_h": 1.0},
        "as_planned": {"never_by_horizon": 0.1},
        "unbuffered": {"never_by_horizon": 0.2},
    }
    return KeepForecast(**(told | changes))  # type: ignore[arg-type]  # each test changes its own


def lived(tank: Proving) -> None:
    """Seeded, dosed 2 mg/L-N, read with several bases, buffered, half changed, disinfected."""
    house, vessel = tank.house, tank.vessel
    seeding = LogSeeding(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind="MATURE_MEDIA",
        product_id=None,
        origin="rack 2, own",
        quantity="4 L",
        happened_at=NOON,
    )
    log_seeding(seeding, by=house.ana, at=NOON)
    tank.dose(at=NOON + HOUR, purpose="AMMONIA")
    tank.read("TAN", "<0.25", at=NOON + 2 * HOUR)
    tank.read("NITRITE", ">5", at=NOON + DAY)
    tank.read("NITRATE", "10-20", at=NOON + DAY)
    tank.read("PH", "7.9", at=NOON + DAY)
    soda = shelved(house, substance="SODIUM_BICARBONATE")
    dosed(
        soda,
        vessel,
        by=house.ana,
        purpose="ALKALINITY",
        target=Decimal("1.5"),
        target_unit="meq/L",
        amount=Decimal("50.4"),
        happened_at=NOON + 2 * DAY,
    )
    change = LogWaterChange(
        id=uuid4(),
        vessel_id=vessel.pk,
        litres=Decimal(200),
        source_alkalinity_meq_l=Decimal("2.7"),
        happened_at=NOON + 3 * DAY,
    )
    log_water_change(change, by=house.ana, at=NOON + 3 * DAY)
    incident = LogIncident(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind="DISINFECTANT",
        lasted_h=None,
        note="tap ran in",
        happened_at=NOON + 4 * DAY,
    )
    log_incident(incident, by=house.ana, at=NOON + 4 * DAY)


def test_a_case_tells_the_facts_in_hours_and_as_they_were_read(tank: Proving) -> None:
    """50.4 g of NaHCO3 (84.007 g/mol) in 400 L raise alkalinity by 1.5 meq/L: stoichiometry."""
    lived(tank)

    case = case_of(tank.cycle, at=NOON + 5 * DAY)

    assert [(event["t_h"], event["kind"]) for event in case["events"]] == [
        (0.0, "inoculate"),
        (1.0, "dose_nh4cl"),
        (48.0, "add_alkalinity"),
        (72.0, "water_change"),
        (96.0, "disinfection"),
    ]
    dose, soda, change = case["events"][1:4]
    assert (dose["basis"], dose["unit"]) == ("N", "mg/L")
    assert dose["amount"] == pytest.approx(3.06 * 14.007 / 53.49 / 0.4, rel=1e-3)
    assert soda["amount"] == pytest.approx(50.4 / 84.007 / 0.4, rel=1e-3)
    assert (change["fraction"], change["source_alkalinity_meq_l"]) == (0.5, 2.7)
    assert {one["parameter"]: one["value"] for one in case["readings"]} == {
        "tan": "<0.25",
        "nitrite": ">5",
        "nitrate": "10-20",
        "ph": 7.9,
    }
    assert case["now_h"] == 120.0
    assert case["ready_definition"]["challenge_mg_l_n"] == 2.0
    assert case["dosing_plan"]["tan_cap_mg_l_n"] == 5.0


def test_a_case_of_ours_is_a_case_to_the_reader(tank: Proving) -> None:
    lived(tank)

    case = read_case(json.dumps(case_of(tank.cycle, at=NOON + 5 * DAY)), fewest_tan_readings=1)

    assert len(case.events) == 5
    assert case.is_seeded


def test_what_happened_after_the_moment_is_left_out(tank: Proving) -> None:
    lived(tank)

    case = case_of(tank.cycle, at=NOON + 2 * HOUR)

    assert len(case["events"]) == 2
    assert len(case["readings"]) == 1


def test_readings_shortly_before_the_start_stand_at_its_beginning(house: House) -> None:
    early = proving(house)
    early.read("ALKALINITY", "3.0", at=NOON)

    case = case_of(early.cycle, at=NOON + HOUR)

    assert case["readings"][0]["t_h"] == 0.0


def test_a_forecast_is_kept_once_for_each_case(tank: Proving) -> None:
    first = keep_forecast(kept_of(tank), by=None, at=NOON)
    again = keep_forecast(kept_of(tank), by=None, at=NOON + HOUR)
    other = keep_forecast(kept_of(tank, case={"now_h": 2.0}), by=None, at=NOON + HOUR)

    assert first == again
    assert latest_forecast(tank.cycle) == other
    lines = Entry.objects.filter(kind="tanks.keep-forecast")
    assert [line.by for line in lines] == [None, None]


def test_nobody_keeps_a_forecast_by_hand(tank: Proving) -> None:
    with pytest.raises(NotAllowed):
        keep_forecast(kept_of(tank), by=tank.house.mo, at=NOON)
    with pytest.raises(NotFound):
        keep_forecast(kept_of(tank, cycle_id=uuid4()), by=None, at=NOON)


def test_a_job_forecasts_and_keeps_both_plans_and_the_bands(tank: Proving) -> None:
    """Seeded fresh water is ready within weeks: common practice, no source."""
    tank.dose(at=NOON + HOUR, purpose="AMMONIA")
    for day, tan in enumerate(("2.0", "1.6", "0.9")):
        tank.read("TAN", tan, at=NOON + day * DAY + 2 * HOUR)

    jobs.forecast_now(tank.cycle, at=NOON + 3 * DAY)
    jobs.forecast_now(tank.cycle, at=NOON + 3 * DAY)

    made = Forecast.objects.get()
    assert made.as_planned["members"] == 500
    assert 0 <= made.as_planned["never_by_horizon"] <= made.unbuffered["never_by_horizon"] <= 1
    bands = made.as_planned["bands"]
    assert len(bands["t_h"]) == len(bands["tan"]["p10"]) == len(bands["ph"]["p90"])
    assert made.as_planned["sureness"].endswith(".")


def test_a_start_up_has_a_forecast_before_anything_was_read(tank: Proving) -> None:
    jobs.forecast_now(tank.cycle, at=NOON + DAY)

    kept = Forecast.objects.get(cycle=tank.cycle)
    assert kept.case["readings"] == []
    assert kept.as_planned["ready_at_h"]["p50"] > 0
