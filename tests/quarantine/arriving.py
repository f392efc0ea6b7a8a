"""Builders of animals: species, a supplier, a consignment, boxes; each through its command.

All names are invented but the scientific ones.
"""

from datetime import datetime
from typing import Any
from uuid import uuid4

from quarantine.commands.arrivals import ReceiveBox, receive_box
from quarantine.commands.consignments import AnnounceConsignment, announce_consignment
from quarantine.commands.lots import OpenLot, open_lot
from quarantine.commands.protocols import SetProtocol, set_protocol
from quarantine.commands.sales import SellAnimals
from quarantine.commands.species import DescribeSpecies, SetSpeciesSheet, describe_species
from quarantine.commands.suppliers import AddSupplier, add_supplier
from quarantine.models import Box, Consignment, Lot, Protocol, Species, Supplier
from tanks.models import Vessel
from tests.cast import NOON, House

NEON, BARB = "Paracheirodon innesi", "Puntius titteya"


def species_of(house: House, name: str = NEON, *, group: str = "FISH") -> Species:
    known: Species | None = Species.objects.filter(site=house.site, scientific_name=name).first()
    command = DescribeSpecies(
        id=uuid4(),
        site_id=house.site.pk,
        scientific_name=name,
        vernacular_name="Neon tetra" if name == NEON else "",
        group=group,
        water_kind="FRESH",
    )
    return known or describe_species(command, by=house.mo, at=NOON)


def sheet_of(species: Species, **told: Any) -> SetSpeciesSheet:
    figures = dict.fromkeys(
        (
            "temperature_low_c",
            "temperature_high_c",
            "ph_low",
            "ph_high",
            "salinity_low_g_kg",
            "salinity_high_g_kg",
            "shortest_stay_days",
            "months_run",
            "stocking_order",
        )
    )
    words = {"care_class": "ROUTINE", "permit_needs": "", "note": "", "source": "Own practice"}
    return SetSpeciesSheet(id=uuid4(), species_id=species.pk, **{**figures, **words, **told})


def supplier_of(house: House, name: str = "Tarn Aquatics, Lda") -> Supplier:
    known: Supplier | None = Supplier.objects.filter(site=house.site, name=name).first()
    command = AddSupplier(id=uuid4(), site_id=house.site.pk, name=name, country="SG")
    return known or add_supplier(command, by=house.mo, at=NOON)


def announcement_of(
    house: House, *, reference: str = "WB-4471", **told: Any
) -> AnnounceConsignment:
    return AnnounceConsignment(
        id=uuid4(),
        site_id=house.site.pk,
        supplier_id=supplier_of(house).pk,
        reference=reference,
        origin_country="SG",
        **told,
    )


def consignment_of(house: House, *, reference: str = "WB-4471", **told: Any) -> Consignment:
    command = announcement_of(house, reference=reference, **told)
    return announce_consignment(command, by=house.ana, at=NOON)


def protocol_of(house: House, *, edition: str = "2") -> Protocol:
    command = SetProtocol(
        id=uuid4(),
        site_id=house.site.pk,
        name="Float and net",
        edition=edition,
        steps="Dim the light. Float 15 min. Net over; bag water down the drain.",
    )
    return set_protocol(command, by=house.mo, at=NOON)


def box_of(
    consignment: Consignment,
    species: Species,
    vessel: Vessel | None,
    *,
    number: str = "1",
    at: datetime = NOON,
    **told: Any,
) -> ReceiveBox:
    """A box with 50 invoiced, 48 alive and 2 dead unless it is told otherwise."""
    counts = {"invoiced": 50, "alive": 48, "dead_on_arrival": 2, "weak": 1}
    return ReceiveBox(
        id=uuid4(),
        consignment_id=consignment.pk,
        number=number,
        species_id=species.pk,
        vessel_id=vessel.pk if vessel else None,
        happened_at=at,
        **{**counts, **told},
    )


def received(house: House, command: ReceiveBox) -> Box:
    return receive_box(command, by=house.ana, at=command.happened_at)


def lot_in(house: House, vessel: Vessel, *, count: int = 48, at: datetime = NOON) -> Lot:
    """A lot of one box, newly arrived."""
    consignment = consignment_of(house, reference=f"WB-{uuid4().hex[:6]}")
    command = box_of(
        consignment, species_of(house), vessel, at=at, alive=count, weak=0, is_new_lot=True
    )
    lot = received(house, command).lot
    assert lot is not None
    return lot


def lot_found(house: House, vessel: Vessel, *, count: int = 30, **told: Any) -> OpenLot:
    return OpenLot(
        id=uuid4(),
        site_id=house.site.pk,
        species_id=species_of(house).pk,
        vessel_id=vessel.pk,
        count=count,
        made="FOUND",
        happened_at=NOON,
        **told,
    )


def opened_lot(house: House, command: OpenLot) -> Lot:
    return open_lot(command, by=house.ana, at=NOON)


def sale_of(lot: Lot, vessel: Vessel, *, count: int = 3, at: datetime = NOON) -> SellAnimals:
    return SellAnimals(
        id=uuid4(), lot_id=lot.pk, vessel_id=vessel.pk, count=count, happened_at=at, note="Counter"
    )
