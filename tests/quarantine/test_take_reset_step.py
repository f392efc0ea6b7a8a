"""Each step of a reset in its order and its time, proven where it can be."""

import pytest

from quarantine.commands.resets import (
    ChlorineLeft,
    ContactTooShort,
    OutOfOrder,
    ReasonMissing,
    StepTooEarly,
    take_reset_step,
)
from quarantine.queries.resets import contacts, past_resets_at, resets_at
from tests.cast import NOON, House
from tests.quarantine.equipment import (
    HOUR,
    MINUTE,
    begun,
    chlorine_read,
    rinsed,
    step_of,
    stepped,
)
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db


def test_from_dirty_to_ready(house: House) -> None:
    tank = vessel_of(house)
    reset = begun(house, tank)
    rinsed(house, reset)
    reading = chlorine_read(house, tank, "<0.01", at=NOON + 90 * MINUTE)
    stepped(house, reset, "CHLORINE_ZERO", at=NOON + 95 * MINUTE, reading_id=reading.pk)
    stepped(house, reset, "DRIED", at=NOON + 24 * HOUR)

    stepped(house, reset, "READY", at=NOON + 25 * HOUR)

    assert resets_at(house.site) == []
    assert past_resets_at(house.site)[0].standing.state == "READY"


def test_no_step_is_left_out(house: House) -> None:
    reset = begun(house, vessel_of(house))

    with pytest.raises(OutOfOrder, match="The next step is: cleaned"):
        stepped(house, reset, "IN_CONTACT", at=NOON + HOUR)


def test_no_step_is_taken_twice(house: House) -> None:
    reset = begun(house, vessel_of(house))
    command = step_of(reset, "CLEANED", at=NOON + HOUR)
    first = take_reset_step(command, by=house.ana, at=NOON + HOUR)

    assert take_reset_step(command, by=house.ana, at=NOON + 2 * HOUR) == first
    with pytest.raises(OutOfOrder):
        stepped(house, reset, "CLEANED", at=NOON + 2 * HOUR)


def test_the_disinfectant_is_not_rinsed_off_before_its_time(house: House) -> None:
    reset = begun(house, vessel_of(house))
    stepped(house, reset, "CLEANED", at=NOON + MINUTE)
    stepped(house, reset, "IN_CONTACT", at=NOON + 2 * MINUTE)

    with pytest.raises(ContactTooShort, match="must stand until"):
        stepped(house, reset, "RINSED", at=NOON + 61 * MINUTE)

    stepped(house, reset, "RINSED", at=NOON + 62 * MINUTE)


def test_while_it_stands_it_is_a_loose_end_with_an_owner(house: House) -> None:
    reset = begun(house, vessel_of(house))
    stepped(house, reset, "CLEANED", at=NOON + MINUTE)
    stepped(house, reset, "IN_CONTACT", at=NOON + 2 * MINUTE)

    (early,) = contacts(house.site.pk, NOON + 30 * MINUTE)
    (late,) = contacts(house.site.pk, NOON + 62 * MINUTE)

    assert (early.kind, early.owner_id) == ("Disinfectant in contact", house.ana.pk)
    assert early.due_back_at == NOON + 62 * MINUTE
    assert (early.is_overdue, late.is_overdue) == (False, True)
    stepped(house, reset, "RINSED", at=NOON + 63 * MINUTE)
    assert list(contacts(house.site.pk, NOON + 64 * MINUTE)) == []


@pytest.mark.parametrize("text", ["0.3", "<0.1"], ids=["there is some", "too coarse to tell"])
def test_only_a_reading_without_chlorine_proves_it_gone(house: House, text: str) -> None:
    tank = vessel_of(house)
    reset = begun(house, tank)
    rinsed(house, reset)
    reading = chlorine_read(house, tank, text, at=NOON + 90 * MINUTE)

    with pytest.raises(ChlorineLeft, match=r"at or below 0\.013"):
        stepped(house, reset, "CHLORINE_ZERO", at=NOON + 95 * MINUTE, reading_id=reading.pk)


def test_a_reading_before_the_rinse_or_of_another_tank_proves_nothing(house: House) -> None:
    tank, other = vessel_of(house), vessel_of(house, code="A-02")
    reset = begun(house, tank)
    early = chlorine_read(house, tank, "<0.01", at=NOON + 10 * MINUTE)
    rinsed(house, reset)
    strange = chlorine_read(house, other, "<0.01", at=NOON + 90 * MINUTE)

    for reading_id in (early.pk, strange.pk, None):
        with pytest.raises(ChlorineLeft, match="Log a reading"):
            stepped(house, reset, "CHLORINE_ZERO", at=NOON + 2 * HOUR, reading_id=reading_id)


def test_a_step_lies_after_the_one_before(house: House) -> None:
    reset = begun(house, vessel_of(house))
    stepped(house, reset, "CLEANED", at=NOON + HOUR)

    with pytest.raises(StepTooEarly):
        stepped(house, reset, "IN_CONTACT", at=NOON + 30 * MINUTE)


def test_given_up_it_says_why_and_ends(house: House) -> None:
    tank = vessel_of(house)
    reset = begun(house, tank)

    with pytest.raises(ReasonMissing):
        stepped(house, reset, "GIVEN_UP", at=NOON + HOUR)
    stepped(house, reset, "GIVEN_UP", at=NOON + HOUR, note="The glass is cracked")

    assert resets_at(house.site) == []
    with pytest.raises(OutOfOrder, match="has ended"):
        stepped(house, reset, "CLEANED", at=NOON + 2 * HOUR)
    begun(house, tank, at=NOON + 3 * HOUR)
