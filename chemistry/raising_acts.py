"""The order of acts for raising pH in a water that holds ammonia, in plain sentences."""

from chemistry.raising_ph import (
    NITRIFIERS_NEED_MEQ_L,
    Asked,
    Plan,
    Way,
    first_part_meq_l,
)


def acts_for(asked: Asked, plan: Plan) -> tuple[str, ...]:
    """Return what to do, first things first."""
    sentences = (
        _ammonia_first(asked, plan),
        _stalled_filter(asked, plan),
        _in_parts(plan.steps),
        _aeration(plan),
        _measuring(asked),
        _carbonate_last(asked, plan),
    )
    return tuple(sentence for sentence in sentences if sentence)


def _ammonia_first(asked: Asked, plan: Plan) -> str:
    if not plan.dilute_share:
        return ""
    why = (
        "un-ionised ammonia is over the limit as it is"
        if _is_over_now(asked, plan)
        else "raising pH would bring un-ionised ammonia over the limit"
    )
    return (
        f"Lower total ammonia first, to {plan.tan_at_most_mg_l_n:.2g} mg/L as N or less, because "
        f"{why}: change {plan.dilute_share:.0%} of the water in several parts, for water without "
        "ammonia and of the same temperature and pH, or wait for the filter to clear it."
    )


def _stalled_filter(asked: Asked, plan: Plan) -> str:
    """Return the way out where the filter cannot clear ammonia for want of alkalinity."""
    is_starved = asked.alkalinity_meq_l < NITRIFIERS_NEED_MEQ_L
    if not (plan.dilute_share and is_starved) or _is_over_now(asked, plan):
        return ""
    return (
        f"Below {NITRIFIERS_NEED_MEQ_L:g} meq/L of alkalinity nitrification slows; a first part "
        f"of bicarbonate of at most {first_part_meq_l(asked):.2g} meq/L, without added aeration, "
        "stays under the limit at once."
    )


def _in_parts(steps: int) -> str:
    parts = f"in {steps} equal parts, one a day" if steps > 1 else "in one part"
    return f"Give the bicarbonate {parts}, dissolved first and poured where the water moves."


def _aeration(plan: Plan) -> str:
    at_once, then = plan.outcomes[Way.BICARBONATE], plan.outcomes[Way.BICARBONATE_AIRED]
    return (
        f"Aerate after each part: pH then goes from {at_once.ph:.2f} towards {then.ph:.2f} as it "
        "comes into balance with the air."
    )


def _measuring(asked: Asked) -> str:
    if not asked.water.tan_mg_l_n:
        return "Measure pH before every part."
    return (
        "Measure pH and total ammonia before every part; stop when un-ionised ammonia nears the "
        "limit."
    )


def _carbonate_last(asked: Asked, plan: Plan) -> str:
    carbonate = plan.outcomes[Way.CARBONATE]
    if carbonate.unionised_mg_l_n > asked.limit_mg_l_n:
        return (
            f"Do not use carbonate now: at once it makes pH {carbonate.ph:.2f} and "
            f"{carbonate.unionised_mg_l_n:.2g} mg/L as N of un-ionised ammonia, over the limit."
        )
    return (
        "Use carbonate only if bicarbonate and aeration did not reach the pH: at once it makes "
        f"pH {carbonate.ph:.2f}."
    )


def _is_over_now(asked: Asked, plan: Plan) -> bool:
    return plan.outcomes[Way.NOTHING].unionised_mg_l_n > asked.limit_mg_l_n
