"""cycle-case/1: read, written back, and refused with one sentence that names the place."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.cycling import (
    AlkalinityAddition,
    AmmoniumDose,
    BadCase,
    Disinfection,
    Feed,
    Inoculation,
    SalinityChange,
    WaterChange,
    read_case,
    write_case,
)

EXAMPLE: dict[str, Any] = {
    "format": "cycle-case/1",
    "now_h": 168.0,
    "system": {
        "water": "fresh",
        "substrate": True,
        "temperature_setpoint_c": 26.0,
        "salinity_ppt": 0.4,
    },
    "dosing_plan": {
        "tan_at_or_below_mg_l_n": 0.25,
        "nitrite_at_or_below_mg_l_n": 2.0,
        "redose_mg_l_n": 3.0,
        "checks_per_day": 1,
        "adds_alkalinity_when_ph_at_or_below": 7.4,
        "alkalinity_step_meq_l": 1.5,
    },
    "ready_definition": {
        "challenge_mg_l_n": 2.0,
        "window_h": 24,
        "tan_limit_mg_l_n": 0.25,
        "nitrite_limit_mg_l_n": 0.25,
        "sustained_h": 24,
        "horizon_h": 1800,
    },
    "events": [
        {"t_h": 0.0, "kind": "inoculate"},
        {"t_h": 0.24, "kind": "dose_nh4cl", "amount": 4.0, "unit": "mg/L", "basis": "N"},
        {"t_h": 96.0, "kind": "add_alkalinity", "amount": 1.5, "unit": "meq/L"},
        {"t_h": 120.0, "kind": "salinity_change", "salinity_ppt": 18.0},
        {
            "t_h": 160.0,
            "kind": "water_change",
            "fraction": 0.5,
            "source_alkalinity_meq_l": 2.7,
            "source_tan_mg_l_n": 0.0,
        },
        {"t_h": 161.0, "kind": "feed", "feed_g": 10.0, "protein": 0.45, "volume_l": 400.0},
        {"t_h": 162.0, "kind": "disinfection"},
    ],
    "readings": [
        {"t_h": 0.24, "parameter": "tan", "basis": "NH4", "unit": "mg/L", "value": "<0.25"},
        {"t_h": 24.0, "parameter": "tan", "basis": "N", "unit": "mg/L", "value": 3.0},
        {"t_h": 48.0, "parameter": "tan", "basis": "NH3", "unit": "mg/L", "value": "2-4"},
        {"t_h": 24.0, "parameter": "nitrite", "basis": "NO2", "unit": "mg/L", "value": ">5"},
        {"t_h": 24.0, "parameter": "nitrate", "basis": "NO3", "unit": "mg/L", "value": 10.0},
        {"t_h": 24.0, "parameter": "ph", "basis": "NBS", "unit": "pH", "value": 7.9},
        {
            "t_h": 24.0,
            "parameter": "alkalinity",
            "basis": "CaCO3-dKH",
            "unit": "dKH",
            "value": 6.0,
        },
        {"t_h": 24.0, "parameter": "temperature", "unit": "degF", "value": 80.6},
        {"t_h": 24.0, "parameter": "salinity", "unit": "ppt", "value": 18.0},
    ],
}


def text(*path: str | int, value: Any = None) -> str:
    """Return the example with the value at a path replaced, or removed by the value ``...``."""
    content = json.loads(json.dumps(EXAMPLE))
    if path:
        place = content
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = value
        if value is ...:
            del place[path[-1]]
    return json.dumps(content)


def test_every_kind_of_event_is_read() -> None:
    case = read_case(text())

    assert [type(event) for event in case.events] == [
        Inoculation,
        AmmoniumDose,
        AlkalinityAddition,
        SalinityChange,
        WaterChange,
        Feed,
        Disinfection,
    ]
    assert case.plan.redose_mg_l_n == 3.0
    assert case.ready.horizon_h == 1800.0


@pytest.mark.parametrize(
    ("row", "low", "high"),
    [
        # atomic masses: NH4 1.2878, NH3 1.2158, NO2 3.2844, NO3 4.4266 per N
        (0, -float("inf"), 0.25 / 1.2878),
        (1, 3.0, 3.0),
        (2, 2.0 / 1.2158, 4.0 / 1.2158),
        (3, 5.0 / 3.2844, float("inf")),
        (4, 10.0 / 4.4266, 10.0 / 4.4266),
        (5, 7.9, 7.9),
        (6, 2.140, 2.140),  # 6 dKH / 2.804
        (7, 27.0, 27.0),
        (8, 18.0, 18.0),
    ],
)
def test_reading_is_turned_into_canonical_units_once(row: int, low: float, high: float) -> None:
    told = read_case(text()).readings[row].span

    assert told.low == pytest.approx(low, rel=2e-4)
    assert told.high == pytest.approx(high, rel=2e-4)


def test_alkalinity_in_milligrams_is_as_calcium_carbonate() -> None:
    # 50.04 mg CaCO3 per milliequivalent
    case = read_case(
        text("events", 2, value=EXAMPLE["events"][2] | {"unit": "mg/L", "amount": 100.08})
    )

    assert isinstance(case.events[2], AlkalinityAddition)
    assert case.events[2].rise_meq_l == pytest.approx(2.0)


def test_written_case_reads_back_equal() -> None:
    case = read_case(text())

    assert read_case(write_case(case)) == case


def test_plan_and_definition_have_usual_values() -> None:
    content = {key: EXAMPLE[key] for key in ("format", "now_h", "system", "readings")}

    case = read_case(json.dumps(content))

    assert (case.plan.redose_mg_l_n, case.plan.tan_cap_mg_l_n) == (2.0, 5.0)
    assert not case.is_seeded


@pytest.mark.parametrize("key", ["adds_alkalinity_when_ph_at_or_below", "alkalinity_step_meq_l"])
def test_plan_with_a_null_about_alkalinity_never_adds_any(key: str) -> None:
    plan = EXAMPLE["dosing_plan"] | {key: None}

    case = read_case(json.dumps(EXAMPLE | {"dosing_plan": plan}))

    assert case.plan.alkalinity_step_meq_l == 0.0


@pytest.mark.parametrize(
    ("broken", "says"),
    [
        ('{"format": "cycle-case/1",\n "now_h": 1 2}', "Line 2, column 13: this is not JSON"),
        ("[]", "The case: write an object in braces"),
        ("[" * 100_000, "Line 1: the brackets are nested too deeply"),
        (text("format", value="cycle-case/2"), 'format: "cycle-case/2" is not one of cycle-case/1'),
        (text("now_h", value=...), "now_h: is missing; add it."),
        (text("now_h", value="soon"), 'now_h: write a number, not "soon".'),
        (text("now_h", value=float("nan")), "now_h: write a number, not NaN."),
        (text("now_h", value=True), "now_h: write a number, not true."),
        (text("now_h", value=float("inf")), "now_h: write a number, not Infinity."),
        (text("now_h", value=10**400), "now_h: write a number, not Infinity."),
        (text("now_h", value="@").replace('"@"', "9" * 5000), "now_h: write a number, not Inf"),
        (text("now_h", value=[1]), "now_h: write a number, not a list."),
        ("", "Line 1, column 1: this is not JSON"),
        ("null", "The case: write an object in braces, not null."),
        (
            text("dosing_plan", "checks_per_day", value=1.5),
            "dosing_plan.checks_per_day: write a whole number, not 1.5.",
        ),
        (
            text("ready_definition", "challenge_mg_l_n", value=1e300),
            "ready_definition.challenge_mg_l_n: 1e+300 is not from 0.1 to 100.",
        ),
        (text("system", "water", value="river"), 'system.water: "river" is not one of fresh'),
        (text("system", "substrate", value=1), "system.substrate: write true or false, not 1."),
        (text("events", value={}), "events: write a list in brackets"),
        (text("events", 1, "kind", value="pour"), 'events[1].kind: "pour" is not one of inoculate'),
        (text("events", 1, "t_h", value=-3.0), "events[1].t_h: -3 is not positive or zero."),
        (text("events", 1, "basis", value=...), "events[1].basis: is missing; add it."),
        (text("events", 1, "unit", value="ppm"), 'events[1].unit: "ppm" is not one of mg/L.'),
        (text("events", 4, "fraction", value=1.5), "events[4].fraction: 1.5 is not from 0 to 1."),
        (text("readings", 1, "t_h", value=-1), "readings[1].t_h: -1 is not positive or zero."),
        (text("readings", 1, "parameter", value="gh"), 'readings[1].parameter: "gh" is not one'),
        (text("readings", 1, "unit", value="drops"), 'readings[1].unit: "drops" is not one of'),
        (text("readings", 1, "basis", value="NO2"), 'readings[1].basis: "NO2" is not one of N,'),
        (text("readings", 1, "value", value="lots"), 'readings[1].value: "lots" is not a value'),
        (text("readings", 1, "value", value="9" * 400), 'readings[1].value: "999'),
        (text("readings", 1, "value", value="<0"), 'readings[1].value: "<0" is not a value'),
        (text("readings", 1, "value", value="1\n2"), 'readings[1].value: "1\\n2" is not a value'),
        (text("readings", 1, "parameter", value="a\nb"), 'readings[1].parameter: "a\\nb" is not'),
        (text("readings", 1, "value", value=10**400), "readings[1].value: write a number, not In"),
        (text("readings", 5, "basis", value=5), "readings[5].basis: write a text in quotes, not 5"),
        (text("readings", 2, "value", value="4-2"), 'readings[2].value: "4-2" is not a value'),
        (text("readings", 5, "value", value="<7"), "readings[5].value: ph needs a number"),
        (text("readings", 5, "value", value=79), "readings[5].value: 79.0 pH cannot be a ph"),
        (text("readings", 1, "value", value=-0.1), "readings[1].value: -0.1 mg/L cannot be a tan"),
        (text("readings", 1, "t_h", value=200.0), "readings: a forecast needs at least 3 TAN"),
    ],
)
def test_what_is_not_a_case_is_refused_in_one_sentence(broken: str, says: str) -> None:
    with pytest.raises(BadCase) as refused:
        read_case(broken)

    assert says in str(refused.value)
    assert str(refused.value).endswith(".")
    assert "\n" not in str(refused.value)


@given(content=st.recursive(st.none() | st.booleans() | st.floats() | st.text(), st.lists))
def test_any_json_is_either_a_case_or_refused(content: object) -> None:
    for key in ("system", "events", "readings", "now_h"):
        with pytest.raises(BadCase):
            read_case(json.dumps(EXAMPLE | {key: content, "format": "x"} | {"format": content}))


@given(value=st.text(max_size=8) | st.floats() | st.integers() | st.none() | st.booleans())
def test_any_value_of_a_reading_is_either_read_or_refused(value: object) -> None:
    try:
        case = read_case(text("readings", 3, "value", value=value))
    except BadCase as refused:
        assert "readings[3].value" in str(refused)  # noqa: PT017 - both outcomes are fine
    else:
        assert case.readings[3].span.low <= case.readings[3].span.high
