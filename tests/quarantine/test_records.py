"""The records a house owes, by the texts that ask for them.

Register: SI 2018/486, Schedule 3, paragraph 2(1)(a)-(g): supplier's full name, sex, age except of
fish, veterinary treatment, birth or acquisition, sale, death. Treatment: 21 CFR 530.5: drug and
active ingredient, condition, species, dosage, duration, number, withdrawal. Quarantine set:
Delegated Regulation (EU) 2020/691, Article 30.
"""

import csv
from datetime import datetime, timedelta
from html import unescape
from io import BytesIO, StringIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from facility.models import Document, Entry
from quarantine.commands.books import Change, enter
from quarantine.models import Consignment, Lot, Species, Supplier
from quarantine.paper.packs import pack
from quarantine.paper.records import main_table, record
from quarantine.queries.packs import story_of
from quarantine.queries.records import Kept, kept
from quarantine.rules.record_notes import (
    MOVEMENTS,
    QUARANTINE_SET,
    REGISTER,
    TITLES,
    TREATMENTS,
)
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.equipment import cleaned, lot_in, moved, net
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)


def bought(house: House, vessel: Vessel, *, at: datetime = NOON) -> Lot:
    """Twelve tetras from a supplier abroad; two were sold and one died."""
    supplier = Supplier.objects.create(
        site=house.site,
        name="Harbour Fish Company, Limited",
        address="4 Quay Street",
        country="SG",
        approval_number="SG-0042",
        opened_at=at,
    )
    consignment = Consignment.objects.create(
        site=house.site,
        supplier=supplier,
        reference="HF-2611",
        papers=[{"kind": "HEALTH", "number": "HC 77"}],
        announced_at=at,
    )
    species = Species.objects.create(
        site=house.site, scientific_name="Paracheirodon axelrodi", group="FISH", water_kind="FRESH"
    )
    lot = Lot.objects.create(
        site=house.site,
        code="L-0007",
        species=species,
        supplier=supplier,
        consignment=consignment,
        acquired_at=at,
        sex="MIXED",
        made="ARRIVED",
    )
    came: dict[str, Any] = {"to_lot": lot, "to_vessel": vessel}
    went: dict[str, Any] = {"from_lot": lot, "from_vessel": vessel}
    for kind, count, day, sides in (
        ("ARRIVED", 12, 0, came),
        ("SOLD", 2, 3, went),
        ("DIED", 1, 4, went),
    ):
        change = Change(id=uuid4(), kind=kind, count=count, happened_at=at + day * DAY, **sides)
        enter(change, by=house.ana, at=at + day * DAY)
    return lot


def known(house: House, *, until: datetime = NOON + 30 * DAY) -> Kept:
    found = kept(house.site, since=NOON - DAY, until=until)
    assert found is not None
    return found


def test_the_register_holds_what_the_regulation_lists(house: House) -> None:
    bought(house, vessel_of(house))

    table = main_table(record(REGISTER, known(house)))

    row = dict(zip(table.columns, table.rows[0], strict=True))
    assert row["Supplier, full name"] == "Harbour Fish Company, Limited"
    assert row["Sex"] == "both"
    assert row["Age"] == "not asked for of fish"
    assert row["Veterinary treatment"] == "none on record"
    assert row["Acquired"] == "2026-03-29"
    assert row["Sold"] == "2026-04-01: 2"
    assert row["Died"] == "2026-04-02: 1"
    assert row["Now"] == "9"


def test_the_register_is_as_of_its_last_day(house: House) -> None:
    bought(house, vessel_of(house))

    table = main_table(record(REGISTER, known(house, until=NOON + 3.5 * DAY)))

    row = dict(zip(table.columns, table.rows[0], strict=True))
    assert (row["Sold"], row["Died"], row["Now"]) == ("2026-04-01: 2", "none", "10")


def test_a_lot_long_gone_is_in_no_later_register(house: House) -> None:
    tank = vessel_of(house)
    lot = lot_in(house, tank, count=3)
    gone = Change(
        id=uuid4(), kind="SOLD", count=3, happened_at=NOON + DAY, from_lot=lot, from_vessel=tank
    )
    enter(gone, by=house.ana, at=NOON + DAY)

    later = kept(house.site, since=NOON + 5 * DAY, until=NOON + 9 * DAY)

    assert later is not None
    assert later.lots == ()
    assert known(house).lots == (lot,)


def test_movements_within_are_kept_like_those_in_and_out(house: House) -> None:
    a, b = vessel_of(house, code="A"), vessel_of(house, code="B")
    lot = bought(house, a)
    moved(house, lot, a, b, count=4, at=NOON + 5 * DAY)

    rows = main_table(record(MOVEMENTS, known(house))).rows

    assert [(row[1], row[2], row[4]) for row in rows] == [
        ("In", "L-0007", "12"),
        ("Out", "L-0007", "2"),
        ("Within", "L-0007", "4"),
    ]
    assert rows[0][5] == "Harbour Fish Company, Limited, 4 Quay Street, SG, SG-0042"
    assert rows[0][7] == "HF-2611\nHealth certificate HC 77"
    assert (rows[2][5], rows[2][6]) == ("A", "B")


def test_the_treatment_record_has_a_column_for_each_item(house: House) -> None:
    """The seven of 21 CFR 530.5."""
    columns = main_table(record(TREATMENTS, known(house))).columns

    assert columns[1:8] == (
        "Drug and active ingredient",
        "Condition",
        "Species",
        "Number",
        "Dosage",
        "Duration",
        "Withdrawal",
    )


def test_the_quarantine_set_tells_how_biosecurity_was_done(house: House) -> None:
    cleaned(house, net(house), at=NOON + DAY)

    report = record(QUARANTINE_SET, known(house))

    titles = [section.title for section in report.sections]
    assert "Movements in" in titles
    assert "Post-mortem examinations" in titles
    evidence = report.sections[titles.index("Evidence of biosecurity")].blocks[0]
    assert evidence.rows[0][1:] == ("N-03", "Disinfected and rinsed", "Ana Quill")  # type: ignore[union-attr]  # a table


def test_the_same_ledger_line_gives_the_same_report(house: House) -> None:
    bought(house, vessel_of(house))

    assert record(REGISTER, known(house)) == record(REGISTER, known(house))


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON + 10 * DAY)


@pytest.mark.usefixtures("later")
@pytest.mark.parametrize("name", TITLES)
def test_an_auditor_reads_each_record_as_page_pdf_and_csv(
    house: House, client: Client, name: str
) -> None:
    bought(house, vessel_of(house))
    client.force_login(house.hale)
    address = f"/sites/{house.site.pk}/records/{name}"

    page, pdf, rows = (client.get(address + end) for end in ("/", ".pdf", ".csv"))

    assert TITLES[name] in unescape(page.content.decode())
    assert TITLES[name] in PdfReader(BytesIO(pdf.content)).pages[0].extract_text()
    assert next(csv.reader(StringIO(rows.content.decode())))
    assert "Issue as it is now" not in page.content.decode()


@pytest.mark.usefixtures("later")
def test_days_asked_for_are_kept_in_the_address(house: House, client: Client) -> None:
    bought(house, vessel_of(house))
    client.force_login(house.mo)

    told = client.get(
        f"/sites/{house.site.pk}/records/register/?since=2026-03-01&until=2026-04-01"
    ).content.decode()

    assert "01 Mar 2026 to 02 Apr 2026" in told
    assert "2026-04-02: 1" not in told
    assert "register.pdf?since=2026-03-01&amp;until=2026-04-01" in told


@pytest.mark.usefixtures("later")
def test_a_record_is_issued_with_the_hash_of_its_pdf(house: House, client: Client) -> None:
    bought(house, vessel_of(house))
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/records/register/issue/"

    answer = client.post(address, {"id": str(uuid4())})

    assert answer.status_code == 303, answer.content
    assert Document.objects.get().kind == "quarantine.register"
    assert Entry.objects.latest("pk").kind == "facility.issue-document"
    page = client.get(answer["Location"])
    assert Document.objects.get().sha256 in page.content.decode()


@pytest.mark.usefixtures("later")
def test_no_such_record_is_no_page(house: House, client: Client) -> None:
    vessel_of(house)
    client.force_login(house.mo)

    assert client.get(f"/sites/{house.site.pk}/records/diary/").status_code == 404


@pytest.mark.usefixtures("later")
def test_the_release_pack_tells_the_lot_from_its_consignment_on(
    house: House, client: Client
) -> None:
    a, b = vessel_of(house, code="A"), vessel_of(house, code="B")
    lot = bought(house, a)
    moved(house, lot, a, b, count=4, at=NOON + 5 * DAY)
    client.force_login(house.hale)

    told = unescape(client.get(f"/lots/{lot.pk}/pack/").content.decode())

    assert "Release pack" in told
    assert "No release is signed yet." in told
    assert "12 of L-0007 arrived in A" in told
    story = story_of(lot, at=NOON + 10 * DAY)
    assert story is not None
    (lot_section, *_) = pack(story).sections
    pairs = dict(lot_section.blocks[0].pairs)  # type: ignore[union-attr]  # facts
    assert (pairs["Came in alive"], pairs["Sold"], pairs["Remaining"]) == ("12", "2", "9")
    assert pairs["Counts close"] == "yes"


@pytest.mark.usefixtures("later")
def test_the_pack_is_a_pdf_and_its_movements_a_table(house: House, client: Client) -> None:
    lot = bought(house, vessel_of(house))
    client.force_login(house.hale)

    pdf = client.get(f"/lots/{lot.pk}/pack.pdf")
    rows = list(csv.reader(StringIO(client.get(f"/lots/{lot.pk}/pack.csv").content.decode())))

    text = "".join(page.extract_text() for page in PdfReader(BytesIO(pdf.content)).pages)
    assert "Lot L-0007, Paracheirodon axelrodi" in text
    assert [row[1] for row in rows] == ["Way", "In", "Out"]


@pytest.mark.usefixtures("later")
def test_a_pack_is_issued_once_however_often_it_is_sent(house: House, client: Client) -> None:
    lot = bought(house, vessel_of(house))
    client.force_login(house.mo)
    sent = {"id": str(uuid4())}

    for _ in range(2):
        assert client.post(f"/lots/{lot.pk}/pack/issue/", sent).status_code == 303

    assert Document.objects.get().kind == "quarantine.release-pack"
