"""What leaving the plan costs: the same members live both ways.

Directions are those of our own comparison of eight plans on simulated start-ups (found there;
synthetic truth): ignoring nitrite cost 5.6 days, larger and smaller doses about one.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from chemistry.cycling import Case, weigh_departures
from chemistry.cycling.deviation import Deviation, deviations
from chemistry.cycling.history import live
from chemistry.cycling.timeline import timeline
from tests.chemistry.cycling.startups import (
    doses,
    prior_members,
    promising_case,
    reading,
    seeded_case,
)

_MEMBERS = 80


@cache
def _weighed(case: Case) -> dict[str, Deviation]:
    members = prior_members(count=_MEMBERS, case=case)
    plot = timeline(case, keep_h=[], longest_step_h=1.0)
    state = live(plot, case=case, members=members).now
    told = deviations(state, case=case, members=members, rng=np.random.default_rng(7))
    return {one.departure: one for one in told}


def _water(*, alkalinity_meq_l: float, day: float = 3.0, dosed: bool = True) -> Case:
    return seeded_case(
        day=day,
        events=doses(0.01) if dosed else (),
        readings=(reading(day=0, value=alkalinity_meq_l, of="alkalinity"),),
    )


def test_dosing_whatever_nitrite_reads_costs_days() -> None:
    told = _weighed(_water(alkalinity_meq_l=4.0))["ignore_nitrite"]

    assert told.delay_d > 0.0
    assert told.delay_span_d[0] <= told.delay_d <= told.delay_span_d[1]
    assert told.never_rise >= 0.0


def test_never_buffering_soft_water_costs_the_pass_itself() -> None:
    """0.143 meq/L a mg N, by charge balance: 0.6 meq/L is spent by 4.2 mg/L-N."""
    told = _weighed(_water(alkalinity_meq_l=0.6))["never_buffer"]

    assert told.never_span[0] > 0.2


def test_never_buffering_hard_water_costs_nothing() -> None:
    """Nobody buffers at a pH above the plan's 7.4, so both lives are the same life."""
    case = _water(alkalinity_meq_l=30.0)
    high = replace(case, plan=replace(case.plan, adds_alkalinity_when_ph_at_or_below=5.0))

    told = _weighed(high)["never_buffer"]

    assert told.delay_span_d == (0.0, 0.0)
    assert told.never_rise == 0.0


def test_skipping_the_first_dose_costs_about_its_day() -> None:
    """Without ammonia nothing grows: a day unfed at the start is lost, less what decays."""
    told = _weighed(_water(alkalinity_meq_l=4.0, day=0.0, dosed=False))["skip_dose"]

    assert told.delay_d == pytest.approx(1.0, abs=0.35)


def test_skipping_a_dose_that_is_not_due_costs_nothing() -> None:
    """On the first day 2 mg/L-N are still there."""
    told = _weighed(_water(alkalinity_meq_l=4.0, day=0.1))["skip_dose"]

    assert told.delay_d == pytest.approx(0.0, abs=0.05)


def test_doses_that_may_pass_the_cap_are_told_apart() -> None:
    """0.5 on the plan's limit and 4 mg/L-N by a dose off by 10 % of sd: a share above 5."""
    told = _weighed(_water(alkalinity_meq_l=4.0))

    assert 0.02 < told["double_doses"].over_cap < 0.4
    assert told["half_doses"].over_cap == 0.0


def test_past_the_horizon_the_delay_is_a_bound() -> None:
    case = _water(alkalinity_meq_l=4.0, day=1.0)
    soon = replace(case, ready=replace(case.ready, horizon_h=72.0))

    told = _weighed(soon)["double_doses"]

    assert told.is_bound
    assert told.delay_d == 0.0


def test_same_record_weighs_the_same_twice() -> None:
    _weighed.cache_clear()
    first = _weighed(promising_case())
    _weighed.cache_clear()

    assert _weighed(promising_case()) == first


def test_what_is_not_known_yet_weighs_nothing() -> None:
    case = promising_case()
    later = replace(case, readings=(*case.readings, reading(day=6, value=4.0, of="tan")))

    assert weigh_departures(later, members=40) == weigh_departures(case, members=40)
