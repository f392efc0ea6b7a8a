"""The page of a start-up, its plan and its chart, as different people see them."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from tanks.commands.readings import CorrectReading, correct_reading
from tanks.models import Cycle, Forecast
from tanks.queries.cycles import course, related
from tanks.queries.following import Followed, follow
from tests.cast import House
from tests.tanks.estate import device_on, vessel_of
from tests.tanks.foretold import forecast_of
from tests.tanks.proving import DAY, HOUR, Proving
from tests.tanks.startups import read_daily, signed_in, under_way

PAGES = ("cycle", "plan", "chart", "forecast", "begin-challenge", "sign-certificate", "end-cycle")


def page(client: Client, name: str, known: Proving) -> str:
    return client.get(reverse(f"tanks:{name}", args=[known.cycle.pk])).content.decode()


def now_of(known: Proving) -> Followed:
    cycle = related(Cycle.objects.filter(pk=known.cycle.pk)).get()
    return follow(course(cycle, at=timezone.now()))


@pytest.mark.parametrize("name", PAGES)
def test_a_stranger_finds_no_page_of_a_start_up(house: House, name: str) -> None:
    known = under_way(house)
    url = reverse(f"tanks:{name}", args=[known.cycle.pk])

    assert signed_in(house.bo).get(url).status_code == 404
    assert Client().get(url)["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("name", ["cycle", "plan", "chart", "forecast"])
def test_an_auditor_reads_every_page_and_finds_no_button(house: House, name: str) -> None:
    known = under_way(house)
    read_daily(known)

    answer = signed_in(house.hale).get(reverse(f"tanks:{name}", args=[known.cycle.pk]))

    assert answer.status_code in {200, 286}
    assert "Compute the forecast now" not in answer.content.decode()
    assert "Begin a challenge" not in answer.content.decode()


@pytest.mark.parametrize(
    "name", ["keep-forecast", "begin-challenge", "sign-certificate", "end-cycle"]
)
def test_an_auditor_may_send_nothing(house: House, name: str) -> None:
    known = under_way(house)
    url = reverse(f"tanks:{name}", args=[known.cycle.pk])

    assert signed_in(house.hale).post(url, {}).status_code == 403


def test_the_page_says_how_far_it_is_and_why(house: House) -> None:
    known = under_way(house, days=5)
    read_daily(known)

    shown = page(signed_in(house.ana), "cycle", known)

    assert '<dd class="number">5</dd>' in shown
    assert "Nitrite standing" in shown
    assert "TAN is being oxidised, nitrite still reads &gt;1.5 mg/L as N." in shown


def test_the_forecast_is_told_as_a_window_of_two_plans(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    forecast_of(known)

    shown = page(signed_in(house.ana), "cycle", known)

    assert "A first pass is as likely as not within eight days." in shown
    assert "past day 75<" in shown
    assert "<strong>80 %</strong> likely" in shown
    assert "A forecast advises and certifies nothing." in shown
    assert "from readings up to" in shown
    assert "?purpose=ALKALINITY&amp;target=1.5" in shown


def test_a_forecast_of_the_present_facts_is_not_asked_for_again(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    forecast_of(known)

    assert now_of(known).is_current
    assert "every 3s" not in page(signed_in(house.ana), "cycle", known)


def test_an_older_forecast_is_marked_and_the_newer_one_asked_for(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    forecast_of(known)
    known.read("TAN", "0.3", at=timezone.now() - HOUR)

    shown = page(signed_in(house.ana), "cycle", known)

    assert "This forecast is older than the latest entries." in shown
    assert "every 3s" in shown


def test_an_older_forecast_never_asks_for_a_dose_that_was_given_since(house: House) -> None:
    known = under_way(house)
    began = known.cycle.started_at
    known.read("TAN", "<0.1", at=timezone.now() - 3 * HOUR)
    known.read("NITRITE", "<0.1", at=timezone.now() - 3 * HOUR)
    known.read("ALKALINITY", "3", at=began + HOUR)
    forecast_of(known)
    before = now_of(known).advice
    known.dose(at=timezone.now(), purpose="AMMONIA")

    after = now_of(known).advice

    assert before is not None
    assert after is not None
    assert before.title == "Raise alkalinity"
    assert after.title == "Read again"
    assert after.why.startswith("No dose now.")


def test_before_any_forecast_the_plain_rule_advises(house: House) -> None:
    known = under_way(house)
    known.read("TAN", "<0.1", at=timezone.now() - HOUR)
    known.read("NITRITE", "<0.1", at=timezone.now() - HOUR)

    advice = now_of(known).advice

    assert advice is not None
    assert (advice.title, advice.amount) == ("Dose ammonia", "2 mg/L-N")
    assert advice.act.url.endswith("?purpose=AMMONIA&target=2")


def test_a_start_up_without_dose_or_reading_leads_to_its_plan(house: House) -> None:
    known = under_way(house)

    advice = now_of(known).advice

    assert advice is not None
    assert advice.title == "Prepare, seed and give the first ammonia dose"
    assert advice.act.url == reverse("tanks:plan", args=[known.cycle.pk])


def test_whoever_waits_is_answered_when_there_is_something_new(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    url = reverse("tanks:forecast", args=[known.cycle.pk])
    until = int(timezone.now().timestamp()) + 60
    client = signed_in(house.ana)

    waiting = client.get(f"{url}?shown=&until={until}")
    forecast_of(known)
    answered = client.get(f"{url}?shown=&until={until}")

    assert (waiting.status_code, waiting.content) == (204, b"")
    assert answered.status_code == 200
    assert "A first pass is as likely as not" in answered.content.decode()


@pytest.mark.parametrize("until", ["1", "", "soon", "-5"])
def test_after_a_minute_nobody_need_ask_again(house: House, until: str) -> None:
    """286 is what makes htmx stop asking."""
    known = under_way(house)
    read_daily(known)
    url = reverse("tanks:forecast", args=[known.cycle.pk])

    answer = signed_in(house.ana).get(f"{url}?shown=&until={until}")

    assert answer.status_code == 286
    assert "every 3s" not in answer.content.decode()


def test_a_correction_stays_legible_with_its_reason(house: House) -> None:
    known = under_way(house)
    first = known.read("TAN", "1.4", at=timezone.now() - DAY)
    correct_reading(
        CorrectReading(
            id=uuid4(),
            reading_id=first.pk,
            text="0.9",
            unit=first.unit,
            basis=first.basis,
            method_id=first.method_id,
            reason="Held against the wrong card",
        ),
        by=house.mo,
        at=timezone.now(),
    )

    shown = page(signed_in(house.hale), "cycle", known)

    assert "<del>1.4 mg/L as N</del>" in shown
    assert "Held against the wrong card" in shown


def test_a_certified_filter_is_to_be_kept_fed(house: House) -> None:
    known = under_way(house, days=6)
    known.certified(at=timezone.now() - 50 * HOUR)

    found = now_of(known)

    assert found.advice is not None
    assert found.advice.title == "Keep the filter fed"
    assert "19.3" in page(signed_in(house.ana), "cycle", known)


def test_the_plan_names_what_to_do_for_what_is_not_met(house: House) -> None:
    known = under_way(house)
    uv = device_on(house, known.vessel, at=known.cycle.started_at)

    shown = page(signed_in(house.ana), "plan", known)

    assert reverse("tanks:switch-device", args=[uv.pk]) in shown
    assert "g of AMMONIUM_CHLORIDE SOLID in 400 L make 2.00 mg/L-N." in shown
    assert "0.143 meq/L" in shown
    assert "no animals in this water" in shown


def test_nothing_read_leaves_nothing_to_forecast_from(house: House) -> None:
    known = under_way(house)
    client = signed_in(house.ana)

    answer = client.post(reverse("tanks:keep-forecast", args=[known.cycle.pk]), follow=True)

    assert "Nothing has been read since the start: log readings first." in answer.content.decode()
    assert not Forecast.objects.exists()


def test_a_forecast_is_computed_at_once_and_kept_once(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    client = signed_in(house.ana)
    url = reverse("tanks:keep-forecast", args=[known.cycle.pk])

    assert client.post(url).status_code == 303
    kept = Forecast.objects.get()
    assert kept.as_planned["sureness"]
    assert now_of(known).is_current
    assert now_of(known).as_planned is not None


def test_a_start_up_is_ended_from_its_page(house: House) -> None:
    known = under_way(house)
    sent = {"outcome": "GIVEN_UP", "happened_at": _local(timezone.now() - timedelta(minutes=5))}

    answer = signed_in(house.mo).post(reverse("tanks:end-cycle", args=[known.cycle.pk]), sent)

    assert answer.status_code == 303
    assert "ended" in page(signed_in(house.hale), "cycle", known)


def test_a_start_up_in_another_house_is_not_found(house: House) -> None:
    known = under_way(house)
    other = vessel_of(house, code="Z-1")

    url = reverse("tanks:judge-challenge", args=[known.cycle.pk, other.pk])

    assert signed_in(house.ana).get(url).status_code == 404


def _local(at: datetime) -> str:
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")
