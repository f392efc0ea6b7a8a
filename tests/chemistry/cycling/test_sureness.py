"""One sentence that never promises more than the interval."""

from chemistry.cycling.sureness import sureness


def _said(
    p25_day: float | None,
    p50_day: float | None,
    p75_day: float | None,
    *,
    now_day: float = 20.0,
    never: float = 0.0,
    pass_now: float = 0.0,
) -> str:
    days = {"p25": p25_day, "p50": p50_day, "p75": p75_day}
    return sureness(
        {name: None if day is None else 24.0 * day for name, day in days.items()},
        now_h=24.0 * now_day,
        horizon_h=1800.0,
        never_by_horizon=never,
        pass_now=pass_now,
    )


def test_wide_interval_is_too_early_for_a_date() -> None:
    assert _said(22, 30, 40) == (
        "Too early for a date: a first pass between day 22 and day 40 is as likely as not."
    )


def test_narrow_interval_is_told_as_an_even_chance() -> None:
    assert _said(22, 23, 25) == "A first pass between day 22 and day 25 is as likely as not."


def test_interval_wider_than_the_record_is_too_early_even_when_narrow() -> None:
    assert _said(5, 7, 9, now_day=3).startswith("Too early")


def test_no_interval_of_the_first_week_is_a_date_however_narrow() -> None:
    assert _said(7, 8, 9, now_day=6.9).startswith("Too early")
    assert not _said(8, 9, 10, now_day=7.1).startswith("Too early")


def test_open_end_is_told() -> None:
    said = _said(22, 50, None, never=0.3)

    assert "day 50" in said
    assert "30% of it beyond day 75" in said


def test_unlikely_pass_is_not_given_a_day() -> None:
    assert _said(40, None, None, never=0.6).startswith(
        "More likely than not (60%) there is no pass"
    )


def test_likely_pass_asks_for_its_proof() -> None:
    assert _said(20, 20, 20, pass_now=0.9).endswith("only a challenge proves it.")
