"""A photo of a label opens its tank, or says in one sentence why it opened none."""

from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

from facility.models import Entry, Person
from facility.rules.codes import printed
from tanks.commands.vessels import Relabel, relabel
from tests.cast import NOON, House
from tests.tanks.estate import a_label, vessel_of
from tests.tanks.photographs import jpeg, photographed, printed_label, side_by_side, square


def sent(person: Person, content: bytes, **headers: str) -> HttpResponse:
    client = Client()
    client.force_login(person)
    photo = SimpleUploadedFile("label.jpg", content, content_type="image/jpeg")
    url = reverse("tanks:scan-photo")
    return client.post(url, {"photo": photo}, headers=headers)  # type: ignore[return-value]  # the client's own class of it


def words(answer: HttpResponse) -> str:
    return " ".join(answer.content.decode().split())


@pytest.mark.parametrize(
    ("turned", "tilted", "blur_px"),
    [(0, 0, 0), (12, 0, 2), (90, 0, 1), (-35, 25, 1.5), (180, 30, 2)],
)
def test_a_photo_of_a_printed_label_leads_to_its_tank(
    house: House, tmp_path: Path, turned: float, tilted: float, blur_px: float
) -> None:
    vessel = vessel_of(house)
    label = printed_label(vessel, tmp_path)
    before = Entry.objects.count()

    answer = sent(house.ana, photographed(label, turned=turned, tilted=tilted, blur_px=blur_px))

    assert (answer.status_code, answer["Location"]) == (303, f"/t/{vessel.labels.get().pk}")
    assert Entry.objects.count() == before


def test_a_label_printed_under_an_older_address_still_leads_there(
    house: House, tmp_path: Path
) -> None:
    vessel = vessel_of(house)
    label = printed_label(vessel, tmp_path, host="HTTPS://PENSTOCK.LOCAL:8443")

    assert sent(house.ana, photographed(label)).status_code == 303


def test_two_labels_are_asked_about_and_none_is_guessed(house: House, tmp_path: Path) -> None:
    vessels = [vessel_of(house, code=code) for code in ("A-01", "A-02")]
    labels = [printed_label(vessel, tmp_path) for vessel in vessels]

    answer = sent(house.ana, photographed(side_by_side(*labels)))

    assert answer.status_code == 422
    for vessel in vessels:
        assert f'href="/t/{vessel.labels.get().pk}"' in answer.content.decode()


def test_another_square_beside_the_label_does_not_matter(house: House, tmp_path: Path) -> None:
    vessel = vessel_of(house)
    pump = square("https://pump.example/manual")

    answer = sent(house.ana, photographed(side_by_side(printed_label(vessel, tmp_path), pump)))

    assert answer["Location"] == f"/t/{vessel.labels.get().pk}"


def test_a_foreign_square_says_what_it_is_and_opens_nothing(house: House) -> None:
    answer = sent(house.ana, photographed(square("https://menu.example/<b>today</b>")))

    assert answer.status_code == 422
    assert "no tank label of ours: it says “https://menu.example/&lt;b&gt;today" in words(answer)


def test_a_retired_label_in_a_photo_opens_nothing(house: House, tmp_path: Path) -> None:
    vessel = vessel_of(house)
    old = vessel.labels.get().pk
    label = printed_label(vessel, tmp_path)
    relabel(Relabel(vessel_id=vessel.pk, label=a_label()), by=house.mo, at=NOON + timedelta(days=1))

    there = sent(house.ana, photographed(label))
    client = Client()
    client.force_login(house.ana)
    gone = client.get(there["Location"])

    assert gone.status_code == 410
    assert f"Label {printed(old)} was retired" in gone.content.decode()


def test_a_photo_of_nothing_says_how_to_take_a_better_one(house: House) -> None:
    answer = sent(house.ana, jpeg(Image.new("L", (1600, 1200), 128)))

    assert answer.status_code == 422
    assert "No label was found in the photo. Go closer" in words(answer)


def test_no_photo_at_all_is_the_same_sentence(house: House) -> None:
    client = Client()
    client.force_login(house.ana)

    assert client.post(reverse("tanks:scan-photo")).status_code == 422


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"%PDF-1.4 not a picture", "not a JPEG, PNG or WebP picture"),
        (b"", "not a JPEG, PNG or WebP picture"),
        (jpeg(Image.new("L", (900, 900), 200))[:700], "the file is damaged"),
    ],
)
def test_what_is_no_photo_is_said(house: House, content: bytes, sentence: str) -> None:
    answer = sent(house.ana, content or b" ")

    assert answer.status_code == 422
    assert sentence in words(answer)


def test_a_small_file_that_unpacks_to_a_wall_of_dots_is_refused_unopened(house: House) -> None:
    file = BytesIO()
    Image.new("1", (12_000, 12_000)).save(file, format="PNG")
    assert len(file.getvalue()) < 100_000

    answer = sent(house.ana, file.getvalue())

    assert answer.status_code == 422
    assert "more than 60 megapixels" in words(answer)


def test_a_script_is_told_the_texts_and_a_picture_without_one_is_no_error(
    house: House, tmp_path: Path
) -> None:
    vessel = vessel_of(house)
    picture = photographed(printed_label(vessel, tmp_path))

    found = sent(house.ana, picture, accept="application/json")
    none = sent(house.ana, jpeg(Image.new("L", (300, 300))), accept="application/json")
    bad = sent(house.ana, b"nothing", accept="application/json")

    code = vessel.labels.get().pk
    assert found.json() == {"texts": [f"HTTP://192.168.1.20:8000/T/{code}"], "says": ""}  # type: ignore[attr-defined]  # the client's own class of it
    assert (none.status_code, none.json()["texts"]) == (200, [])  # type: ignore[attr-defined]  # the same
    assert bad.json()["says"].startswith("Photo: not a JPEG")  # type: ignore[attr-defined]  # the same
