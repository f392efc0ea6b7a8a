"""The pages of alerts: what a person sees, accepts, clears and plans."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.commands.alerts import raise_alert
from facility.models import Alert, Maintenance, Shift
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, cleared, raised, told_of


@pytest.fixture
def client(client: Client, house: House) -> Client:
    client.force_login(house.ana)
    return client


def _page(client: Client, way: str, *args: Any) -> str:
    return client.get(reverse(f"facility:{way}", args=args)).content.decode()


def test_an_empty_list_says_so(client: Client) -> None:
    assert "Nothing calls anybody now." in _page(client, "alerts")


def test_what_stands_is_listed_with_its_sign_and_who_is_called(
    client: Client, house: House
) -> None:
    raised(house)

    page = _page(client, "alerts")

    assert "TAN 0.5 mg/L as N is above 0.25 mg/L as N." in page
    assert "Mo Tarrant is called" in page
    assert "act today" in page


def test_one_alert_is_accepted_by_its_advice(client: Client, house: House) -> None:
    alert = raised(house)
    page = _page(client, "alert", alert.pk)
    assert "Feed less and test again today." in page

    answer = client.post(
        reverse("facility:accept-alert", args=[alert.pk]),
        {"will": "Feed less and test again today.", "act": ""},
    )

    assert answer.status_code == 303
    alert.refresh_from_db()
    assert (alert.accepted_by, alert.act) == (house.ana, "Feed less and test again today.")


def test_something_else_must_be_written(client: Client, house: House) -> None:
    alert = raised(house)

    answer = client.post(
        reverse("facility:accept-alert", args=[alert.pk]), {"will": "OTHER", "act": ""}
    )

    assert answer.status_code == 422
    assert "Write what you do" in answer.content.decode()


def test_it_is_cleared_on_its_sheet_with_cause_and_act(client: Client, house: House) -> None:
    alert = raised(house)
    way = reverse("facility:clear-alert", args=[alert.pk])

    refused = client.post(way, {"cause": "FEEDING", "action_needed": "yes", "act": ""})
    done = client.post(way, {"cause": "FEEDING", "action_needed": "yes", "act": "Fed half"})

    assert refused.status_code == 422
    assert "Say what was done about it." in refused.content.decode()
    assert done.status_code == 303
    alert.refresh_from_db()
    assert (alert.cause, alert.act) == ("FEEDING", "Fed half")


def test_without_a_cause_nothing_typed_is_lost(client: Client, house: House) -> None:
    alert = raised(house)

    answer = client.post(
        reverse("facility:clear-alert", args=[alert.pk]),
        {"action_needed": "no", "cause_note": "Kit out of date"},
    )

    assert answer.status_code == 422
    assert "Choose one." in answer.content.decode()
    assert "Kit out of date" in answer.content.decode()


def test_signs_that_passed_are_told_apart(client: Client, house: House) -> None:
    alert = raised(house)
    raise_alert(told_of(house), by=None, at=NOON + timedelta(hours=1))

    page = _page(client, "alert", alert.pk)

    assert "Nothing is seen any more. The alert stands until its cause is told." in page
    assert "Has passed (1)" in page


def test_an_auditor_reads_and_finds_no_sheet(client: Client, house: House) -> None:
    alert = raised(house)
    client.force_login(house.hale)

    page = _page(client, "alert", alert.pk)

    assert "TAN 0.5" in page
    assert "<form class" not in page


def test_planned_work_is_set_and_set_anew(client: Client, house: House) -> None:
    way = reverse("facility:set-maintenance", args=[house.site.pk])
    now = timezone.now()
    sheet = client.get(way).context["form"]

    def sent(hours: int, id_: Any) -> int:
        told = {
            "id": id_,
            "about": f"facility.area:{house.area.pk}",
            "why": "Large water change",
            "begins_at": timezone.localtime(now, house.site.zone).strftime("%Y-%m-%dT%H:%M"),
            "ends_at": timezone.localtime(now + timedelta(hours=hours), house.site.zone).strftime(
                "%Y-%m-%dT%H:%M"
            ),
        }
        return client.post(way, told).status_code

    assert sent(3, sheet["id"].initial) == 303
    again = client.get(way).context["form"]["id"].initial
    assert sent(1, again) == 303
    assert sent(40, client.get(way).context["form"]["id"].initial) == 422

    [row] = Maintenance.objects.current()
    assert row.corrects is not None
    assert "Large water change, planned work until" in _page(client, "alerts")


def test_the_week_counts_calls_shifts_and_rules_that_call_for_nothing(
    client: Client, house: House
) -> None:
    now = timezone.now()
    Shift.objects.create(
        site=house.site,
        person=house.mo,
        period=(now - timedelta(days=1), now - timedelta(hours=16)),
    )
    for number in range(6):
        alert = raised(house, a_sign(evidence=(f"tanks.reading:{number}",)), at=now)
        cleared(house, alert, at=now, action_needed=number > 3, act="Fed half")

    page = " ".join(_page(client, "alerts-week").split())

    assert "called too often" in page
    assert "4 of 6" in page
    assert "set its figures anew" in page
    assert Alert.objects.count() == 6
