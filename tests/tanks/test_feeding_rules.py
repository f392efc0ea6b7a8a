"""When the filter gets its next meal.

2 mg/L-N when TAN <= 0.5 and nitrite-N <= 2, never over the cap of 5 and never without
alkalinity (common practice, no source).
"""

import pytest

from tanks.rules.feeding import load_to_prove_mg_l_n, most_feed_g_per_day, redose
from tanks.rules.measured import Measured
from tests.cast import NOON
from tests.tanks.weighed import DAY, HOUR, below, read, terms_of

DOSED = NOON - DAY


def advised(*readings: Measured, **terms: float) -> str:
    return redose(readings, terms=terms_of(**terms), doses_at=[DOSED], at=NOON + HOUR).state


def test_low_ammonia_and_nitrite_ask_for_the_next_dose() -> None:
    advice = redose(
        [read("TAN", 0.5), read("NITRITE", 2.0), read("ALKALINITY", 2.0)],
        terms=terms_of(),
        doses_at=[DOSED],
        at=NOON + HOUR,
    )

    assert (advice.state, advice.amount_mg_l_n) == ("met", 2.0)


@pytest.mark.parametrize(("tan", "nitrite"), [(0.6, 0.0), (0.0, 2.1), (3.0, 0.0), (0.0, 20.0)])
def test_too_much_of_either_waits(tan: float, nitrite: float) -> None:
    assert advised(read("TAN", tan), read("NITRITE", nitrite)) == "not-met"


def test_doubt_is_no_dose() -> None:
    assert advised(read("TAN", 0.2)) == "unknown"
    assert advised(read("TAN", 0.25, 1.0), read("NITRITE", 0.1)) == "unknown"
    assert advised(read("TAN", 0.1, at=DOSED - HOUR), read("NITRITE", 0.1)) == "unknown"
    assert advised(read("TAN", 0.1, at=NOON - 25 * HOUR), read("NITRITE", 0.1)) == "unknown"


def test_the_cap_vetoes() -> None:
    readings = (read("TAN", 0.5), read("NITRITE", 0.1))

    assert advised(*readings, dose_mg_l_n=4.5) == "met"
    assert advised(*readings, dose_mg_l_n=4.6) == "not-met"


def test_too_little_alkalinity_vetoes() -> None:
    """2 mg/L-N use up 0.286 meq/L: 2 eq per mol N, by charge balance."""
    low, enough = read("ALKALINITY", 0.78), read("ALKALINITY", 0.79)
    clear = (below("TAN", 0.1), below("NITRITE", 0.1))

    assert advised(*clear, low) == "not-met"
    assert advised(*clear, enough) == "met"


def test_the_declared_feed_is_the_load_to_prove_and_the_policy_the_least() -> None:
    """19.3 g of 45 % feed in 400 L are 2 mg/L-N a day: Timmons & Ebeling 2013."""
    big, small = (
        load_to_prove_mg_l_n(
            terms=terms_of(), feed_g_per_day=feed, protein_share=0.45, volume_l=400
        )
        for feed in (38.6, 5.0)
    )

    assert big == pytest.approx(4.0, rel=0.002)
    assert small == 2.0


def test_the_cap_bounds_the_feed_that_can_be_proven() -> None:
    most = most_feed_g_per_day(terms=terms_of(), protein_share=0.45, volume_l=400)

    assert most == pytest.approx(5 * 400 / (1000 * 0.45 * 0.092))
