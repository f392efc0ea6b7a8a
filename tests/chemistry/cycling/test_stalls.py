"""What stalls are called, and what is advised: each from the readings it would show."""

from dataclasses import replace

from chemistry.cycling import (
    AlkalinityAddition,
    Case,
    Disinfection,
    Inoculation,
)
from tests.chemistry.cycling.startups import (
    DAY_H,
    HARD,
    daily,
    doses,
    flat_case,
    forecast_of,
    promising_case,
    reading,
    seeded_case,
)


def test_seed_that_does_nothing_for_six_days_is_called_weak_or_dead() -> None:
    forecast = forecast_of(flat_case(day=6))

    assert forecast.causes["weak_or_dead_seed"] > 0.9
    assert forecast.next_step.kind == "retest"


def test_seed_that_clears_two_doses_in_five_days_is_not_called_weak() -> None:
    case = seeded_case(
        day=5,
        events=doses(0.01, 3.01),
        readings=(
            HARD,
            *daily("tan", 1.5, 0.5, "<0.25", 0.5, "<0.25"),
            *daily("nitrite", 0.25, 1.0, 1.0, 1.0, 1.0),
            *daily("ph", *[7.9] * 5),
        ),
    )

    assert forecast_of(case).causes["weak_or_dead_seed"] < 0.3


def test_one_reading_claims_no_dead_seed() -> None:
    once = seeded_case(
        day=3,
        events=doses(0.01, amount=4.0),
        readings=(HARD, reading(day=2.9, value=4.0, of="tan"), *daily("nitrite", "<0.05")),
    )

    assert forecast_of(once).causes["weak_or_dead_seed"] <= 0.5


def test_nitrite_that_has_just_come_claims_no_missing_oxidisers() -> None:
    case = seeded_case(
        day=5,
        events=doses(0.01, 2.51),
        readings=(
            HARD,
            *daily("tan", 1.0, "<0.25", 1.0, "<0.25", "<0.25"),
            *daily("nitrite", 1.0, 2.0, 3.0, 4.0, 4.0),
        ),
    )

    assert forecast_of(case).causes["nitrite_oxidisers_missing"] <= 0.5


def test_nitrite_oxidisers_stay_missing_while_nitrite_stands() -> None:
    def missing(day: int) -> float:
        case = seeded_case(
            day=day,
            events=doses(0.01, 3.01),
            readings=(
                HARD,
                *daily("tan", 1.5, 0.5, "<0.25", 0.5, *["<0.25"] * (day - 4)),
                *daily("nitrite", 0.5, 1.5, 2.0, 3.0, *[4.0] * (day - 4)),
            ),
        )
        return forecast_of(case).causes["nitrite_oxidisers_missing"]

    assert min(missing(day) for day in (10, 12, 14, 17)) > 0.5


def test_chlorine_over_a_seed_raises_the_suspicion_before_anything_is_read() -> None:
    unread = seeded_case(day=1, events=doses(0.01), readings=())
    chlorinated = replace(unread, events=(*unread.events, Disinfection(t_h=1.0)))

    before, after = (forecast_of(one).causes["weak_or_dead_seed"] for one in (unread, chlorinated))

    assert before < 0.3
    assert after > 1.5 * before


def test_weak_seed_whose_water_has_since_oxidised_its_ammonia_is_no_longer_called_weak() -> None:
    case = seeded_case(
        day=14,
        events=doses(0.01, 10.01, 12.01),
        readings=(
            HARD,
            *daily("tan", *[2.0] * 5, 1.5, 1.0, 0.5, "<0.25", "<0.25", 0.5, "<0.25", 0.5, "<0.25"),
            *daily("nitrite", *["<0.05"] * 4, 0.1, 0.5, 1.0, 1.0, *[2.0] * 5, 1.0),
            *daily("ph", *[8.0] * 14),
        ),
    )
    early = replace(case, now_h=5 * DAY_H)

    assert forecast_of(early).causes["weak_or_dead_seed"] > 0.9
    assert forecast_of(case).causes["weak_or_dead_seed"] < 0.05


def test_water_that_passes_now_has_no_cause_to_be_slow() -> None:
    case = seeded_case(
        day=10,
        events=doses(*[day + 0.01 for day in range(10)]),
        readings=(
            reading(day=0, value=6.0, of="alkalinity"),
            *daily("tan", 1.0, 0.5, *["<0.25"] * 8),
            *daily("nitrite", 0.5, 1.0, 0.5, *["<0.05"] * 7),
            *daily("temperature", *[20.0] * 10),
        ),
    )

    forecast = forecast_of(case)

    assert forecast.pass_now > 0.5
    assert max(forecast.causes.values()) <= 1.0 - forecast.pass_now + 1e-9


def test_ammonia_gone_and_nitrite_standing_means_nitrite_oxidisers_are_missing() -> None:
    case = seeded_case(
        day=12,
        events=doses(0.01, 4.01),
        readings=(
            HARD,
            *daily("tan", 1.5, 0.5, "<0.25", "<0.25", 0.5, *["<0.25"] * 7),
            *daily("nitrite", 0.5, 1.5, 2.0, 2.0, 3.0, *[4.0] * 7),
            *daily("ph", *[7.9] * 12),
        ),
    )

    forecast = forecast_of(case)

    assert forecast.causes["nitrite_oxidisers_missing"] > 0.5
    assert forecast.next_step.kind == "wait"


def _soft_case() -> Case:
    return seeded_case(
        day=5,
        events=doses(0.01),
        readings=(
            reading(day=0, value=0.3, of="alkalinity"),
            reading(day=4, value=0.05, of="alkalinity"),
            *daily("tan", 1.5, 1.0, 0.8, 0.7, 0.7),
            *daily("nitrite", 0.2, 0.25, 0.25, 0.2, 0.2),
            *daily("ph", 6.9, 6.5, 6.2, 6.0, 6.0),
        ),
    )


def test_soft_water_that_stalls_is_told_to_buffer() -> None:
    forecast = forecast_of(_soft_case())

    assert forecast.causes["low_alkalinity"] > 0.5
    assert forecast.next_step.kind == "buffer"


def test_nobody_buffering_soft_water_leaves_it_unready() -> None:
    case = _soft_case()
    late = replace(
        case,
        readings=tuple(
            one for one in case.readings if one.parameter != "ph" or one.t_h == case.now_h
        ),
    )

    forecast = forecast_of(late)

    assert forecast.unbuffered.never_by_horizon > 0.9
    assert forecast.planned.never_by_horizon < 0.6


def test_keeper_who_let_five_low_ph_readings_pass_is_not_believed_to_buffer() -> None:
    forecast = forecast_of(_soft_case())

    assert forecast.planned.never_by_horizon > 0.6


def test_buffered_water_does_not_complain_of_alkalinity() -> None:
    case = _soft_case()
    buffered = replace(
        case, events=(*case.events, AlkalinityAddition(t_h=5 * DAY_H - 0.1, amount=2.0))
    )

    assert forecast_of(buffered).causes["low_alkalinity"] < 0.5


def test_cold_water_is_called_cold_and_warm_water_is_not() -> None:
    case = promising_case()
    cold = replace(case, readings=(*case.readings, *daily("temperature", *[17.0] * 5)))

    assert forecast_of(cold).causes["cold"] == 1.0
    assert forecast_of(case).causes["cold"] == 0.0


def test_overdose_under_high_ph_is_called_inhibition() -> None:
    # Park & Bae 2009: nitrite oxidisers at half rate by 0.64 mg N/L of un-ionised ammonia
    case = seeded_case(
        day=5,
        events=doses(0.01, amount=15.0),
        readings=(
            HARD,
            *daily("tan", 15.0, 15.0, 14.0, 13.0, 12.0),
            *daily("nitrite", 0.25, 0.5, 1.0, 2.0, 3.0),
            *daily("ph", *[8.6] * 5),
        ),
    )

    forecast = forecast_of(case)

    assert forecast.causes["inhibition"] > 0.5
    assert forecast.next_step.kind == "water_change"


def test_second_seeding_is_given_its_chance() -> None:
    idle = flat_case(day=6)
    reseeded = replace(
        idle,
        now_h=10 * DAY_H,
        events=(*idle.events, Inoculation(t_h=6 * DAY_H)),
        readings=(
            *idle.readings,
            *daily("tan", 1.5, 1.0, 0.5, "<0.25", first_day=7),
            *daily("nitrite", 0.25, 0.5, 0.5, 0.5, first_day=7),
        ),
    )

    assert forecast_of(reseeded).causes["weak_or_dead_seed"] < 0.5
