"""What recurs: how it is said, and what is refused."""

from datetime import timedelta
from typing import Any

import pytest

from facility.commands import duties, terms
from facility.commands.duties import EndDuty, end_duty, set_duty
from facility.models import Duty, Entry
from facility.queries.proof import first_breach
from facility.refusals import Refusal
from tests.cast import NOON, House
from tests.facility.working import duty_of, set_for

pytestmark = pytest.mark.django_db


def test_a_duty_is_kept_in_one_form_with_area_and_rank_of_its_subject(house: House) -> None:
    duty = set_for(house, rule="rrule: freq=weekly;byday=mo,th", title=" Opening walk ")

    assert (duty.rule, duty.title) == ("FREQ=WEEKLY;BYDAY=MO,TH", "Opening walk")
    assert (duty.area, duty.hygiene_rank, duty.set_at) == (house.area, 1, NOON)
    assert first_breach(house.site) is None


def test_it_is_ended_once(house: House) -> None:
    duty = set_for(house)
    command = EndDuty(duty_id=duty.pk)

    first = end_duty(command, by=house.mo, at=NOON)
    again = end_duty(command, by=house.mo, at=NOON + timedelta(hours=1))

    assert first.ended_at == again.ended_at == NOON
    assert Entry.objects.filter(kind="facility.end-duty").count() == 1
    assert not Duty.objects.in_force().exists()


@pytest.mark.parametrize(
    ("said", "refusal", "sentence"),
    [
        ({"rule": "FREQ=MINUTELY"}, duties.UnreadableRule, "once an hour at most"),
        ({"rule": "weekly"}, duties.UnreadableRule, "NAME=VALUE"),
        ({"opens_before_minutes": -1}, duties.WindowOffScale, "from 0 to 44640"),
        ({"late_after_minutes": 44641}, duties.WindowOffScale, "31 days"),
        ({"title": ""}, terms.TitleMissing, "what is to be done"),
        ({"about": "tanks.vessel:none"}, terms.UnknownSubject, "Choose a tank"),
        ({"asks": {"anything": []}}, terms.AsksUnreadable, "lists of texts"),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_what_is_wrong_with_it_is_named(
    house: House, said: dict[str, Any], refusal: type[Refusal], sentence: str
) -> None:
    with pytest.raises(refusal, match=sentence):
        set_duty(duty_of(house, **said), by=house.mo, at=NOON)

    assert not Duty.objects.exists()


def test_a_side_of_the_window_names_its_field(house: House) -> None:
    with pytest.raises(duties.WindowOffScale) as refused:
        set_for(house, late_after_minutes=-5)

    assert refused.value.field == "late_after_minutes"


def test_only_a_duty_in_force_goes_before(house: House) -> None:
    first = set_for(house)
    end_duty(EndDuty(duty_id=first.pk), by=house.mo, at=NOON)

    with pytest.raises(duties.UnknownPredecessor, match="still in force"):
        set_for(house, goes_after_id=first.pk)
