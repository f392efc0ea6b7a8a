"""The steps of a reset have one order: clean, then disinfect, rinse, read, dry."""

from datetime import datetime, timedelta

from quarantine.rules.resets import GIVEN_UP, ORDER, is_contact_short, is_too_early, standing
from tests.cast import NOON

HOUR = timedelta(hours=1)


def test_each_step_leads_to_the_next_and_the_last_to_none() -> None:
    steps: dict[str, datetime] = {}
    for number, step in enumerate(ORDER):
        now = standing(NOON, steps, contact_minutes=60)
        assert now.next_step == step
        steps[step] = NOON + number * HOUR

    now = standing(NOON, steps, contact_minutes=60)
    assert (now.state, now.next_step, now.is_running) == ("READY", None, False)


def test_given_up_it_ends_wherever_it_is() -> None:
    now = standing(NOON, {"CLEANED": NOON, GIVEN_UP: NOON + HOUR}, contact_minutes=60)

    assert (now.state, now.next_step) == (GIVEN_UP, None)


def test_the_disinfectant_stands_for_its_minutes() -> None:
    now = standing(NOON, {"CLEANED": NOON, "IN_CONTACT": NOON}, contact_minutes=60)

    assert now.contact_ends_at == NOON + HOUR
    assert is_contact_short(now, "RINSED", NOON + timedelta(minutes=59))
    assert not is_contact_short(now, "RINSED", NOON + HOUR)


def test_no_step_lies_before_the_one_it_follows() -> None:
    now = standing(NOON, {"CLEANED": NOON + HOUR}, contact_minutes=60)

    assert is_too_early(now, "IN_CONTACT", NOON)
    assert not is_too_early(now, "IN_CONTACT", NOON + HOUR)
