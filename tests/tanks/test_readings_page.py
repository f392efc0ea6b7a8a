"""The sheet of readings as it is filled in, and the page of the tank that answers."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.models import Person
from facility.sockets.work import Due, TaskSource, task_sources
from tanks.commands.readings import correct_reading
from tanks.models import Method, Reading, Vessel
from tests.cast import House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged, nitrite_kit
from tests.tanks.test_correct_reading import correction


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def sheet(**typed: Any) -> dict[str, Any]:
    local = timezone.now().astimezone(timezone.get_fixed_timezone(0))
    return {"id": str(uuid4()), "happened_at": local.strftime("%Y-%m-%dT%H:%M")} | typed


def send(house: House, vessel: Vessel, typed: dict[str, Any]) -> HttpResponse:
    url = reverse("tanks:log-readings", args=[vessel.pk])
    return signed_in(house.ana).post(url, typed)  # type: ignore[return-value]  # the client's own class of it


def page(house: House, vessel: Vessel) -> str:
    return signed_in(house.ana).get(reverse("tanks:tank", args=[vessel.pk])).content.decode()


def test_three_readings_at_once_lead_to_what_they_mean(house: House) -> None:
    vessel = vessel_of(house)
    tan, ph, temperature = (kit(house, name) for name in ("TAN", "PH", "TEMPERATURE"))
    typed = sheet(**{"tan-text": "1", "ph-text": "8,2", "temperature-text": "25"})

    answer = send(house, vessel, typed)

    assert (answer.status_code, answer["Location"]) == (303, f"/tanks/{vessel.pk}/")
    assert {row.method for row in Reading.objects.all()} == {tan, ph, temperature}
    shown = page(house, vessel)
    # 1 mg/L x 0.0825, Emerson et al. 1975 at 25 °C and pH 8.2; 21 % from pH and kit read so.
    assert "Un-ionised ammonia is about 0.082 mg/L as N" in shown
    assert "Emerson et al. 1975" in shown
    assert "0.02 mg/L as NH₃ (0.016 as N)" in shown
    assert "limit not verified" in shown


def test_a_step_of_the_kit_is_an_entry(house: House) -> None:
    vessel = vessel_of(house)
    nitrite_kit(house)

    for step in ("<0.25", "0.5-1"):
        assert send(house, vessel, sheet(**{"nitrite-step": step})).status_code == 303

    assert {row.as_entered for row in Reading.objects.all()} == {"<0.25", "0.5-1"}


def test_a_plain_method_is_added_when_it_is_first_used(house: House) -> None:
    vessel = vessel_of(house)

    for text in ("7.8", "7.9"):
        assert send(house, vessel, sheet(**{"ph-text": text})).status_code == 303

    assert [(one.name, one.kind) for one in Method.objects.all()] == [("probe", "PROBE")]
    assert Reading.objects.count() == 2


def test_the_unit_follows_the_method_that_was_chosen(house: House) -> None:
    """A kit that reads the ion and one that reads N differ 3.28 times (CIAAW weights)."""
    vessel = vessel_of(house)
    kit(house, "NITRITE", name="A nitrogen kit")
    ion = kit(house, "NITRITE", name="Ion kit", basis="NO2")

    send(house, vessel, sheet(**{"nitrite-text": "1", "nitrite-method": str(ion.pk)}))

    reading = Reading.objects.get()
    assert (reading.method, reading.basis) == (ion, "NO2")
    assert reading.interval.low == pytest.approx(0.304467, rel=1e-4)


def test_everything_wrong_is_told_at_once_and_nothing_typed_is_lost(house: House) -> None:
    vessel = vessel_of(house)
    nitrite_kit(house)
    typed = sheet(**{"nitrite-text": "0", "ph-text": "78", "tan-text": "abc", "happened_at": "x"})

    answer = send(house, vessel, typed)

    shown = answer.content.decode()
    assert answer.status_code == 422
    for sentence in ("write &lt;0.25.", "0 to 14", "“abc” is not a value", "a date and time"):
        assert sentence in shown
    for text in ("0", "78", "abc"):
        assert f'value="{text}"' in shown
    assert typed["id"] in shown
    assert not Reading.objects.exists()


def test_nothing_written_and_both_written(house: House) -> None:
    vessel = vessel_of(house)
    nitrite_kit(house)

    empty = send(house, vessel, sheet()).content.decode()
    both = send(house, vessel, sheet(**{"nitrite-text": "1", "nitrite-step": "0.5"}))

    assert "Write at least one value." in empty
    assert "not both" in both.content.decode()


def test_a_surprise_asks_once_beside_its_value(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "PH")
    logged(house, vessel, method, "7.8", at=timezone.now() - timedelta(hours=3))
    typed = sheet(**{"ph-text": "9.1", "tan-text": "1"})

    asked = send(house, vessel, typed)
    (question,) = [
        part.split('"')[0] for part in asked.content.decode().split('name="confirmed" value="')[1:]
    ]
    changed = send(house, vessel, typed | {"confirmed": question, "ph-text": "9.2"})
    sure = send(house, vessel, typed | {"confirmed": question})

    assert (asked.status_code, changed.status_code, sure.status_code) == (422, 422, 303)
    kept = Reading.objects.get(as_entered="9.1")
    assert kept.surprise_confirmed
    assert not Reading.objects.get(parameter="TAN").surprise_confirmed


def test_sent_twice_it_is_saved_once(house: House) -> None:
    vessel = vessel_of(house)
    typed = sheet(**{"ph-text": "7.8"})

    answers = [send(house, vessel, typed).status_code for _ in range(2)]
    other = send(house, vessel, typed | {"ph-text": "7.9"})

    assert answers == [303, 303]
    assert other.status_code == 422
    assert Reading.objects.count() == 1


def test_another_method_redraws_its_row_with_what_was_typed(house: House) -> None:
    vessel, method = vessel_of(house), nitrite_kit(house)
    typed = sheet(**{"draw": "NITRITE", "nitrite-method": str(method.pk), "nitrite-text": "7"})

    row = send(house, vessel, typed).content.decode()

    assert 'value="0.25-0.5"' in row
    assert 'value="7"' in row
    assert "<html" not in row


def test_a_reading_entered_late_says_so(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "PH")
    earlier = timezone.now() - timedelta(hours=5)
    local = earlier.astimezone(house.site.zone)

    send(
        house,
        vessel,
        sheet(**{"ph-text": "7.8", "happened_at": local.strftime("%Y-%m-%dT%H:%M")}),
    )

    reading = Reading.objects.get()
    assert abs(reading.happened_at - earlier) < timedelta(minutes=1)
    assert reading.method == method
    assert "entered 5 h late" in page(house, vessel)


def test_the_tank_shows_its_water_and_whose_readings(house: House) -> None:
    system, tank, alone = system_of(house), vessel_of(house), vessel_of(house, code="Q-9")
    opened(house, tank, system)
    measured(house, system, litres="400")
    measured(house, tank, litres="120")
    logged(house, system, nitrite_kit(house), "<0.25", at=timezone.now() - timedelta(hours=3))

    shown = page(house, tank)

    assert "<span>520<" in shown
    assert f"/tanks/{system.pk}/" in shown
    assert "&lt;0.25" in shown
    assert "3 h ago, in S-1" in " ".join(shown.split()).replace("</time>", "")
    assert "Nitrite drops, Ana Quill" in shown
    assert "Q-9 not measured" in page(house, alone)


def test_a_corrected_value_is_struck_and_legible_on_the_page(house: House) -> None:
    vessel = vessel_of(house)
    first = logged(house, vessel, kit(house, "PH"), "2.8", at=timezone.now() - timedelta(hours=2))
    correct_reading(correction(first, "8.2"), by=house.mo, at=timezone.now())

    shown = page(house, vessel)

    assert "<del>2.8</del>" in shown
    assert "misread the second digit" in shown
    assert "Mo Tarrant" in shown


def test_what_is_due_in_this_water_and_nothing_else(house: House) -> None:
    tank, other = vessel_of(house), vessel_of(house, code="B-2")
    now = timezone.now()

    def due(*_: object) -> list[Due]:
        return [
            Due(
                key=f"read:{vessel.code}",
                title=f"Read {vessel.code}",
                why="daily",
                place="Front room",
                hygiene_rank=1,
                due_at=now,
                url="/somewhere/",
                vessel_ids=frozenset([vessel.pk]),
            )
            for vessel in (tank, other)
        ]

    with task_sources.plugged(TaskSource("a-test", due)):
        shown = page(house, tank)

    assert "Read A-01" in shown
    assert "Read B-2" not in shown


def test_auditors_see_and_do_not_log_and_strangers_see_nothing(house: House) -> None:
    vessel = vessel_of(house)
    tank, log = (reverse(name, args=[vessel.pk]) for name in ("tanks:tank", "tanks:log-readings"))

    auditor, stranger = signed_in(house.hale), signed_in(house.bo)

    assert auditor.get(tank).status_code == 200
    assert log not in auditor.get(tank).content.decode()
    assert auditor.get(log).status_code == 403
    assert [stranger.get(url).status_code for url in (tank, log)] == [404, 404]
    assert Client().get(tank).status_code == 302
