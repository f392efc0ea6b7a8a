"""Which readings show that a challenge would have failed: over the limit, long after feeding."""

from typing import Any

from tanks.rules.unready import not_ready_h


def case(*, events: list[dict[str, Any]], readings: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "format": "cycle-case/1",
        "now_h": 500.0,
        "system": {"water": "fresh"},
        "events": events,
        "readings": readings,
    }


def dosed(t_h: float) -> dict[str, Any]:
    return {"t_h": t_h, "kind": "dose_nh4cl", "amount": 2.0, "unit": "mg/L", "basis": "N"}


def read(t_h: float, value: float | str, parameter: str = "nitrite") -> dict[str, Any]:
    return {"t_h": t_h, "parameter": parameter, "unit": "mg/L", "basis": "N", "value": value}


def test_reading_over_the_limit_speaks_for_the_day_before_it() -> None:
    """The pass is defined by 24 hours and 0.25 mg/L as N."""
    told = case(events=[dosed(0.0)], readings=[read(72.0, 1.0), read(96.0, "<0.25")])

    assert not_ready_h(told, until_h=500.0) == 48.0


def test_reading_soon_after_a_dose_shows_nothing() -> None:
    told = case(events=[dosed(60.0)], readings=[read(72.0, 1.0, "tan")])

    assert not_ready_h(told, until_h=500.0) == 0.0


def test_failed_challenge_speaks_for_the_moment_of_its_dose() -> None:
    told = case(events=[dosed(100.0)], readings=[read(123.5, 0.6)])

    assert not_ready_h(told, until_h=500.0) == 100.0


def test_reading_that_may_be_under_the_limit_shows_nothing() -> None:
    told = case(events=[dosed(0.0)], readings=[read(72.0, "0-0.5"), read(73.0, "<1")])

    assert not_ready_h(told, until_h=500.0) == 0.0


def test_what_was_read_after_the_pass_does_not_undo_it() -> None:
    told = case(events=[dosed(0.0)], readings=[read(72.0, 1.0), read(300.0, 1.0)])

    assert not_ready_h(told, until_h=200.0) == 48.0
