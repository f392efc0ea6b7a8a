"""Stages told by readings: ammonia, then nitrite, then both clear (common practice, no source)."""

from datetime import datetime

from tanks.rules.certificates import InForce, Kind, Standing, Voided
from tanks.rules.measured import Measured
from tanks.rules.stages import Code, Stage, stage
from tests.cast import NOON
from tests.tanks.weighed import DAY, HOUR, below, read, terms_of


def staged(
    *readings: Measured,
    doses_at: tuple[datetime, ...] = (NOON,),
    changes_at: tuple[datetime, ...] = (),
    certificate: Standing | None = None,
) -> Stage:
    return stage(
        readings,
        doses_at=doses_at,
        changes_at=changes_at,
        certificate=certificate,
        terms=terms_of(),
    )


def test_without_a_dose_it_is_preparing() -> None:
    assert staged(read("TAN", 0.0), doses_at=()).code is Code.PREPARING


def test_flat_ammonia_without_nitrite_shows_no_oxidation() -> None:
    flat = [read("TAN", 2.0 - 0.1 * day, at=NOON + day * DAY + HOUR) for day in range(4)]

    found = staged(*flat, below("NITRITE", 0.1, at=NOON + 3 * DAY))

    assert found.code is Code.AMMONIA_UNSEEN
    assert "1.7" in found.sentence


def test_a_clear_fall_between_doses_is_oxidation() -> None:
    tans = [read("TAN", 2.0, at=NOON + HOUR), read("TAN", 1.2, at=NOON + DAY)]

    assert staged(*tans).code is Code.AMMONIA_FALLING


def test_a_fall_across_a_water_change_is_no_oxidation() -> None:
    tans = [read("TAN", 2.0, at=NOON + HOUR), read("TAN", 1.0, at=NOON + DAY)]

    assert staged(*tans, changes_at=(NOON + 2 * HOUR,)).code is Code.AMMONIA_UNSEEN


def test_ammonia_that_fell_and_then_stands_for_days_is_stalled() -> None:
    early = [read("TAN", 2.0, at=NOON + HOUR), read("TAN", 1.2, at=NOON + DAY)]
    standing = [read("TAN", 1.1, at=NOON + day * DAY) for day in (4, 5, 6)]

    found = staged(*early, *standing)

    assert found.code is Code.STALLED
    assert "2 days" in found.sentence
    assert staged(*early, read("TAN", 1.1, at=NOON + 2 * DAY)).code is Code.AMMONIA_FALLING


def test_a_dose_in_between_is_no_stall() -> None:
    early = [read("TAN", 2.0, at=NOON + HOUR), read("TAN", 1.2, at=NOON + DAY)]
    standing = [read("TAN", 1.1, at=NOON + day * DAY) for day in (4, 5, 6)]

    found = staged(*early, *standing, doses_at=(NOON, NOON + 5 * DAY + HOUR))

    assert found.code is Code.AMMONIA_FALLING


def test_nitrite_comes_from_ammonia_alone() -> None:
    readings = [read("TAN", 2.0, at=NOON + DAY), read("NITRITE", 0.5, at=NOON + DAY)]

    assert staged(*readings).code is Code.AMMONIA_FALLING


def test_nitrite_stands_while_ammonia_goes() -> None:
    readings = [
        read("TAN", 2.0, at=NOON + HOUR),
        read("TAN", 0.2, at=NOON + 5 * DAY),
        read("NITRITE", 4.0, at=NOON + 5 * DAY),
    ]

    found = staged(*readings)

    assert found.code is Code.NITRITE_STANDING
    assert "4" in found.sentence


def test_both_within_the_limit_clear() -> None:
    readings = [
        read("TAN", 2.0, at=NOON + HOUR),
        read("NITRITE", 1.0, at=NOON + DAY),
        below("TAN", 0.25, at=NOON + 2 * DAY),
        below("NITRITE", 0.25, at=NOON + 2 * DAY),
    ]

    assert staged(*readings).code is Code.CLEARING


def test_a_certificate_in_force_is_proven_and_a_void_one_lapsed() -> None:
    held = InForce(fed_at=NOON, lapses_at=NOON + 3 * DAY)
    void = Voided(by=Kind.MEDIA_DRIED, at=NOON, sentence="Filter media dried out.")

    assert staged(certificate=held).code is Code.PROVEN
    assert staged(certificate=void).code is Code.LAPSED
    assert "dried out" in staged(certificate=void).sentence
