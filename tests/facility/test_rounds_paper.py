"""Rounds on paper say what the page says, with the breaks in between."""

from datetime import timedelta
from io import BytesIO
from uuid import uuid4

import pytest
from django.test import Client
from pypdf import PdfReader

from facility.commands.places import OpenArea, open_area
from facility.paper.rounds import rounds_report
from facility.queries.own_rounds import everybodys, own_round
from facility.sockets.paper import Paragraph, Table
from tests.cast import NOON, House
from tests.facility.rounds import drawn_up, on_shift
from tests.facility.working import asked

pytestmark = pytest.mark.django_db


@pytest.fixture
def _dirty_then_clean(house: House) -> None:
    on_shift(house, house.ana)
    back = open_area(
        OpenArea(id=uuid4(), site_id=house.site.pk, name="Quarantine", hygiene_rank=6),
        by=house.mo,
        at=NOON,
    )
    dirty = asked(house, title="Feed the new fish", about=f"facility.area:{back.pk}")
    drawn_up(house, {house.ana: [dirty, asked(house)]})


@pytest.mark.usefixtures("_dirty_then_clean")
def test_a_step_from_dirty_to_clean_has_its_break(house: House) -> None:
    found = own_round(house.ana, house.site, NOON.date(), at=NOON)

    assert found is not None
    assert [stop.has_break for stop in found.stops] == [False, True]
    # Ten minutes of work, five to change kit, one to the area, and one for its neighbour.
    assert found.stops[1].begins_at - found.stops[0].begins_at == timedelta(minutes=17)


@pytest.mark.usefixtures("_dirty_then_clean")
def test_the_paper_lists_stops_and_breaks(house: House) -> None:
    rounds = everybodys(house.site, NOON.date(), at=NOON)
    report = rounds_report(
        rounds,
        site_name=house.site.name,
        on=NOON.date(),
        zone=house.site.zone,
        by="Mo Tarrant",
        at=NOON,
    )

    [section] = report.sections
    [table] = [block for block in section.blocks if isinstance(block, Table)]
    assert section.title == "Ana Quill"
    assert [row[2] for row in table.rows] == [
        "Feed the new fish",
        "Change kit and disinfect hands before going on",
        "Walk the front room",
    ]


@pytest.mark.usefixtures("_dirty_then_clean")
def test_everybody_prints_their_own_and_on_request_all(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/rounds.pdf"

    assert "No round is drawn up" in _text(client.get(address).content)
    assert "Feed the new fish" in _text(client.get(f"{address}?all=1").content)
    client.force_login(house.ana)
    assert "Feed the new fish" in _text(client.get(address).content)


def test_a_day_without_rounds_says_so(house: House) -> None:
    report = rounds_report(
        [], site_name="Kestrel Yard", on=NOON.date(), zone=house.site.zone, by="Mo", at=NOON
    )

    assert report.sections[0].blocks == (Paragraph("No round is drawn up for this day."),)


def _text(pdf: bytes) -> str:
    pages = PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)
