"""A trace on the page, in the shell and as JSON says the same."""

import json
from datetime import timedelta
from html import unescape
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from quarantine.models import Hold
from tests.cast import NOON, House
from tests.quarantine.equipment import lot_in, net, used
from tests.quarantine.test_hold_traced import DAY, an_outbreak
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON + 10 * DAY)


def page(client: Client, house: House, query: str) -> str:
    client.force_login(house.mo)
    answer = client.get(f"/trace/?{query}")
    assert answer.status_code == 200, answer.content
    return unescape(answer.content.decode())


@pytest.mark.usefixtures("later")
def test_the_page_draws_and_lists_what_was_reached(house: House, client: Client) -> None:
    a, _, _ = an_outbreak(house)

    told = page(client, house, f"about=tanks.vessel:{a.pk}")

    assert "Trace from tank A" in told
    assert "4 of L-0001 moved from A to B" in told
    assert told.count('class="chart trace ') == 2
    assert "Hold all of it" in told


@pytest.mark.usefixtures("later")
def test_a_kind_of_contact_can_be_left_out(house: House, client: Client) -> None:
    a, _, _ = an_outbreak(house)

    told = page(client, house, f"about=tanks.vessel:{a.pk}&without=animals")

    assert "Left out: animals." in told
    assert "4 of L-0001 moved from A to B" not in told


@pytest.mark.usefixtures("later")
def test_a_code_is_enough(house: House, client: Client) -> None:
    an_outbreak(house)

    assert "Trace from lot L-0001" in page(client, house, "what=l-0001&direction=forward")


@pytest.mark.usefixtures("later")
def test_an_unknown_code_is_named(house: House, client: Client) -> None:
    client.force_login(house.mo)

    answer = client.get("/trace/?what=Z-99")

    assert answer.status_code == 422
    assert "named Z-99" in answer.content.decode()


@pytest.mark.usefixtures("later")
def test_holding_all_comes_back_to_the_trace(house: House, client: Client) -> None:
    a, _, _ = an_outbreak(house)
    client.force_login(house.vera)
    answer = client.get(f"/trace/?about=tanks.vessel:{a.pk}")
    fields = answer.context["hold"].initial
    sent = {
        "id": "00000000-0000-4000-8000-000000000042",
        "why": "White spots in A",
        "about": fields["about"],
        "direction": fields["direction"],
        "since": f"{timezone.localtime(fields['since'], house.site.zone):%Y-%m-%dT%H:%M}",
    }

    done = client.post(f"/sites/{house.site.pk}/trace/hold/", sent)

    assert done.status_code == 303, done.content
    assert Hold.objects.filter(kind="TRACE").count() == 3
    again = unescape(client.get(done["Location"]).content.decode())
    assert "3 holds are placed." in again


@pytest.mark.usefixtures("later")
def test_without_a_reason_the_trace_stays_on_the_page(house: House, client: Client) -> None:
    a, _, _ = an_outbreak(house)
    client.force_login(house.vera)

    answer = client.post(
        f"/sites/{house.site.pk}/trace/hold/",
        {
            "id": "00000000-0000-4000-8000-000000000042",
            "about": f"tanks.vessel:{a.pk}",
            "direction": "forward",
            "since": "2026-03-29T12:00",
        },
    )

    assert answer.status_code == 422
    assert "4 of L-0001 moved from A to B" in unescape(answer.content.decode())


@pytest.mark.usefixtures("later")
def test_an_auditor_reads_a_trace_and_holds_nothing(house: House, client: Client) -> None:
    a, _, _ = an_outbreak(house)
    client.force_login(house.hale)

    told = client.get(f"/trace/?about=tanks.vessel:{a.pk}").content.decode()

    assert "Trace from tank A" in told
    assert "Hold all of it" not in told
    assert client.post(f"/sites/{house.site.pk}/trace/hold/", {}).status_code == 403


def asked(*words: str) -> str:
    out = StringIO()
    call_command("trace", *words, stdout=out)
    return out.getvalue()


def test_the_shell_says_the_same_in_json(house: House) -> None:
    an_outbreak(house)

    since, until = NOON.isoformat(), (NOON + 9 * DAY).isoformat()
    told = json.loads(
        asked("A", "--direction=forward", f"--since={since}", f"--until={until}", "--json")
    )

    assert [one["direction"] for one in told] == ["forward"]
    reached = {one["name"]: one for one in told[0]["reached"]}
    assert set(reached) == {"A", "B"}
    assert reached["B"]["way"][0]["evidence"] == "4 of L-0001 moved from A to B"
    assert reached["B"]["way"][0]["kind"] == "animals"
    assert [lot["code"] for lot in told[0]["lots"]] == ["L-0001"]


def test_the_shell_tells_people_in_lines(house: House) -> None:
    kit, tank = net(house), vessel_of(house)
    lot_in(house, tank)
    used(house, kit, tank, at=NOON + DAY)

    told = asked("N-03", f"--since={NOON.isoformat()}", f"--until={(NOON + 2 * DAY).isoformat()}")

    assert "Forward from N-03" in told
    assert "tank A-01: N-03 was used in A-01 (Ana Quill)" in told
    assert "Backward from N-03" in told


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("Z-99",), "named Z-99"),
        (("A", "--since=yesterday"), "--since: write a day"),
        (("A", f"--since={(NOON + timedelta(days=9000)):%Y-%m-%d}"), "before the end"),
    ],
)
def test_the_shell_names_what_to_mend(house: House, words: tuple[str, ...], sentence: str) -> None:
    an_outbreak(house)

    with pytest.raises(CommandError, match=sentence):
        asked(*words)
