"""Who stands behind a dose: the veterinarian's order, and a second person who worked it out too."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from facility.rules.wording import written
from quarantine.rules.guard_amounts import TOLERANCE, likely
from quarantine.rules.guard_facts import Asked, Ground, Regime, Second, Stopped

# A computation is about the water as it was then: common practice, no source.
HOLDS_FOR: Final = timedelta(hours=2)
_LITRES: Final = 0.01


def people_stops(
    asked: Asked, ground: Ground, regime: Regime, after: tuple[float, float]
) -> Iterator[Stopped]:
    yield from _order(asked, ground, regime, likely(after))
    if regime.takes_second:
        yield from _second(asked, ground)


def _order(asked: Asked, ground: Ground, regime: Regime, level: float) -> Iterator[Stopped]:
    order = ground.order
    if order is None:
        if regime.takes_order:
            sentence = f"{regime.name} is given only on a veterinarian's order: there is none."
            yield Stopped(code="order-missing", sentence=sentence)
        return
    if order.until < asked.at:
        yield Stopped(code="order-expired", sentence="The veterinarian's order has run out.")
    if level > order.high * (1 + TOLERANCE):
        yield Stopped(
            code="over-order",
            sentence=f"The order allows {written(order.high)} {regime.unit}; the level would come "
            f"to {written(level)} {regime.unit}.",
        )
    if order.minutes is not None and (asked.minutes or 0) > order.minutes:
        sentence = f"The order allows {order.minutes} min."
        yield Stopped(code="over-ordered-minutes", sentence=sentence)


def _second(asked: Asked, ground: Ground) -> Iterator[Stopped]:
    """Another person's own litres and amount for the same rise from the same container."""
    theirs = [one for one in ground.seconds if _is_about(one, asked)]
    if not theirs:
        yield Stopped(
            code="second-missing",
            sentence="A second person must work this dose out alone first, for this container "
            "and this rise, within the last two hours.",
        )
        return
    last = max(theirs, key=lambda one: one.at)
    if abs(last.amount - asked.amount) > 2 * TOLERANCE * asked.amount:
        yield Stopped(
            code="second-disagrees",
            sentence=f"{last.by_name} came to {written(last.amount)} {asked.drum.unit}, "
            f"you measured out {written(asked.amount)} {asked.drum.unit}.",
        )
    elif abs(last.litres - (ground.litres or 0.0)) > _LITRES * (ground.litres or 0.0):
        yield Stopped(
            code="second-disagrees",
            sentence=f"{last.by_name} computed with {written(last.litres)} L; this water holds "
            f"{written(ground.litres)} L.",
        )


def _is_about(one: Second, asked: Asked) -> bool:
    return (
        one.by != asked.by
        and one.drum == asked.drum.id
        and abs(one.rise - asked.rise) <= TOLERANCE * asked.rise
        and abs(asked.at - one.at) <= HOLDS_FOR
    )
