"""Every address: signed out, as a stranger, as an auditor.

Each is filled in with rows that exist; an address with a part of an unknown name fails here
until ``rows`` knows an example of it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlsplit

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from facility.commands.photos import keep_photo
from facility.models import Entry, Membership
from facility.sockets.deeds import deeds
from quarantine.commands.lot_labels import LabelLot, label_lot
from quarantine.commands.sales import sell_animals
from tests.cast import House
from tests.contracts.animal_acts import to_receive_box
from tests.contracts.health_acts import to_log_necropsy, to_set_health_rule
from tests.facility.alerting import raised
from tests.facility.calling import reached
from tests.facility.loose import left
from tests.facility.picturing import photo_of
from tests.facility.reporting import kept
from tests.facility.rounds import TOKEN, calendar_for, granted, on_shift
from tests.facility.shared_phones import paired
from tests.facility.working import asked, set_for
from tests.quarantine.arriving import received, sale_of
from tests.quarantine.equipment import begun, lot_in, net
from tests.quarantine.ready import AT, admitted, ready
from tests.quarantine.staying import held, planned, ready_to_leave, released, tank_behind
from tests.quarantine.treating import given, told_course
from tests.tanks.estate import a_label, device_on, measured, opened, system_of, vessel_of
from tests.tanks.foretold import forecast_of
from tests.tanks.proving import Proving

PUBLIC: Final = {
    "calendar",
    "alive",
    "sign-in",
    "api-schema",
    "icon",
    "trust",
    "trust-authority",
    "worker",
    "outbox",
}
# Anybody may open a site of their own, and leave; a shared phone asks for the PIN; a photo of a
# label is read for whoever sends it, and nothing is kept.
EVERYBODY: Final = {
    "facility:open-site",
    "facility:sign-out",
    "facility:change-hands",
    "tanks:scan-photo",
}
DONE_BY_DEEDS: Final = {deed.name.partition(".")[2] for deed in deeds}


@dataclass(frozen=True, slots=True)
class Way:
    """One address as the resolver knows it: its name with its namespace, and its blanks."""

    name: str
    blanks: tuple[str, ...]

    @property
    def verb(self) -> str:
        return self.name.rpartition(":")[2]

    @property
    def is_api(self) -> bool:
        return self.verb.startswith("api-")


def _ways(resolver: URLResolver, namespace: str = "") -> Iterator[Way]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{pattern.namespace}:" if pattern.namespace else ""
            yield from _ways(pattern, namespace + inner)
        elif isinstance(pattern, URLPattern):
            assert pattern.name, f"{pattern} has no name"
            regex = pattern.pattern.regex
            yield Way(namespace + pattern.name, tuple(regex.groupindex))


WAYS: Final = list(_ways(get_resolver()))
CLOSED: Final = [way for way in WAYS if way.verb not in PUBLIC]
PAGES: Final = [way for way in CLOSED if not way.is_api and way.name not in EVERYBODY]
# Calculators are about no site: whoever is signed in may use them.
ABOUT_NO_SITE: Final = {"calculate", "dose-sheet", "api-calculation"}
# A sheet of nothing leads to where it is filled in.
# A scanned label leads on to its tank; a forecast as good as it gets says: ask no more.
# Only a veterinarian orders a treatment.
_FOUND: Final = {"scan": 303, "forecast": 286, "dose-sheet": 303, "order-treatment": 403}
every_closed = pytest.mark.parametrize("way", CLOSED, ids=lambda way: way.name)
every_page = pytest.mark.parametrize("way", PAGES, ids=lambda way: way.name)


@pytest.fixture(scope="module")
def rows(standing_house: House) -> dict[str, Any]:
    """A proven tank with its admission, and a tank on a system."""
    house = standing_house
    told = ready(house)
    tank, system = vessel_of(house, code="A-02"), system_of(house)
    stays = _stays(house, told)
    for vessel in (tank, system):
        measured(house, vessel, litres="300")
    reading = told.read("TAN", "<0.1", at=told.vessel.readings.latest("happened_at").happened_at)
    treated = told_course(house, at=AT)
    return {
        "vessel_id": told.vessel.pk,
        "cycle_id": told.cycle.pk,
        "forecast_id": forecast_of(told).pk,
        "challenge_id": told.cycle.challenges.earliest("happened_at").pk,
        "reading_id": reading.pk,
        "model": "tanks.reading",
        "fact_id": reading.pk,
        "code": told.vessel.labels.get().code,
        "site_id": house.site.pk,
        "parameter": "tan",
        "kind": "tank",
        "area_id": house.area.pk,
        "loose_end_id": left(house, at=AT).pk,
        "connection_id": opened(house, tank, system).pk,
        "device_id": device_on(house, tank).pk,
        "product_id": told.salt.pk,
        "admission_id": admitted(told).pk,
        "calculation": "unionised-ammonia",
        "course_id": treated.course.pk,
        "agent_id": treated.course.agent_id,
        "container_id": treated.container.pk,
        "dose_id": given(treated, at=AT).pk,
        **_animals(house),
        "kit_id": net(house).pk,
        "record_name": "register",
        "lot_id": lot_in(house, tank, at=AT).pk,
        "death_id": to_log_necropsy(house).death_id,
        "health_rule_id": to_set_health_rule(house).rule_id,
        **stays,
        "reset_id": begun(house, vessel_of(house, code="A-09"), at=AT).pk,
        **_day(house),
    }


def _day(house: House) -> dict[str, Any]:
    """What the house keeps of its working day."""
    return {
        "task_id": asked(house).pk,
        "duty_id": set_for(house).pk,
        "handset_id": paired(house).pk,
        "alert_id": raised(house, at=AT).pk,
        "channel_id": reached(house, house.mo, at=AT).pk,
        "report_id": kept(house, at=AT).pk,
        "rule_id": house.site.alarm_rules.get(code="ph-fall").pk,
        "shift_id": on_shift(house, house.ana).pk,
        "skill_id": granted(house, house.ana).pk,
        "photo_id": keep_photo(photo_of(house, at=AT), by=house.mo, at=AT).pk,
        "calendar_id": calendar_for(house, house.mo).pk,
        "token": TOKEN,
        "membership_id": Membership.objects.get(person=house.ana, site=house.site).pk,
    }


def _stays(house: House, told: Proving) -> dict[str, Any]:
    """Animals released into the proven water, planned and on hold; before others are there."""
    behind = tank_behind(house, "Q-81")
    lot = ready_to_leave(house, behind, at=AT)
    return {
        "release_id": released(house, lot, behind, told, at=AT).pk,
        "hold_id": held(house, vessel=behind, at=AT).pk,
        "planned_id": planned(house, lot, behind, at=AT).pk,
    }


def _animals(house: House) -> dict[str, Any]:
    """A box, its consignment, its lot with a label, and something sold of it."""
    box = received(house, to_receive_box(house, code="A-08"))
    assert box.lot is not None
    assert box.vessel is not None
    label_lot(LabelLot(lot_id=box.lot.pk, code=a_label()), by=house.ana, at=AT)
    sale = sell_animals(sale_of(box.lot, box.vessel, at=AT), by=house.ana, at=AT)
    return {
        "box_id": box.pk,
        "consignment_id": box.consignment_id,
        "species_id": box.species_id,
        "supplier_id": box.consignment.supplier_id,
        "lot_id": box.lot.pk,
        "change_id": sale.pk,
    }


@pytest.mark.django_db
@every_closed
@pytest.mark.parametrize("method", ["get", "post"])
def test_signed_out_one_is_sent_to_sign_in(
    way: Way, method: str, rows: dict[str, Any], client: Client
) -> None:
    answer = getattr(client, method)(_address(way, rows))

    if way.is_api:
        assert answer.status_code in {401, 403}
        return
    if (way.verb, method) == ("sign-out", "get"):
        assert answer.status_code == 405
        return
    assert answer.status_code in {302, 303}
    assert urlsplit(answer["Location"]).path == reverse("facility:sign-in")


@pytest.mark.django_db
@every_closed
def test_a_stranger_finds_nothing(
    way: Way, rows: dict[str, Any], standing_house: House, client: Client
) -> None:
    client.force_login(standing_house.bo)

    answer = client.get(_address(way, rows))

    if answer.status_code == 405:
        answer = client.post(_address(way, rows), content_type="application/json")
    if way.blanks and way.verb not in ABOUT_NO_SITE:
        assert answer.status_code == 404
    told = answer.content.decode()
    assert standing_house.site.name not in told
    # As words: TEOS-10 is no S-1.
    assert not re.search(r"\b(A-01|A-02|S-1|Ana Quill)\b", told)


@pytest.mark.django_db
@every_page
def test_a_stranger_changes_nothing(
    way: Way, rows: dict[str, Any], standing_house: House, client: Client
) -> None:
    client.force_login(standing_house.bo)
    before = Entry.objects.count()

    answer = client.post(_address(way, rows))

    assert answer.status_code in ({404, 405} if way.blanks else {405})
    assert Entry.objects.count() == before


@pytest.mark.django_db
@every_page
def test_an_auditor_reads_every_page_and_is_shown_no_sheet_of_work(
    way: Way, rows: dict[str, Any], standing_house: House, client: Client
) -> None:
    client.force_login(standing_house.hale)

    answer = client.get(_address(way, rows))

    if answer.status_code != 405:
        assert answer.status_code == (
            403 if way.verb in DONE_BY_DEEDS else _FOUND.get(way.verb, 200)
        )


@pytest.mark.django_db
@every_page
def test_an_auditor_changes_nothing(
    way: Way, rows: dict[str, Any], standing_house: House, client: Client
) -> None:
    client.force_login(standing_house.hale)
    before = Entry.objects.count()

    answer = client.post(_address(way, rows))

    assert answer.status_code in {403, 405}
    assert Entry.objects.count() == before


@pytest.mark.django_db
@every_page
def test_a_manager_finds_every_page(
    way: Way, rows: dict[str, Any], standing_house: House, client: Client
) -> None:
    client.force_login(standing_house.mo)

    answer = client.get(_address(way, rows))

    if answer.status_code != 405:
        assert answer.status_code == _FOUND.get(way.verb, 200)


def _address(way: Way, rows: dict[str, Any]) -> str:
    return reverse(way.name, kwargs={blank: rows[blank] for blank in way.blanks})
