"""Pages of consignments and boxes: what wet hands type, what claim and labels say."""

import io
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from facility.models import Photo
from quarantine.commands.consignments import AddPaper, add_paper
from quarantine.models import Box, Consignment, LotLabel, Species
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.facility.picturing import jpeg
from tests.quarantine.arriving import (
    NEON,
    box_of,
    consignment_of,
    lot_in,
    protocol_of,
    received,
    species_of,
    supplier_of,
)
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def page(house: House, client: Client, monkeypatch: pytest.MonkeyPatch) -> Client:
    monkeypatch.setattr(timezone, "now", lambda: NOON + HOUR)
    client.force_login(house.mo)
    return client


def told(answer: Any) -> str:
    text: str = answer.content.decode()
    return text


def box_sheet(species: Species, **changes: Any) -> dict[str, Any]:
    return {
        "id": str(uuid4()),
        "number": "1",
        "species": str(species.pk),
        "invoiced": "50",
        "alive": "48",
        "dead_on_arrival": "2",
        "weak": "1",
        "tank": "A-01",
        "happened_at": "2026-03-29T13:30",
        **changes,
    }


def test_a_box_with_photo_and_bag_water_is_kept_and_the_next_one_is_offered(
    house: House, tank: Vessel, page: Client
) -> None:
    consignment, species = consignment_of(house), species_of(house)
    protocol = protocol_of(house)
    address = reverse("quarantine:receive-box", args=[consignment.pk])
    sent = box_sheet(
        species,
        photo=SimpleUploadedFile("bag.jpg", jpeg(), content_type="image/jpeg"),
        ph="6.4",
        tan="<5",
        tan_basis="NH4",
        protocol=str(protocol.pk),
    )
    answer = page.post(address, sent)

    assert answer.status_code == 303
    box = Box.objects.get()
    assert (box.vessel, box.protocol, box.photos) == (tank, protocol, [Photo.objects.get().pk])
    assert [one["text"] for one in box.sample] == ["6.4", "<5"]
    onward = page.get(answer["Location"])
    assert "Box 1: 48 alive into A-01 as L-0001, 2 DOA." in told(onward)
    form = onward.context["form"]
    assert (form["number"].value(), form["tank"].value()) == ("2", "A-01")
    assert form["protocol"].value() == protocol.pk


def test_a_tank_is_found_by_its_label_too(house: House, tank: Vessel, page: Client) -> None:
    consignment, species = consignment_of(house), species_of(house)
    address = reverse("quarantine:receive-box", args=[consignment.pk])
    code = tank.labels.get().code
    for number, written in enumerate((f"{code[:3]}-{code[3:]}", f"HTTP://X/T/{code}", "a-01"), 1):
        assert (
            page.post(address, box_sheet(species, number=number, tank=written)).status_code == 303
        )

    assert {box.vessel for box in Box.objects.all()} == {tank}


def test_a_wrong_box_is_told_beside_its_fields_and_nothing_typed_is_lost(
    house: House, tank: Vessel, page: Client
) -> None:
    address = reverse("quarantine:receive-box", args=[consignment_of(house).pk])
    sent = box_sheet(
        species_of(house), tank="Z-99", weak="many", tan="5", photo=SimpleUploadedFile("x", b"no")
    )
    answer = page.post(address, sent)

    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"tank", "weak", "tan_basis"}
    assert 'value="many"' in told(answer)
    bad_photo = page.post(
        address, box_sheet(species_of(house), photo=SimpleUploadedFile("x", b"no"))
    )
    assert set(bad_photo.context["form"].errors) == {"photo"}
    assert not Box.objects.exists()


def test_what_opening_the_bag_does_is_told_before_it_is_saved(
    house: House, tank: Vessel, page: Client
) -> None:
    logged(house, tank, kit(house, "PH"), "7.8")
    logged(house, tank, kit(house, "TEMPERATURE"), "24")
    address = reverse("quarantine:opening", args=[consignment_of(house).pk])
    asked = {"tank": "A-01", "ph": "6.4", "tan": "5", "tan_basis": "N", "species": ""}

    warned = told(page.get(address, asked))
    calm = told(page.get(address, asked | {"ph": "7.8"}))
    unread = told(page.get(address, asked | {"tan": "five"}))

    assert "24 times as much" in warned
    assert "The site&#x27;s limit is" in warned or "The site's limit is" in warned
    assert "times as much" not in calm + unread


def test_a_consignment_shows_sums_gaps_papers_and_what_was_corrected(
    house: House, tank: Vessel, page: Client
) -> None:
    consignment = consignment_of(house)
    box = received(house, box_of(consignment, species_of(house), tank, alive=45))
    add_paper(
        AddPaper(consignment_id=consignment.pk, kind="HEALTH", number="HC-9"), by=house.mo, at=NOON
    )
    corrected = page.post(
        reverse("quarantine:correct-box", args=[box.pk]),
        {
            "id": str(uuid4()),
            "invoiced": "50",
            "alive": "44",
            "dead_on_arrival": "2",
            "weak": "0",
            "reason": "Counted again",
        },
    )
    shown = told(page.get(corrected["Location"]))

    assert "corrected: Counted again; first 45 alive, 2 DOA of 50" in shown
    assert "No end of validity is on record." in shown
    assert "4.3 % of what came" in shown  # 2 of 46


def test_the_claim_file_holds_counts_times_photos_and_the_line_it_is_as_of(
    house: House, tank: Vessel, page: Client
) -> None:
    consignment = consignment_of(house, departed_at=NOON - 30 * HOUR)
    species = species_of(house)
    address = reverse("quarantine:receive-box", args=[consignment.pk])
    photo = SimpleUploadedFile("bag.jpg", jpeg(), content_type="image/jpeg")
    page.post(address, box_sheet(species, photo=photo, ph="6.4"))

    answer = page.get(reverse("quarantine:claim-paper", args=[consignment.pk]))
    again = page.get(reverse("quarantine:claim-paper", args=[consignment.pk]))

    assert answer.content == again.content
    pdf = PdfReader(io.BytesIO(answer.content))
    text = "\n".join(one.extract_text() for one in pdf.pages)
    for words in ("Tarn Aquatics, Lda", "WB-4471", NEON, "30.5 h", "pH 6.4", "SHA-256"):
        assert words in text, words
    assert sum(len(one.images) for one in pdf.pages) == 1


def test_labels_of_a_consignment_are_made_once_and_printed_in_one_go(
    house: House, tank: Vessel, page: Client
) -> None:
    consignment = consignment_of(house)
    for number in "123":
        box = box_of(consignment, species_of(house), tank, number=number, is_new_lot=True)
        received(house, box)
    address = reverse("quarantine:consignment-labels", args=[consignment.pk])

    made = page.post(address)
    page.post(address)
    pdf = page.get(made["Location"])

    assert LotLabel.objects.count() == 3
    assert pdf["Content-Type"] == "application/pdf"
    text = PdfReader(io.BytesIO(pdf.content)).pages[0].extract_text()
    for label in LotLabel.objects.all():
        assert f"{label.code[:3]}-{label.code[3:]}" in text
        scanned = page.get(reverse("tanks:scan", args=[label.code]))
        assert scanned["Location"] == reverse("quarantine:lot", args=[label.lot_id])


def test_a_stranger_scans_a_lots_label_and_finds_nothing(
    house: House, tank: Vessel, page: Client
) -> None:
    lot = lot_in(house, tank)
    page.post(reverse("quarantine:label-lot", args=[lot.pk]))
    code = LotLabel.objects.get().code
    page.force_login(house.bo)

    assert page.get(reverse("tanks:scan", args=[code])).status_code == 404


def test_a_consignment_goes_from_announced_to_closed_by_its_pages(
    house: House, tank: Vessel, page: Client
) -> None:
    supplier = supplier_of(house)
    announced = page.post(
        reverse("quarantine:announce-consignment", args=[house.site.pk]),
        {"id": str(uuid4()), "supplier": str(supplier.pk), "reference": "WB-9"},
    )
    row = Consignment.objects.get()
    paper = reverse("quarantine:add-paper", args=[row.pk])
    cites = {"kind": "CITES", "number": "25XQ", "valid_until": "2026-09-01", "appendix": "II"}
    cites |= {"scientific_name": "Hippocampus kuda", "source_code": "C"}
    one_box = page.post(paper, cites | {"quantity": "one box"})
    kept = page.post(paper, cites | {"quantity": "24 specimens"})
    amended = page.post(
        reverse("quarantine:amend-consignment", args=[row.pk]),
        {"departed_at": "2026-03-28T09:00", "origin_country": "SG"},
    )
    received(house, box_of(row, species_of(house), tank))
    page.post(reverse("quarantine:close-consignment", args=[row.pk]))
    shown = told(page.get(announced["Location"]))

    assert (one_box.status_code, kept.status_code, amended.status_code) == (422, 303, 303)
    assert "is not accepted" in told(one_box)
    assert "27.0 h on the way" in shown  # the clocks went forward that night
    assert "closed" in told(page.get(reverse("quarantine:consignments")))
