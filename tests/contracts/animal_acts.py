"""Examples of what is recorded of animals, from order to sale, at ``AT``."""

from decimal import Decimal
from uuid import uuid4

from facility.commands.photos import KeepPhoto
from quarantine.commands.arrivals import ReceiveBox
from quarantine.commands.box_corrections import CorrectBox
from quarantine.commands.consignments import (
    AddPaper,
    AmendConsignment,
    AnnounceConsignment,
    CloseConsignment,
)
from quarantine.commands.counts import CorrectCount
from quarantine.commands.lot_labels import LabelLot
from quarantine.commands.lots import OpenLot
from quarantine.commands.partings import MergeLots, SplitLot
from quarantine.commands.protocols import SetProtocol
from quarantine.commands.sales import (
    AmendChange,
    ReportMissing,
    SellAnimals,
    SendOff,
    sell_animals,
)
from quarantine.commands.species import DescribeSpecies, SetSpeciesSheet
from quarantine.commands.suppliers import AddSupplier, RetireSupplier
from tests.cast import NOON, House
from tests.facility.picturing import photo_of
from tests.quarantine.arriving import (
    announcement_of,
    box_of,
    consignment_of,
    lot_found,
    lot_in,
    received,
    sale_of,
    sheet_of,
    species_of,
    supplier_of,
)
from tests.quarantine.ready import AT
from tests.tanks.estate import a_label, vessel_of


def to_keep_photo(house: House) -> KeepPhoto:
    return photo_of(house, at=AT)


def to_describe_species(house: House) -> DescribeSpecies:
    return DescribeSpecies(
        id=uuid4(),
        site_id=house.site.pk,
        scientific_name="Carassius auratus",
        vernacular_name="Goldfish",
        group="FISH",
        water_kind="FRESH",
    )


def to_set_species_sheet(house: House) -> SetSpeciesSheet:
    figures = {"temperature_low_c": Decimal("22.5"), "temperature_high_c": Decimal(26)}
    return sheet_of(species_of(house), shortest_stay_days=21, **figures)


def to_add_supplier(house: House) -> AddSupplier:
    return AddSupplier(id=uuid4(), site_id=house.site.pk, name="Brackwater Farm", country="PT")


def to_retire_supplier(house: House) -> RetireSupplier:
    return RetireSupplier(supplier_id=supplier_of(house).pk)


def to_set_protocol(house: House) -> SetProtocol:
    return SetProtocol(
        id=uuid4(), site_id=house.site.pk, name="Drip", edition="1", steps="Drip for 30 min."
    )


def to_announce_consignment(house: House) -> AnnounceConsignment:
    return announcement_of(house, expected_at=AT)


def to_amend_consignment(house: House) -> AmendConsignment:
    consignment = consignment_of(house)
    return AmendConsignment(
        consignment_id=consignment.pk, origin_country="ID", expected_at=AT, departed_at=NOON
    )


def to_add_paper(house: House) -> AddPaper:
    return AddPaper(
        consignment_id=consignment_of(house).pk,
        kind="CITES",
        number="25XQ003117",
        valid_until=AT.date(),
        appendix="II",
        scientific_name="Hippocampus kuda",
        quantity="24 specimens",
        source_code="C",
    )


def to_close_consignment(house: House) -> CloseConsignment:
    return CloseConsignment(consignment_id=consignment_of(house).pk)


def to_receive_box(house: House, *, code: str = "A-01") -> ReceiveBox:
    return box_of(consignment_of(house), species_of(house), vessel_of(house, code=code), at=AT)


def to_correct_box(house: House) -> CorrectBox:
    box = received(house, to_receive_box(house))
    return CorrectBox(
        id=uuid4(),
        box_id=box.pk,
        invoiced=50,
        alive=47,
        dead_on_arrival=3,
        weak=0,
        reason="Counted again",
    )


def to_open_lot(house: House) -> OpenLot:
    return lot_found(house, vessel_of(house))


def to_split_lot(house: House) -> SplitLot:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    return SplitLot(id=uuid4(), lot_id=lot.pk, vessel_id=tank.pk, count=10, happened_at=AT)


def to_merge_lots(house: House) -> MergeLots:
    tank = vessel_of(house)
    lots = tuple(lot_in(house, tank).pk for _ in range(2))
    return MergeLots(id=uuid4(), lot_ids=lots, happened_at=AT)


def to_correct_count(house: House) -> CorrectCount:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    return CorrectCount(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=tank.pk,
        counted=46,
        reason="Counted at the move",
        happened_at=AT,
    )


def to_sell_animals(house: House) -> SellAnimals:
    tank = vessel_of(house)
    return sale_of(lot_in(house, tank), tank, at=AT)


def to_send_off(house: House) -> SendOff:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    return SendOff(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=tank.pk,
        count=4,
        destination="Quillhaven",
        happened_at=AT,
    )


def to_report_missing(house: House) -> ReportMissing:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    return ReportMissing(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=tank.pk,
        count=1,
        note="Floor searched",
        happened_at=AT,
    )


def to_amend_change(house: House) -> AmendChange:
    change = sell_animals(to_sell_animals(house), by=house.ana, at=AT)
    return AmendChange(id=uuid4(), change_id=change.pk, count=2, reason="Two, not three")


def to_label_lot(house: House) -> LabelLot:
    return LabelLot(lot_id=lot_in(house, vessel_of(house)).pk, code=a_label())
