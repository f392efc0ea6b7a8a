"""Before seeding.

Devices and ranges are common practice, no source; chlorine below 0.019 mg/L as
Cl2 is the acute fresh-water criterion of US EPA 440/5-84-030 (1985).
"""

from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tanks.rules.measured import Measured
from tanks.rules.preparation import Appliance, Setting, preparation
from tanks.rules.requirements import Requirement, all_met
from tests.cast import NOON
from tests.tanks.weighed import DAY, HOUR, below, read, terms_of

OFF = Appliance(
    name="UV 1", kind="UV", is_on=False, since=NOON, due_back_at=NOON + 3 * DAY, owner="Ana Quill"
)
READ: dict[str, Measured] = {
    "CHLORINE": below("CHLORINE", 0.01),
    "ALKALINITY": read("ALKALINITY", 3.0),
    "OXYGEN": read("OXYGEN", 95.0),
    "TEMPERATURE": read("TEMPERATURE", 28.0),
}


def setting_of(**changes: Any) -> Setting:
    told: dict[str, Any] = {
        "at": NOON + HOUR,
        "started_at": NOON,
        "zone": ZoneInfo("Europe/Lisbon"),
        "terms": terms_of(),
        "litres": 400.0,
        "unmeasured": (),
        "water_kind": "FRESH",
        "is_seeded": True,
        "salinity_g_kg": 0.0,
        "latest": READ,
        "chlorine_limit_mg_l": 0.019,
        "refreshed_at": None,
        "appliances": (OFF,),
    }
    return Setting(**(told | changes))


def found(code: str, **changes: Any) -> Requirement:
    return next(one for one in preparation(setting_of(**changes)) if one.code == code)


def latest(**changes: Measured) -> dict[str, Measured]:
    return READ | changes


def test_a_prepared_water_meets_everything() -> None:
    checklist = preparation(setting_of())

    assert all_met(checklist)
    assert [one.code for one in checklist] == [
        "volume-known",
        "chlorine-absent",
        "off-uv",
        "alkalinity",
        "oxygen",
        "temperature",
    ]


@pytest.mark.parametrize(
    ("reading", "state"),
    [
        (below("CHLORINE", 0.01), "met"),
        (below("CHLORINE", 0.05), "unknown"),
        (read("CHLORINE", 0.05), "not-met"),
    ],
)
def test_chlorine_is_absent_only_to_a_method_that_could_have_seen_it(
    reading: Measured, state: str
) -> None:
    assert found("chlorine-absent", latest=latest(CHLORINE=reading)).state == state


def test_changed_water_may_bring_chlorine_back() -> None:
    requirement = found("chlorine-absent", refreshed_at=NOON + 0.5 * HOUR)

    assert requirement.state == "unknown"
    assert "changed since" in requirement.sentence


def test_no_chlorine_reading_and_no_limit_are_unknown() -> None:
    without = {name: one for name, one in READ.items() if name != "CHLORINE"}

    assert found("chlorine-absent", latest=without).state == "unknown"
    assert found("chlorine-absent", chlorine_limit_mg_l=None).state == "unknown"


def test_a_device_is_off_with_the_time_it_is_due_back() -> None:
    off = found("off-uv")
    on = found("off-uv", appliances=(replace(OFF, is_on=True),))

    assert off.state == "met"
    assert "due back on Wed 1 Apr 2026, 13:00 by Ana Quill" in off.sentence
    assert on.state == "not-met"


def test_a_device_that_was_off_and_is_on_again_asks_for_nothing_more() -> None:
    back = found("off-uv", appliances=(replace(OFF, is_on=True, since=NOON + 2 * DAY),))

    assert back.state == "met"
    assert "on again since Tue 31 Mar 2026, 13:00" in back.sentence


def test_a_heater_stays_on_and_nothing_is_off_where_nothing_is_seeded() -> None:
    heater = Appliance(name="Heater", kind="HEATER", is_on=True)
    codes = [one.code for one in preparation(setting_of(is_seeded=False))]

    assert found("devices-off", appliances=(heater,)).state == "met"
    assert not any(code.startswith("off-") for code in codes)


def test_an_unmeasured_vessel_is_named() -> None:
    requirement = found("volume-known", litres=None, unmeasured=("S-1",))

    assert requirement.state == "not-met"
    assert "S-1" in requirement.sentence


@pytest.mark.parametrize(
    ("code", "reading", "state"),
    [
        ("alkalinity", read("ALKALINITY", 1.9), "not-met"),
        ("alkalinity", read("ALKALINITY", 1.5, 2.5), "unknown"),
        ("oxygen", read("OXYGEN", 79.0), "not-met"),
        ("temperature", read("TEMPERATURE", 25.9), "not-met"),
        ("temperature", read("TEMPERATURE", 30.0), "met"),
        ("temperature", read("TEMPERATURE", 30.1), "not-met"),
    ],
)
def test_start_values_keep_the_policys_ranges(code: str, reading: Measured, state: str) -> None:
    assert found(code, latest=latest(**{code.upper(): reading})).state == state


def test_a_day_old_reading_tells_nothing_of_today() -> None:
    requirement = found("temperature", at=NOON + 25 * HOUR)

    assert requirement.state == "unknown"
    assert "25 h ago" in requirement.sentence


@pytest.mark.parametrize(
    ("kind", "salinity", "state"),
    [("MARINE", 19.0, "met"), ("MARINE", 35.0, "not-met"), ("BRACKISH", 13.0, "met")],
)
def test_salt_water_starts_at_its_cycling_salinity(kind: str, salinity: float, state: str) -> None:
    """Marine waters start at 18 to 20 g/kg: common practice, no source."""
    readings = latest(SALINITY=read("SALINITY", salinity))

    requirement = found("salinity", water_kind=kind, salinity_g_kg=12.0, latest=readings)

    assert requirement.state == state
