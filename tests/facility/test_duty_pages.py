"""Setting, seeing and ending duties, and answering a task, the way a person does."""

from datetime import time
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.models import Completion, Duty
from facility.rules.patterns import composed, told
from tests.cast import NOON, House
from tests.facility.working import answered, asked, set_for

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)


def filled(house: House, **said: Any) -> dict[str, Any]:
    return {
        "id": str(uuid4()),
        "kind": "SERVICE",
        "title": "Rinse the sponges",
        "about": f"facility.area:{house.area.pk}",
        "pattern": "WEEKLY",
        "days": ["TU", "FR"],
        "begins_on": "2026-03-31",
        "at": "14:30",
        "minutes": "25",
        "opens_before_minutes": "60",
        "late_after_minutes": "120",
    } | said


def sent(client: Client, house: House, **said: Any) -> Any:
    client.force_login(house.mo)
    return client.post(f"/sites/{house.site.pk}/duties/new/", filled(house, **said))


def test_plain_choices_write_the_rule(house: House, client: Client) -> None:
    answer = sent(client, house)

    duty = Duty.objects.get()
    assert answer.status_code == 303
    assert (duty.rule, duty.at.isoformat(), duty.area) == (
        "FREQ=WEEKLY;BYDAY=TU,FR",
        "14:30:00",
        house.area,
    )
    page = client.get("/duties/").content.decode()
    assert "weekly on Tue, Fri at 14:30" in page


def test_a_rule_of_ones_own_counts_where_it_is_chosen(house: House, client: Client) -> None:
    sent(client, house, pattern="OWN", rule="freq=monthly;byday=-1su")

    assert Duty.objects.get().rule == "FREQ=MONTHLY;BYDAY=-1SU"


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"pattern": "OWN", "rule": "FREQ=MINUTELY"}, "once an hour at most"),
        ({"days": []}, "Tick at least one day"),
        ({"pattern": "EVERY"}, "Write every how many days"),
        ({"title": ""}, "Fill this in"),
        ({"begins_on": "soon"}, "Enter a valid date"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_typed_is_lost(
    house: House, client: Client, said: dict[str, Any], sentence: str
) -> None:
    answer = sent(client, house, **said)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert 'value="14:30"' in page
    assert not Duty.objects.exists()


def test_a_duty_is_ended_on_its_own_page(house: House, client: Client) -> None:
    duty = set_for(house)
    client.force_login(house.mo)

    assert "It comes every day" in client.get(f"/duties/{duty.pk}/end/").content.decode()
    assert client.post(f"/duties/{duty.pk}/end/").status_code == 303
    assert not Duty.objects.in_force().exists()


def test_staff_see_what_recurs_and_set_nothing(house: House, client: Client) -> None:
    set_for(house)
    client.force_login(house.ana)

    assert "Opening walk" in client.get("/duties/").content.decode()
    assert client.get(f"/sites/{house.site.pk}/duties/new/").status_code == 403


def test_a_task_is_done_with_one_button(house: House, client: Client) -> None:
    task = asked(house)
    client.force_login(house.ana)

    answer = client.post(f"/tasks/{task.pk}/?next=/today/", {"id": str(uuid4()), "outcome": "DONE"})

    assert (answer.status_code, answer["Location"]) == (303, "/today/")
    assert Completion.objects.get().by == house.ana


def test_not_done_takes_a_tap_and_own_words(house: House, client: Client) -> None:
    task = asked(house)
    client.force_login(house.ana)
    address, told_ = f"/tasks/{task.pk}/", {"id": str(uuid4()), "outcome": "NOT_DONE"}

    without = client.post(address, told_)
    client.post(address, told_ | {"why": "No time", "words": "delivery came early"})

    assert without.status_code == 422
    assert "Tap a reason, or write your own." in without.content.decode()
    assert Completion.objects.get().why_not == "No time: delivery came early"


def test_a_reason_typed_is_not_lost_by_pressing_done(house: House, client: Client) -> None:
    task = asked(house)
    client.force_login(house.ana)

    answer = client.post(
        f"/tasks/{task.pk}/", {"id": str(uuid4()), "outcome": "DONE", "words": "no kit"}
    )

    assert answer.status_code == 422
    assert "Clear the reason, or press Not done." in answer.content.decode()
    assert 'value="no kit"' in answer.content.decode()


def test_order_is_told_on_the_page(house: House, client: Client) -> None:
    first = asked(house, title="Calibrate the pH probe")
    second = asked(house, title="Read pH", goes_after_id=first.pk)
    client.force_login(house.ana)

    answer = client.post(f"/tasks/{second.pk}/", {"id": str(uuid4()), "outcome": "DONE"})

    assert answer.status_code == 422
    assert "First comes: Calibrate the pH probe" in answer.content.decode()


def test_the_day_shows_answers_with_who_and_why(house: House, client: Client) -> None:
    answered(asked(house), by=house.ana, outcome="NOT_DONE", why_not="No time")
    client.force_login(house.hale)

    page = client.get("/tasks/?on=2026-03-29").content.decode()

    assert "Walk the front room" in page
    assert "No time" in page
    assert "Ana Quill" in page
    assert client.get("/tasks/?on=nonsense").status_code == 200


@pytest.mark.parametrize(
    ("pattern", "rule", "words"),
    [
        ("OWN", "FREQ=HOURLY", "FREQ=HOURLY"),
        ("DAILY", "FREQ=DAILY", "every day"),
        ("WEEKDAYS", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "Monday to Friday"),
        ("WEEKLY", "FREQ=WEEKLY;BYDAY=MO,TH", "weekly on Mon, Thu"),
        ("EVERY", "FREQ=DAILY;INTERVAL=3", "every 3 days"),
        ("MONTHLY", "FREQ=MONTHLY;BYMONTHDAY=28,29,30;BYSETPOS=-1", None),
    ],
)
def test_a_pattern_and_its_rule_say_the_same(pattern: str, rule: str, words: str | None) -> None:
    said = composed(pattern, days=["TH", "MO"], every=3, day_of_month=30, own="FREQ=HOURLY")

    assert said == rule
    assert told(rule, time(9)) == f"{words or rule} at 09:00"


def test_hours_weeks_and_days_of_a_month_are_said_in_words_too() -> None:
    assert told("FREQ=DAILY;BYHOUR=9,17", time(9, 30)) == "every day at 09:30 and 17:30"
    assert told("FREQ=WEEKLY;INTERVAL=10", time(9)) == "every 10 weeks at 09:00"
    assert told("FREQ=MONTHLY;BYDAY=-1FR", time(9)) == "monthly on the last Fri at 09:00"
    assert told("FREQ=YEARLY;BYMONTH=4", time(9)) == "FREQ=YEARLY;BYMONTH=4 at 09:00"
