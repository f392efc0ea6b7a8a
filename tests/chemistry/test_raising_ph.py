"""The order of acts: ammonia before pH, bicarbonate before carbonate, in steps."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonium import emerson_fraction
from chemistry.carbonate_constants import Water
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale
from chemistry.raising_acts import acts_for
from chemistry.raising_ph import Asked, Way, first_part_meq_l, plan_of

LIMIT = 0.0156  # 0.019 mg/L as NH3, CCME 2010


def _asked(**changes: float) -> Asked:
    given_ = {
        "tan": 1.5, "ph": 6.8, "salinity": 0.0, "alkalinity": 0.6, "rise": 0.5, "limit": LIMIT,
    } | changes  # fmt: skip
    return Asked(
        water=Water(temperature_c=25.0, salinity_g_kg=given_["salinity"], tan_mg_l_n=given_["tan"]),
        alkalinity_meq_l=given_["alkalinity"],
        ph=given_["ph"],
        ph_scale=PhScale.NBS,
        rise_meq_l=given_["rise"],
        limit_mg_l_n=given_["limit"],
    )


def test_free_ammonia_is_shown_before_and_after_every_way() -> None:
    plan = plan_of(_asked())

    assert set(plan.outcomes) == set(Way)
    for one in plan.outcomes.values():
        share = emerson_fraction(ph=one.ph, temperature_c=25.0)
        assert one.unionised_mg_l_n == pytest.approx(1.5 * share)


def test_ammonia_goes_first_where_ph_would_bring_it_over_the_limit() -> None:
    asked = _asked()
    plan = plan_of(asked)
    acts = acts_for(asked, plan)

    assert plan.outcomes[Way.NOTHING].unionised_mg_l_n < LIMIT
    assert plan.outcomes[Way.BICARBONATE_AIRED].unionised_mg_l_n > LIMIT
    assert acts[0].startswith("Lower total ammonia first")
    assert "would bring" in acts[0]
    assert "nitrification slows" in acts[1]
    assert acts[-1].startswith("Do not use carbonate now")


def test_after_that_dilution_every_advised_way_stays_under_the_limit() -> None:
    plan = plan_of(_asked())
    diluted = plan_of(_asked(tan=1.5 * (1 - plan.dilute_share)))

    advised = (Way.NOTHING, Way.AERATION, Way.BICARBONATE, Way.BICARBONATE_AIRED)
    highest = max(diluted.outcomes[way].unionised_mg_l_n for way in advised)
    assert highest == pytest.approx(LIMIT, rel=0.03)


def test_a_water_over_the_limit_as_it_is_is_told_so() -> None:
    asked = _asked(tan=3.0, ph=8.2, salinity=35.0, alkalinity=2.3)

    assert "over the limit as it is" in acts_for(asked, plan_of(asked))[0]


def test_little_ammonia_needs_no_dilution() -> None:
    asked = _asked(tan=0.05)
    plan = plan_of(asked)

    assert plan.dilute_share == 0
    assert acts_for(asked, plan)[0].startswith("Give the bicarbonate")


def test_without_ammonia_only_ph_is_watched() -> None:
    asked = _asked(tan=0.0)
    acts = acts_for(asked, plan_of(asked))

    assert "Measure pH before every part." in acts
    assert acts[-1].startswith("Use carbonate only if")


def test_a_long_climb_is_taken_in_days_of_three_tenths() -> None:
    plan = plan_of(_asked(tan=0.0))
    climb = plan.outcomes[Way.BICARBONATE_AIRED].ph - 6.8

    assert plan.steps * 0.3 >= climb > (plan.steps - 1) * 0.3


def test_the_first_part_ends_at_the_limit() -> None:
    asked = _asked(tan=3.0, ph=6.6, alkalinity=0.4, rise=1.0)
    first = first_part_meq_l(asked)
    at_once = plan_of(_asked(tan=3.0, ph=6.6, alkalinity=0.4, rise=first)).outcomes[Way.BICARBONATE]

    assert 0 < first < 1.0
    assert at_once.unionised_mg_l_n == pytest.approx(LIMIT, rel=1e-3)


@given(
    tan=st.floats(0, 8),
    ph=st.floats(6.2, 8.4),
    salinity=st.sampled_from([0.0, 8.0, 35.0]),
    alkalinity=st.floats(0.3, 4),
    rise=st.floats(0, 2),
)
def test_bicarbonate_never_makes_more_free_ammonia_at_once_than_carbonate(
    tan: float, ph: float, salinity: float, alkalinity: float, rise: float
) -> None:
    asked = _asked(tan=tan, ph=ph, salinity=salinity, alkalinity=alkalinity, rise=rise)
    try:
        plan = plan_of(asked)
    except OutOfRange:
        return

    bicarbonate, carbonate = plan.outcomes[Way.BICARBONATE], plan.outcomes[Way.CARBONATE]
    assert bicarbonate.ph <= carbonate.ph + 1e-9
    assert bicarbonate.unionised_mg_l_n <= carbonate.unionised_mg_l_n + 1e-12
    assert 0 <= plan.dilute_share <= 1
    assert acts_for(asked, plan)
