"""Animals from the order to the sale: species, suppliers, consignments, boxes, lots."""

from collections.abc import Callable
from typing import Any

from facility.sockets.deeds import KEEPERS, MANAGERS, Deed, deeds
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.subjects import SubjectSource, subject_sources
from quarantine.commands import (
    arrivals,
    box_corrections,
    consignments,
    counts,
    lots,
    partings,
    protocols,
    sales,
    species,
    suppliers,
)
from quarantine.commands import lot_labels as labelling
from quarantine.queries import lot_labels, subjects
from quarantine.queries.lots_remarked import lot_remarks
from tanks.sockets.labels import LabelSource, label_sources
from tanks.sockets.remarks import RemarkSource, remark_sources


def _plug(
    command: type, give: Callable[..., Any], roles: frozenset[str], says: str, **more: bool
) -> None:
    """One name everywhere: the deed is called as its function is."""
    name = f"quarantine.{give.__name__.replace('_', '-')}"
    deeds.plug(Deed(name=name, command=command, give=give, roles=roles, says=says, **more))


_plug(species.DescribeSpecies, species.describe_species, KEEPERS, "put a species on the list")
_plug(species.SetSpeciesSheet, species.set_species_sheet, MANAGERS, "set a species sheet")
_plug(suppliers.AddSupplier, suppliers.add_supplier, MANAGERS, "put a supplier on the list")
_plug(suppliers.RetireSupplier, suppliers.retire_supplier, MANAGERS, "took a supplier off the list")
_plug(protocols.SetProtocol, protocols.set_protocol, MANAGERS, "set a protocol of acclimation")
_plug(
    consignments.AnnounceConsignment,
    consignments.announce_consignment,
    KEEPERS,
    "announced a consignment",
)
_plug(
    consignments.AmendConsignment,
    consignments.amend_consignment,
    KEEPERS,
    "put a consignment right",
)
_plug(consignments.AddPaper, consignments.add_paper, KEEPERS, "kept a paper of a consignment")
_plug(
    consignments.CloseConsignment, consignments.close_consignment, KEEPERS, "closed a consignment"
)
_plug(arrivals.ReceiveBox, arrivals.receive_box, KEEPERS, "opened a box of animals")
_plug(box_corrections.CorrectBox, box_corrections.correct_box, KEEPERS, "corrected a box")
_plug(lots.OpenLot, lots.open_lot, KEEPERS, "opened the book of a lot")
_plug(partings.SplitLot, partings.split_lot, KEEPERS, "split a lot")
_plug(partings.MergeLots, partings.merge_lots, KEEPERS, "merged lots")
_plug(counts.CorrectCount, counts.correct_count, KEEPERS, "corrected a count")
_plug(sales.SellAnimals, sales.sell_animals, KEEPERS, "sold animals")
_plug(sales.SendOff, sales.send_off, KEEPERS, "sent animals off the site")
_plug(sales.ReportMissing, sales.report_missing, KEEPERS, "missed animals")
_plug(sales.AmendChange, sales.amend_change, KEEPERS, "put an entry of a book right")
_plug(labelling.LabelLot, labelling.label_lot, KEEPERS, "labelled a lot")
remark_sources.plug(RemarkSource(name="quarantine.lots", of_water=lot_remarks))
label_sources.plug(LabelSource(name="quarantine.lots", found=lot_labels.lot_labelled))
subject_sources.plug(
    SubjectSource(
        name="quarantine.lots",
        table="quarantine.lot",
        places=subjects.lots_as_places,
        alike=subjects.lot_alone,
        at_site=subjects.lots_here,
    )
)
subject_sources.plug(
    SubjectSource(
        name="quarantine.consignments",
        table="quarantine.consignment",
        places=subjects.consignments_as_places,
        alike=subjects.consignment_alone,
    )
)
menu.plug(
    MenuEntry(
        name="quarantine.animals",
        label="Animals",
        url_name="quarantine:animals",
        order=31,
        group=Group.ANIMALS,
    )
)
menu.plug(
    MenuEntry(
        name="quarantine.consignments",
        label="Consignments",
        url_name="quarantine:consignments",
        order=32,
        group=Group.ANIMALS,
    )
)
