"""Sign a certificate: two passes in a row, a second person, once.

2 mg/L-N in 400 L at 45 % protein is 19.3 g/day: 2 x 400 / (1000 x 0.45 x 0.092), after Timmons &
Ebeling 2013 (P_TAN = feed x protein x 0.092).
"""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.certificates import (
    AlreadyCertified,
    MeaningMissing,
    NotProven,
    ProofLapsed,
    SamePerson,
    sign_certificate,
)
from tanks.models import Certificate
from tests.cast import NOON, House
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.samples import kit


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


_SIGNED = NOON + 49 * HOUR


def test_two_passes_certify_the_feed_of_the_handbook(tank: Proving) -> None:
    certificate = tank.certified(at=NOON)

    certificate.refresh_from_db()
    assert certificate.feed_g_per_day == Decimal("19.30")
    assert certificate.load_mg_l_n == Decimal("2.000")
    assert certificate.water_litres == Decimal(400)
    line = Entry.objects.get(kind="tanks.sign-certificate")
    assert (line.about, line.by) == (f"tanks.cycle:{tank.cycle.pk}", tank.house.vera)


def test_signing_twice_signs_once(tank: Proving) -> None:
    passes = tank.two_passes()
    command = tank.signable(*passes)

    first = sign_certificate(command, by=tank.house.vera, at=_SIGNED)
    again = sign_certificate(command, by=tank.house.vera, at=_SIGNED)

    assert first == again
    assert Certificate.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.sign-certificate").count() == 1
    with pytest.raises(IdTaken):
        sign_certificate(replace(command, meaning="Other"), by=tank.house.vera, at=_SIGNED)


def test_whoever_read_a_pass_cannot_sign_for_it(tank: Proving) -> None:
    passes = tank.two_passes()

    with pytest.raises(SamePerson):
        tank.sign(*passes, at=_SIGNED, by=tank.house.ana)


def test_whoever_corrected_a_reading_of_a_pass_cannot_sign_for_it(tank: Proving) -> None:
    passes = tank.two_passes()
    tank.correct(passes[0].tan_id, "<0.05", by=tank.house.mo, at=_SIGNED)

    with pytest.raises(SamePerson):
        tank.sign(*passes, at=_SIGNED, by=tank.house.mo)


def test_auditor_may_not_sign_and_a_stranger_finds_nothing(tank: Proving) -> None:
    passes = tank.two_passes()

    with pytest.raises(NotAllowed):
        tank.sign(*passes, at=_SIGNED, by=tank.house.hale)
    with pytest.raises(NotFound):
        tank.sign(*passes, at=_SIGNED, by=tank.house.bo)


def test_a_signature_says_what_it_stands_for(tank: Proving) -> None:
    command = replace(tank.signable(*tank.two_passes()), meaning="  ")

    with pytest.raises(MeaningMissing):
        sign_certificate(command, by=tank.house.vera, at=_SIGNED)


def test_one_pass_is_not_enough(tank: Proving) -> None:
    single = tank.verdict(at=NOON)

    with pytest.raises(NotProven, match="2 passes in a row are needed, here are 1"):
        tank.sign(single, at=NOON + 25 * HOUR)


def test_a_failed_challenge_between_breaks_the_row(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    tank.verdict(at=NOON + DAY + HOUR, tan="1.0")
    third = tank.verdict(at=NOON + 2 * DAY + 2 * HOUR)

    with pytest.raises(NotProven, match="lies between"):
        tank.sign(first, third, at=NOON + 4 * DAY)


def test_a_challenge_nobody_judged_breaks_the_row(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    tank.judgeable(at=NOON + DAY + HOUR)
    third = tank.verdict(at=NOON + 2 * DAY + 2 * HOUR)

    with pytest.raises(NotProven, match="lies between"):
        tank.sign(first, third, at=NOON + 4 * DAY)


def test_passes_by_different_methods_do_not_add_up(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    del tank.methods["TAN"]
    tank.methods["TAN"] = kit(tank.house, "TAN", name="Another photometer", kind="PHOTOMETER")
    second = tank.verdict(at=NOON + DAY + HOUR)

    with pytest.raises(NotProven, match="different TAN methods"):
        tank.sign(first, second, at=NOON + 3 * DAY)


def test_a_verdict_of_no_challenge_here_is_no_pass(tank: Proving) -> None:
    passes = tank.two_passes()
    command = replace(tank.signable(*passes), pass_ids=(passes[0].pk, uuid4()))

    with pytest.raises(NotProven):
        sign_certificate(command, by=tank.house.vera, at=_SIGNED)


def test_the_same_passes_carry_one_certificate(tank: Proving) -> None:
    passes = tank.two_passes()
    tank.sign(*passes, at=_SIGNED)

    with pytest.raises(AlreadyCertified):
        tank.sign(*passes, at=_SIGNED)


def test_passes_voided_before_the_signature_cannot_be_signed(tank: Proving) -> None:
    passes = tank.two_passes()
    tank.befell("DISINFECTANT", at=NOON + 48.5 * HOUR)

    with pytest.raises(ProofLapsed, match="Disinfectant"):
        tank.sign(*passes, at=_SIGNED)


def test_a_later_challenge_left_over_voids(tank: Proving) -> None:
    passes = tank.two_passes()
    tank.verdict(at=_SIGNED, tan="0.9")

    with pytest.raises(ProofLapsed, match="not cleared in time"):
        tank.sign(*passes, at=_SIGNED + 25 * HOUR)
