"""What is usual before anything is read: the trade's weeks, and less of them with every visit."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import lognorm

from chemistry.cycling import Case, System
from chemistry.cycling.arrays import Floats
from chemistry.cycling.climatology import tempered, usual_at_h
from tests.chemistry.cycling.startups import DAY_H, flat_case, promising_case, reading

LEVELS = np.array([0.1, 0.5, 0.9])


def _new(case: Case, *, now_day: float = 0.0) -> Case:
    return replace(case, now_h=DAY_H * now_day, readings=())


def _unseeded(case: Case) -> Case:
    return replace(case, events=())


def _tempered(dates: Floats, case: Case) -> Floats:
    return tempered(dates, by=np.ones(len(dates), dtype=np.bool_), case=case)


def test_seeded_is_usual_in_about_two_weeks_and_unseeded_in_four_to_eight() -> None:
    # common practice, no source
    seeded = usual_at_h(LEVELS, case=_new(promising_case())) / DAY_H
    unseeded = usual_at_h(LEVELS, case=_unseeded(_new(promising_case()))) / DAY_H

    assert 10.0 < seeded[1] < 17.0
    assert 24.0 < unseeded[0] < 35.0
    assert 52.0 < unseeded[2] < 70.0


def test_what_has_not_come_yet_follows_the_truncated_distribution() -> None:
    # computed: scipy.stats.lognorm, conditional on no pass by day 30
    case = _unseeded(_new(promising_case(), now_day=30.0))
    usual = lognorm(s=0.35, scale=42.0)

    theirs = usual.ppf(usual.cdf(30.0) + usual.sf(30.0) * LEVELS)

    assert usual_at_h(LEVELS, case=case) / DAY_H == pytest.approx(theirs, rel=0.01)


def test_sea_water_takes_longer() -> None:
    case = _new(promising_case())
    marine = replace(case, system=System(water="marine", salinity_ppt=35.0))

    assert (usual_at_h(LEVELS, case=marine) > usual_at_h(LEVELS, case=case)).all()


def test_members_that_pass_now_or_never_keep_their_word() -> None:
    case = promising_case(day=3)
    dates = np.array([case.now_h] * 3 + [np.inf] * 2 + [400.0 + hour for hour in range(95)])

    told = tempered(dates, by=np.ones(100, dtype=np.bool_), case=case)

    assert len(told) == len(dates)
    assert (told == case.now_h).sum() == 3
    assert np.isinf(told).sum() == pytest.approx(2, abs=1)
    assert (np.diff(told[np.isfinite(told)]) >= 0.0).all()


def test_members_of_another_story_keep_their_word() -> None:
    case = promising_case(day=3)
    dates = np.array([1700.0] * 50 + [400.0] * 50)

    told = tempered(dates, by=dates < 1000.0, case=case)

    assert (told == 1700.0).sum() == 50


def test_every_visit_leaves_less_to_what_is_usual() -> None:
    def moved_h(days: int) -> float:
        case = flat_case(day=days)
        far = np.full(200, 1700.0)
        return float(np.abs(_tempered(far, case) - far).mean())

    assert moved_h(2) > 1.5 * moved_h(6) > 2.0 * moved_h(14)
    assert moved_h(30) == pytest.approx(0.0, abs=10.0)


def test_water_with_no_open_dates_is_left_as_it_is() -> None:
    case = promising_case()
    never = np.full(10, np.inf)

    assert np.array_equal(_tempered(never, case), never)


def test_reading_one_of_the_two_is_no_visit() -> None:
    case = _new(promising_case(), now_day=3.0)
    half = replace(case, readings=(reading(day=1, value=2.0, of="tan"),))
    far = np.full(200, 1700.0)

    assert np.array_equal(_tempered(far, half), _tempered(far, case))
