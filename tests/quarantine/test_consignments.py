"""Species, suppliers, protocols and consignments: what the boxes will be recorded against."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.consignments import (
    AddPaper,
    AmendConsignment,
    CloseConsignment,
    LeftAfterArrival,
    PaperUnfit,
    ReferenceMissing,
    ReferenceTaken,
    add_paper,
    amend_consignment,
    announce_consignment,
    close_consignment,
)
from quarantine.commands.protocols import EditionTaken, ProtocolUntold, SetProtocol, set_protocol
from quarantine.commands.species import (
    DescribeSpecies,
    ScientificNameMissing,
    SheetSourceMissing,
    SheetUnsound,
    SpeciesKnown,
    UnknownCareClass,
    UnknownGroup,
    UnknownWaterKind,
    VerifierMissing,
    describe_species,
    set_species_sheet,
)
from quarantine.commands.suppliers import (
    AddSupplier,
    NoCountry,
    RetireSupplier,
    SupplierKnown,
    SupplierNameMissing,
    SupplierRetired,
    add_supplier,
    retire_supplier,
)
from quarantine.models import Protocol, SpeciesSheet
from tests.cast import NOON, House
from tests.quarantine.arriving import (
    announcement_of,
    box_of,
    consignment_of,
    protocol_of,
    received,
    sheet_of,
    species_of,
    supplier_of,
)
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def test_a_species_is_listed_once_by_its_scientific_name(house: House) -> None:
    neon = species_of(house)
    good = DescribeSpecies(
        id=uuid4(),
        site_id=house.site.pk,
        scientific_name="Puntius titteya",
        vernacular_name="",
        group="FISH",
        water_kind="FRESH",
    )
    for command, refusal in (
        (replace(good, scientific_name=" "), ScientificNameMissing),
        (replace(good, scientific_name=neon.scientific_name.upper()), SpeciesKnown),
        (replace(good, group="BIRD"), UnknownGroup),
        (replace(good, water_kind="WINE"), UnknownWaterKind),
    ):
        with pytest.raises(refusal):
            describe_species(command, by=house.mo, at=NOON)
    assert describe_species(good, by=house.ana, at=NOON).vernacular_name == ""


def test_a_new_sheet_ends_the_old_one_and_keeps_what_must_not_reach_them(house: House) -> None:
    species = species_of(house)
    first = set_species_sheet(
        sheet_of(species, temperature_low_c=Decimal(20)), by=house.mo, at=NOON
    )
    SpeciesSheet.objects.filter(pk=first.pk).update(stops=[{"agent": "COPPER", "why": "Scaleless"}])
    second = set_species_sheet(
        sheet_of(species, temperature_low_c=Decimal(22)), by=house.mo, at=NOON + DAY
    )

    first.refresh_from_db()
    assert (first.period.upper, second.period.lower) == (NOON + DAY, NOON + DAY)
    assert second.stops == [{"agent": "COPPER", "why": "Scaleless"}]
    assert first_breach(house.site) is None


def test_a_sheet_says_where_its_figures_are_from_and_none_crosses(house: House) -> None:
    good = sheet_of(species_of(house))
    for command, refusal, field in (
        (replace(good, source=" "), SheetSourceMissing, "source"),
        (replace(good, care_class="EASY"), UnknownCareClass, "care_class"),
        (replace(good, verified_on=date(2026, 3, 1)), VerifierMissing, "verified_by"),
        (replace(good, ph_low=Decimal(8), ph_high=Decimal(7)), SheetUnsound, "ph_high"),
        (replace(good, temperature_low_c=Decimal(95)), SheetUnsound, "temperature_low_c"),
        (replace(good, shortest_stay_days=0), SheetUnsound, "shortest_stay_days"),
    ):
        with pytest.raises(refusal) as refused:
            set_species_sheet(command, by=house.mo, at=NOON)
        assert refused.value.field == field
    with pytest.raises(NotAllowed):
        set_species_sheet(good, by=house.ana, at=NOON)


def test_a_supplier_is_listed_once_and_ordered_from_until_taken_off(house: House) -> None:
    supplier = supplier_of(house)
    good = AddSupplier(id=uuid4(), site_id=house.site.pk, name="Brackwater Farm", country="pt")
    for command, refusal in (
        (replace(good, name=" "), SupplierNameMissing),
        (replace(good, name=supplier.name.upper()), SupplierKnown),
        (replace(good, country="Portugal"), NoCountry),
        (replace(good, country="12"), NoCountry),
    ):
        with pytest.raises(refusal):
            add_supplier(command, by=house.mo, at=NOON)
    assert add_supplier(good, by=house.mo, at=NOON).country == "PT"

    for _ in range(2):
        retire_supplier(RetireSupplier(supplier_id=supplier.pk), by=house.mo, at=NOON)
    assert Entry.objects.filter(kind="quarantine.retire-supplier").count() == 1
    with pytest.raises(SupplierRetired):
        announce_consignment(announcement_of(house), by=house.ana, at=NOON)


def test_an_edition_of_a_protocol_takes_the_place_of_the_one_before(house: House) -> None:
    second = protocol_of(house)
    third = protocol_of(house, edition="3")

    assert list(Protocol.objects.filter(retired_at=None)) == [third]
    again = SetProtocol(
        id=uuid4(), site_id=house.site.pk, name=second.name, edition="2", steps="Other"
    )
    with pytest.raises(EditionTaken):
        set_protocol(again, by=house.mo, at=NOON)
    with pytest.raises(ProtocolUntold):
        set_protocol(replace(again, steps=" "), by=house.mo, at=NOON)


def test_a_consignment_is_announced_once(house: House) -> None:
    good = announcement_of(house, expected_at=NOON + DAY, departed_at=NOON)
    first = announce_consignment(good, by=house.ana, at=NOON)

    assert announce_consignment(good, by=house.ana, at=NOON) == first
    for command, refusal in (
        (replace(good, reference="Other"), IdTaken),
        (replace(good, id=uuid4()), ReferenceTaken),
        (replace(good, id=uuid4(), reference=" "), ReferenceMissing),
        (replace(good, id=uuid4(), supplier_id=uuid4()), NotFound),
        (replace(good, id=uuid4(), reference="W", departed_at=NOON + 2 * DAY), LeftAfterArrival),
    ):
        with pytest.raises(refusal):
            announce_consignment(command, by=house.ana, at=NOON)


def test_what_became_known_of_it_is_put_right_with_what_was_said_before(house: House) -> None:
    consignment = consignment_of(house)
    command = AmendConsignment(
        consignment_id=consignment.pk, origin_country="ID", expected_at=NOON + DAY, departed_at=NOON
    )
    amended = [amend_consignment(command, by=house.ana, at=NOON) for _ in range(2)][-1]

    assert (amended.origin_country, amended.departed_at) == ("ID", NOON)
    line = Entry.objects.get(kind="quarantine.amend-consignment")
    assert line.facts["before"]["origin_country"] == "SG"


def paper_of(house: House, **told: str) -> AddPaper:
    return AddPaper(
        consignment_id=consignment_of(house).pk,
        kind="CITES",
        number="25XQ003117",
        valid_until=date(2026, 9, 1),
        appendix="II",
        scientific_name="Hippocampus kuda",
        source_code="C",
        **{"quantity": "24 specimens", **told},
    )


def test_a_cites_line_of_one_box_is_not_taken(house: House) -> None:
    command = paper_of(house, quantity="one box")

    with pytest.raises(PaperUnfit, match="one box") as refused:
        add_paper(command, by=house.ana, at=NOON)
    assert refused.value.field == "quantity"


def test_a_paper_is_kept_once_and_its_source_code_goes_with_the_lot(house: House) -> None:
    command = paper_of(house)
    consignment = [add_paper(command, by=house.ana, at=NOON) for _ in range(2)][-1]
    assert [one["number"] for one in consignment.papers] == ["25XQ003117"]

    horses = species_of(house, "Hippocampus kuda")
    box = received(house, box_of(consignment, horses, vessel_of(house)))

    assert box.lot is not None
    assert box.lot.source_code == "C"
    assert first_breach(house.site) is None


def test_closed_once(house: House) -> None:
    consignment = consignment_of(house)
    command = CloseConsignment(consignment_id=consignment.pk)
    for later in (NOON, NOON + DAY):
        close_consignment(command, by=house.ana, at=later)

    consignment.refresh_from_db()
    assert consignment.closed_at == NOON
    assert Entry.objects.filter(kind="quarantine.close-consignment").count() == 1
