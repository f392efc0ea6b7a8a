"""Box by box: what was in it, whose lot it is, and the book that closes over it."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.arrivals import (
    BoxTaken,
    BoxUnnumbered,
    CountOffScale,
    OtherLot,
    SampleUnreadable,
    TankMissing,
    ValueRead,
    receive_box,
)
from quarantine.commands.books import CountsDoNotClose
from quarantine.commands.box_corrections import (
    BoxReasonMissing,
    CorrectBox,
    CorrectedSince,
    correct_box,
)
from quarantine.commands.consignments import (
    CloseConsignment,
    ConsignmentClosed,
    close_consignment,
)
from quarantine.commands.sales import sell_animals
from quarantine.models import Box, CountChange, Lot
from quarantine.queries.books import book, held_by
from tanks.commands.finding import VesselRetired
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.arriving import (
    BARB,
    box_of,
    consignment_of,
    protocol_of,
    received,
    sale_of,
    species_of,
)
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def test_the_living_are_in_the_tank_and_the_dead_in_no_tank(house: House, tank: Vessel) -> None:
    box = received(house, box_of(consignment_of(house), species_of(house), tank))

    assert box.lot is not None
    told = book(box.lot)
    assert (told.arrived, told.dead_on_arrival, told.remaining, told.closes) == (48, 2, 48, True)
    assert held_by(box.lot, at=NOON) == {tank.pk: 48}
    assert (box.lot.code, box.lot.supplier, box.lot.made) == (
        "L-0001",
        box.consignment.supplier,
        "ARRIVED",
    )
    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == (
        "quarantine.receive-box",
        f"quarantine.consignment:{box.consignment_id}",
    )
    assert first_breach(house.site) is None


def test_boxes_of_one_species_join_one_lot_and_others_make_their_own(
    house: House, tank: Vessel
) -> None:
    consignment, neon, barb = consignment_of(house), species_of(house), species_of(house, BARB)
    first = received(house, box_of(consignment, neon, tank, number="1"))
    second = received(house, box_of(consignment, neon, vessel_of(house, code="A-02"), number="2"))
    other = received(house, box_of(consignment, barb, tank, number="3"))
    apart = received(house, box_of(consignment, neon, tank, number="4", is_new_lot=True))
    chosen = received(house, box_of(consignment, neon, tank, number="5", lot_id=first.lot_id))

    assert first.lot == second.lot == chosen.lot
    assert first.lot is not None
    assert {other.lot, apart.lot}.isdisjoint({first.lot})
    assert book(first.lot).remaining == 3 * 48
    assert Lot.objects.count() == 3


def test_the_day_of_another_consignment_is_another_lot(house: House, tank: Vessel) -> None:
    boxes = [
        received(house, box_of(consignment_of(house, reference=name), species_of(house), tank))
        for name in ("WB-1", "WB-2")
    ]

    assert boxes[0].lot != boxes[1].lot


def test_an_empty_box_is_kept_and_makes_no_lot(house: House) -> None:
    command = box_of(
        consignment_of(house), species_of(house), None, alive=0, dead_on_arrival=0, weak=0
    )
    box = received(house, command)

    assert (box.lot, box.invoiced) == (None, 50)
    assert not Lot.objects.exists()


def test_all_dead_need_no_tank_and_count_for_the_lot(house: House) -> None:
    command = box_of(
        consignment_of(house), species_of(house), None, alive=0, dead_on_arrival=50, weak=0
    )
    lot = received(house, command).lot

    assert lot is not None
    assert (book(lot).dead_on_arrival, book(lot).remaining) == (50, 0)


def test_water_of_the_bag_protocol_and_photos_are_kept_as_entered(
    house: House, tank: Vessel
) -> None:
    sample = (
        ValueRead(parameter="TAN", text="<0.5", unit="mg/L", basis="NH4"),
        ValueRead(parameter="PH", text="6,4", unit="pH", basis="NBS"),
    )
    photo, protocol = uuid4(), protocol_of(house)
    command = box_of(
        consignment_of(house),
        species_of(house),
        tank,
        sample=sample,
        photos=(photo,),
        protocol_id=protocol.pk,
    )
    box = received(house, command)

    box.refresh_from_db()
    assert box.sample[0] == {"parameter": "TAN", "text": "<0.5", "unit": "mg/L", "basis": "NH4"}
    assert (box.photos, box.protocol) == ([photo], protocol)


def test_delivered_twice_it_is_opened_once(house: House, tank: Vessel) -> None:
    command = box_of(consignment_of(house), species_of(house), tank)
    first = received(house, command)

    assert receive_box(command, by=house.ana, at=NOON + HOUR) == first
    with pytest.raises(IdTaken):
        received(house, replace(command, alive=47))
    assert CountChange.objects.count() == 2


def test_two_people_do_not_open_one_box_twice(house: House, tank: Vessel) -> None:
    command = box_of(consignment_of(house), species_of(house), tank, number="7")
    received(house, command)

    with pytest.raises(BoxTaken, match="Ana Quill opened box 7"):
        receive_box(replace(command, id=uuid4()), by=house.mo, at=NOON)
    receive_box(replace(command, id=uuid4(), bag="B"), by=house.mo, at=NOON)
    assert Box.objects.count() == 2


def test_what_cannot_have_been_in_a_box_is_refused(house: House, tank: Vessel) -> None:
    consignment = consignment_of(house)
    good = box_of(consignment, species_of(house), tank)
    elsewhere = received(
        house, box_of(consignment_of(house, reference="X"), species_of(house), tank)
    )
    unread = ValueRead(parameter="TAN", text="much", unit="mg/L", basis="N")
    for command, refusal in (
        (replace(good, number=" "), BoxUnnumbered),
        (replace(good, alive=-1), CountOffScale),
        (replace(good, weak=49), CountOffScale),
        (replace(good, vessel_id=None), TankMissing),
        (replace(good, vessel_id=uuid4()), NotFound),
        (replace(good, species_id=uuid4()), NotFound),
        (replace(good, protocol_id=uuid4()), NotFound),
        (replace(good, consignment_id=uuid4()), NotFound),
        (replace(good, lot_id=elsewhere.lot_id), OtherLot),
        (replace(good, sample=(unread,)), SampleUnreadable),
        (replace(good, happened_at=NOON + HOUR), InTheFuture),
    ):
        with pytest.raises(refusal):
            receive_box(command, by=house.ana, at=NOON)
    with pytest.raises(NotAllowed):
        receive_box(good, by=house.hale, at=NOON)
    assert Box.objects.count() == 1


def test_what_waited_on_a_phone_counts_though_the_consignment_was_closed_since(
    house: House, tank: Vessel
) -> None:
    consignment = consignment_of(house)
    close_consignment(CloseConsignment(consignment_id=consignment.pk), by=house.mo, at=NOON + HOUR)
    late = box_of(consignment, species_of(house), tank, at=NOON)

    receive_box(late, by=house.ana, at=NOON + 2 * HOUR)
    with pytest.raises(ConsignmentClosed):
        received(house, box_of(consignment, species_of(house), tank, number="2", at=NOON + HOUR))


def test_no_box_goes_into_a_retired_tank(house: House, tank: Vessel) -> None:
    retire_vessel(
        RetireVessel(vessel_id=tank.pk, happened_at=NOON + HOUR), by=house.mo, at=NOON + HOUR
    )

    with pytest.raises(VesselRetired):
        received(house, box_of(consignment_of(house), species_of(house), tank, at=NOON + HOUR))


def correction_of(box: Box, **told: int) -> CorrectBox:
    counts = {"invoiced": 50, "alive": 48, "dead_on_arrival": 2, "weak": 1}
    return CorrectBox(id=uuid4(), box_id=box.pk, reason="Counted again", **{**counts, **told})


def test_a_corrected_box_moves_the_book_and_keeps_the_first_count(
    house: House, tank: Vessel
) -> None:
    box = received(house, box_of(consignment_of(house), species_of(house), tank))
    assert box.lot is not None
    second = correct_box(correction_of(box, alive=45, dead_on_arrival=5), by=house.ana, at=NOON)
    told = book(box.lot)
    assert (told.arrived, told.dead_on_arrival, told.remaining) == (45, 5, 45)

    third = correct_box(correction_of(second, alive=50, dead_on_arrival=0), by=house.ana, at=NOON)
    told = book(box.lot)

    assert (told.arrived, told.dead_on_arrival, told.remaining, told.closes) == (50, 0, 50, True)
    assert Box.objects.current().get() == third
    assert Box.objects.count() == 3
    assert first_breach(house.site) is None


def test_a_corrected_box_closes_too_or_is_refused(house: House, tank: Vessel) -> None:
    box = received(house, box_of(consignment_of(house), species_of(house), tank))
    assert box.lot is not None
    sell_animals(sale_of(box.lot, tank, count=40), by=house.ana, at=NOON)

    with pytest.raises(CountsDoNotClose):
        correct_box(correction_of(box, alive=39), by=house.ana, at=NOON)
    with pytest.raises(BoxReasonMissing):
        correct_box(replace(correction_of(box), reason=" "), by=house.ana, at=NOON)
    correct_box(correction_of(box, alive=40), by=house.ana, at=NOON)
    with pytest.raises(CorrectedSince):
        correct_box(correction_of(box, alive=41), by=house.ana, at=NOON)
    assert book(box.lot).remaining == 0


def test_database_keeps_no_box_with_more_weak_than_alive(house: House, tank: Vessel) -> None:
    box = received(house, box_of(consignment_of(house), species_of(house), tank))
    for name, wrong in (
        ("weak_are_alive", {"weak": 60}),
        ("alive_in_a_vessel", {"vessel": None}),
        ("animals_in_a_lot", {"lot": None}),
        ("box_number", {"number": ""}),
        ("box_once", {}),
    ):
        copy = Box.objects.get(pk=box.pk)
        copy.pk, copy._state.adding = uuid4(), True
        for field, value in wrong.items():
            setattr(copy, field, value)
        with pytest.raises(IntegrityError, match=name), transaction.atomic():
            copy.save(force_insert=True)
