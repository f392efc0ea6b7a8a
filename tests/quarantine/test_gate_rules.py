"""Each requirement of the gate by itself; and time alone opens nothing.

Which requirements there are: common practice, no source. What voids, and how readings that
cannot tell are weighed: the policy's figures, and ISO/IEC 17025 in spirit (from memory,
unverified): what is below detection is compared to a limit as unknown when the method is coarser.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from math import inf
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.gate import answer, hindrances, opens, requirements, takes_two
from quarantine.rules.known import Edges, Happened, Known, StartUp
from tanks.rules.certificates import Kind, Voided
from tanks.rules.preparation import Appliance
from tests.quarantine.proven import (
    AT,
    CERTIFIED,
    OTHER,
    RAMP,
    READER,
    SIGNER,
    START_UP,
    SUMP,
    TANK,
    TRIAL,
    known,
    read,
    with_reading,
)


def states(facts: Known, *, hours_on: float = 0) -> Mapping[str, str]:
    found = requirements(facts, AT + timedelta(hours=hours_on))
    return {requirement.code: requirement.state for requirement in found}


def sentence(facts: Known, code: str) -> str:
    return next(one.sentence for one in requirements(facts, AT) if one.code == code)


def test_only_what_is_proven_opens_and_everything_is_said_at_once() -> None:
    found = requirements(known(), AT)

    assert opens(found)
    assert answer(found) == f"Yes: all {len(found)} requirements are met."
    assert len({requirement.code for requirement in found}) == len(found) >= 16
    assert not hindrances(found)


def test_a_device_still_off_leads_to_the_vessel_it_stands_on() -> None:
    away = Appliance(name="UV 1", kind="UV", is_on=False, page="/tanks/a-01/")

    found = requirements(known(appliances=(away,)), AT)

    devices = next(one for one in found if one.code == "devices")
    assert [shown.url for shown in devices.evidence] == ["/tanks/a-01/"]


def test_of_an_unknown_water_every_requirement_is_listed_and_none_opens() -> None:
    nothing = known(
        terms=None,
        start_ups=(),
        certified=None,
        trial=None,
        fed_at=None,
        latest={},
        edges={},
        chlorine_limit_mg_l=None,
        treated_at=None,
        ramps=(),
        appliances=(),
    )

    found = requirements(nothing, AT)

    assert {one.code for one in found} == {one.code for one in requirements(known(), AT)}
    assert not opens(found)
    # Nothing about the filter; and four things about its water, and eight readings, to be told.
    assert answer(found) == "Not yet: 4 of 20 requirements are not met, 13 unknown."


def test_the_answer_speaks_of_one_in_the_singular() -> None:
    found = requirements(known(trial=None), AT)

    assert answer(found) == "Not yet: 1 of 20 requirements is not met, 0 unknown."
    assert hindrances(found) == [
        "Latest challenge passed: No challenge has been made in this start-up."
    ]


def _declared(**changes: Any) -> StartUp:
    return replace(START_UP, **changes)


VOID = Voided(by=Kind.DISINFECTANT, at=AT - timedelta(hours=1), sentence="Copper reached it.")


@pytest.mark.parametrize(
    ("changes", "code", "state"),
    [
        ({"start_ups": ()}, "start-up", "not-met"),
        ({"start_ups": (START_UP, START_UP)}, "start-up", "not-met"),
        ({"stocked": "Animals are in."}, "start-up", "not-met"),
        ({"certified": None}, "certificate", "not-met"),
        ({"certified": replace(CERTIFIED, standing=VOID)}, "certificate", "not-met"),
        ({"start_ups": (_declared(declared_feed_g_per_day=19.4),)}, "declared-feed", "not-met"),
        ({"start_ups": (_declared(protein_share=0.5),)}, "declared-feed", "not-met"),
        ({"certified": replace(CERTIFIED, standing_passes=1)}, "passes-stand", "not-met"),
        ({"trial": None}, "latest-challenge", "not-met"),
        ({"trial": replace(TRIAL, outcome="failed")}, "latest-challenge", "not-met"),
        ({"trial": replace(TRIAL, outcome="running")}, "latest-challenge", "unknown"),
        ({"fed_at": None}, "fed", "not-met"),
        ({"fed_at": AT - timedelta(days=3, minutes=1)}, "fed", "not-met"),
        ({"fed_at": AT - timedelta(days=3)}, "fed", "met"),
        ({"members": {TANK: "A-01"}}, "same-members", "not-met"),
        ({"members": {TANK: "A-01", SUMP: "S-1", OTHER: "A-02"}}, "same-members", "not-met"),
        ({"litres": 420.1}, "same-volume", "not-met"),
        ({"litres": 420.0}, "same-volume", "met"),
        ({"litres": None, "unmeasured": ("A-01",)}, "same-volume", "unknown"),
        ({"chlorine_limit_mg_l": None}, "chlorine", "unknown"),
        ({"treated_at": AT - timedelta(hours=199)}, "chlorine", "unknown"),
        ({"edges": {}}, "ph", "unknown"),
        ({"ramps": (replace(RAMP, end=20.0),)}, "ramps", "not-met"),
        ({"ramps": (replace(RAMP, of="TEMPERATURE", end=20.0),)}, "ramps", "not-met"),
        ({"ramps": (replace(RAMP, planned_at=AT),)}, "ramps", "unknown"),
        ({"ramps": ()}, "ramps", "met"),
        ({"appliances": (Appliance(name="UV 1", kind="UV", is_on=False),)}, "devices", "not-met"),
        ({"appliances": ()}, "devices", "met"),
    ],
)
def test_one_thing_taken_away_shows_in_its_own_requirement(
    changes: dict[str, Any], code: str, state: str
) -> None:
    facts = known(**changes)

    assert states(facts)[code] == state
    assert opens(requirements(facts, AT)) == (state == "met")


@pytest.mark.parametrize(
    ("reading", "code", "state"),
    [
        (read("TAN", 0.3), "tan", "not-met"),
        (read("TAN", 0.2), "tan", "met"),
        (read("TAN", 0, 0.25), "tan", "met"),
        (read("TAN", 0, 0.5), "tan", "unknown"),
        (read("TAN", 0.1, 0.5), "tan", "unknown"),
        (read("TAN", 5, inf), "tan", "not-met"),
        (read("TAN", 0, 0.05, hours_ago=25), "tan", "unknown"),
        (read("NITRITE", 0.05), "nitrite", "not-met"),
        (read("NITRITE", 0, 0.25), "nitrite", "met"),
        (read("CHLORINE", 0.05), "chlorine", "not-met"),
        (read("CHLORINE", 0, 0.02), "chlorine", "unknown"),
        (read("PH", 8.0), "ph", "not-met"),
        (read("PH", 8.0, 8.2), "ph", "unknown"),
        (read("TEMPERATURE", 26.0), "temperature", "met"),
        (read("TEMPERATURE", 26.1), "temperature", "not-met"),
        (read("TEMPERATURE", 25, hours_ago=30), "temperature", "unknown"),
        (read("SALINITY", 19), "salinity", "not-met"),
        (read("OXYGEN", 5.4), "oxygen", "not-met"),
        (read("OXYGEN", 5.0, 9.0), "oxygen", "unknown"),
        (read("ALKALINITY", 0.9), "alkalinity", "not-met"),
    ],
)
def test_a_reading_is_weighed_with_all_that_it_may_be(reading: Any, code: str, state: str) -> None:
    assert states(with_reading(reading))[code] == state


@pytest.mark.parametrize("parameter", sorted(known().latest))
def test_what_was_not_read_is_unknown(parameter: str) -> None:
    facts = with_reading(None, parameter)

    assert states(facts)[parameter.lower()] == "unknown"
    assert "read it" in sentence(facts, parameter.lower())


def test_fresh_water_that_never_saw_salt_needs_no_salinity_reading() -> None:
    fresh = replace(START_UP, water_kind="FRESH", stocking_salinity_g_kg=0.0, is_salted=False)
    latest = {name: one for name, one in known().latest.items() if name != "SALINITY"}

    unsalted = known(start_ups=(fresh,), latest=latest)
    salted = known(start_ups=(replace(fresh, is_salted=True),), latest=latest)

    assert states(unsalted)["salinity"] == "met"
    assert states(salted)["salinity"] == "unknown"


def test_a_site_s_limit_narrows_the_declared_stocking_value() -> None:
    edges = {**known().edges, "TEMPERATURE": Edges(low=None, high=25.0, told="the site's limit")}

    assert states(known(edges=edges))["temperature"] == "not-met"


@pytest.mark.parametrize(
    ("has_ended", "is_outlived", "state"),
    [(False, False, "not-met"), (True, False, "met"), (False, True, "met")],
)
def test_an_incident_closes_by_its_end_or_by_a_pass_begun_after_it(
    *, has_ended: bool, is_outlived: bool, state: str
) -> None:
    incident = Happened(
        at=AT - timedelta(hours=5), told="Pump out", has_ended=has_ended, is_outlived=is_outlived
    )

    assert states(known(incidents=(incident,)))["incidents"] == state


def test_the_sentence_of_a_void_certificate_says_since_when_and_by_what() -> None:
    told = sentence(known(certified=replace(CERTIFIED, standing=VOID)), "certificate")

    # 4 May 2026, 11:00 UTC, is noon on a wall in Lisbon.
    assert told == "Void since Mon 4 May 2026, 12:00: Copper reached it."


def test_one_person_alone_never_stands_behind_proof_and_gate() -> None:
    assert not takes_two(readers=[READER], signer=READER, admits=READER)
    assert takes_two(readers=[READER], signer=SIGNER, admits=READER)
    assert takes_two(readers=[READER], signer=READER, admits=SIGNER)


_HOURS = st.floats(min_value=0, max_value=24 * 60)


@given(
    first=_HOURS,
    more=_HOURS,
    ages=st.dictionaries(st.sampled_from(sorted(known().latest)), _HOURS),
    fed=_HOURS,
    value=st.floats(min_value=0, max_value=40),
    has_ended=st.booleans(),
)
def test_time_alone_turns_nothing_to_met(
    *,
    first: float,
    more: float,
    ages: dict[str, float],
    fed: float,
    value: float,
    has_ended: bool,
) -> None:
    latest = {
        name: replace(one, low=value, high=value, at=AT - timedelta(hours=ages.get(name, 1)))
        for name, one in known().latest.items()
    }
    incident = Happened(at=AT, told="Out", has_ended=has_ended, is_outlived=False)
    facts = known(
        latest={**known().latest, **{name: latest[name] for name in ages}},
        fed_at=AT - timedelta(hours=fed),
        incidents=(incident,),
    )

    before = states(facts, hours_on=first)
    after = states(facts, hours_on=first + more)

    assert {code for code in after if after[code] == "met"} <= {
        code for code in before if before[code] == "met"
    }


def test_waiting_past_the_policy_shuts_the_gate() -> None:
    assert opens(requirements(known(), AT))
    assert states(known(), hours_on=23)["tan"] == "unknown"
    assert states(known(), hours_on=60)["certificate"] == "not-met"
    assert states(known(), hours_on=60)["fed"] == "not-met"


def test_evidence_leads_to_where_it_stands() -> None:
    tan = known().latest["TAN"]
    found = requirements(known(urls={UUID(int=tan.id.int): "/tanks/1/"}), AT)

    shown = next(one.evidence for one in found if one.code == "tan")

    assert shown[0].url == "/tanks/1/"
    assert "<0.05 mg/L as N, Kit, 2 h ago" in shown[0].text
