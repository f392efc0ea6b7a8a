"""A release is refused with every hindrance of both waters, and signed when all are met.

The gate's own requirements are in ``test_admit_animals.py``; here the first animals of a proven
water come in through a release and a move.
"""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.admissions import MeaningMissing
from quarantine.commands.findings import log_finding
from quarantine.commands.moves import (
    ReleaseOfOther,
    ReleaseOvertaken,
    ReleaseTooOld,
    ReleaseUsedUp,
    move_animals,
)
from quarantine.commands.releases import FeedNegative, ReleaseRefused, release_lot
from quarantine.models import Admission, Lot, Release, Stocking
from quarantine.queries.books import held_by
from quarantine.queries.clocks import waiting_in
from quarantine.queries.judging import judged
from tanks.models import Vessel
from tanks.queries.waters import water_of
from tanks.sockets.stocking import stocked_since
from tests.cast import House
from tests.quarantine.dying import arrived, died, finding_of, looked
from tests.quarantine.ready import AT, ready
from tests.quarantine.staying import (
    DAY,
    HOUR,
    fit_again,
    held,
    move_of,
    ready_to_leave,
    release_of,
    released,
    tank_behind,
    waited,
)
from tests.tanks.proving import Proving


@pytest.fixture
def told(house: House) -> Proving:
    return ready(house)


@pytest.fixture
def tank(house: House) -> Vessel:
    return tank_behind(house, "Q-1")


def stopped(lot: Lot, tank: Vessel, told: Proving, *, feed: float = 3, count: int = 12) -> set[str]:
    found = judged(lot, tank, told.vessel, count=count, feed_g_per_day=feed, at=AT)
    return {one.code for one in found.requirements if one.state != "met"}


def test_both_ends_are_judged_together_and_everything_is_told_at_once(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = waited(house, tank, days=5, before=AT)
    died(house, lot, tank, at=AT - DAY)
    held(house, lot=lot, at=AT - DAY)

    with pytest.raises(ReleaseRefused) as refused:
        release_lot(
            release_of(lot, tank, told.vessel, feed_g_per_day=Decimal(9)), by=house.mo, at=AT
        )

    assert stopped(lot, tank, told, feed=9) == {
        *{"days", "deaths", "holds", "feeding", "signs"},
        *{"feed", "waters"},
    }
    assert len(refused.value.hindrances) == 7
    assert not Release.objects.exists()


def test_it_is_signed_when_all_is_met_and_opens_the_gate_of_the_first_animals(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    assert stopped(lot, tank, told) == set()

    release = released(house, lot, tank, told, at=AT)

    admission = Admission.objects.get()
    assert release.admission == admission
    assert {one["state"] for one in release.requirements} == {"met"}
    assert {one["code"] for one in admission.requirements} < {
        one["code"] for one in release.requirements
    }
    entry = Entry.objects.get(kind="quarantine.release-lot")
    assert (entry.about, entry.by) == (f"quarantine.lot:{lot.pk}", house.mo)
    assert first_breach(house.site) is None


def test_the_move_under_it_is_the_stocking_of_the_water(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    release = released(house, lot, tank, told, at=AT)
    command = move_of(lot, tank, told.vessel, at=AT + HOUR, count=12, release_id=release.pk)

    move = move_animals(command, by=house.ana, at=AT + HOUR)

    stocking = Stocking.objects.get()
    assert (move.stocking, stocking.count) == (stocking, 12)
    assert stocked_since([told.cycle.pk]) == {told.cycle.pk: AT + HOUR}
    assert held_by(lot, at=AT + 2 * HOUR) == {tank.pk: 8, told.vessel.pk: 12}
    (waiting,) = waiting_in(water_of(told.vessel, at=AT + DAY))
    assert waiting.stay.is_settled


def test_a_second_lot_is_held_against_the_ramp_and_those_within(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    release = released(house, lot, tank, told, at=AT)
    command = move_of(lot, tank, told.vessel, at=AT + HOUR, count=12, release_id=release.pk)
    move_animals(command, by=house.ana, at=AT + HOUR)

    found = judged(lot, tank, told.vessel, count=8, feed_g_per_day=9, at=AT + 2 * HOUR)

    assert found.gate is None
    assert {one.code for one in found.requirements if one.state != "met"} == {"feed"}


def test_delivered_twice_it_is_signed_once_and_only_by_the_one_who_did(
    house: House, told: Proving, tank: Vessel
) -> None:
    command = release_of(ready_to_leave(house, tank, at=AT), tank, told.vessel)
    first = release_lot(command, by=house.mo, at=AT)

    assert release_lot(command, by=house.mo, at=AT + 9 * DAY) == first
    with pytest.raises(IdTaken):
        release_lot(command, by=house.vera, at=AT)
    with pytest.raises(IdTaken):
        release_lot(replace(command, count=3), by=house.mo, at=AT)


def test_only_a_manager_or_a_veterinarian_signs(house: House, told: Proving, tank: Vessel) -> None:
    command = release_of(ready_to_leave(house, tank, at=AT), tank, told.vessel)

    refused = {house.ana: NotAllowed, house.hale: NotAllowed, house.bo: NotFound}
    for person, refusal in refused.items():
        with pytest.raises(refusal):
            release_lot(command, by=person, at=AT)
    for wrong, said in (
        (replace(command, meaning=" "), MeaningMissing),
        (replace(command, feed_g_per_day=Decimal(-1)), FeedNegative),
    ):
        with pytest.raises(said):
            release_lot(wrong, by=house.mo, at=AT)


def test_a_move_needs_its_own_release_still_good_and_not_used_up(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    release = released(house, lot, tank, told, at=AT)
    command = move_of(lot, tank, told.vessel, at=AT + HOUR, count=12, release_id=release.pk)

    other = tank_behind(house, "Q-7")
    for wrong, refusal in (
        (replace(command, to_vessel_id=other.pk), ReleaseOfOther),
        (replace(command, count=13), ReleaseUsedUp),
        (replace(command, happened_at=AT - HOUR), ReleaseTooOld),
        (replace(command, happened_at=AT + 30 * HOUR), ReleaseTooOld),
    ):
        with pytest.raises(refusal):
            move_animals(wrong, by=house.ana, at=AT + 30 * HOUR)


def test_what_enters_after_the_signature_overtakes_it(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    release = released(house, lot, tank, told, at=AT)
    arrived(house, tank, at=AT + timedelta(minutes=10), count=3)

    with pytest.raises(ReleaseOvertaken, match="their days begin anew"):
        move_animals(
            move_of(lot, tank, told.vessel, at=AT + HOUR, count=12, release_id=release.pk),
            by=house.ana,
            at=AT + HOUR,
        )


def test_signs_and_open_results_keep_them_in(house: House, told: Proving, tank: Vessel) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    looked(house, tank, at=AT - timedelta(minutes=20), signs=("SPOTS",))
    assert stopped(lot, tank, told) == {"signs"}

    _tested(house, lot, result="PENDING", positive=None)
    assert stopped(lot, tank, told) == {"signs", "results"}


def test_a_lot_that_still_waits_in_the_destination_keeps_others_out(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    arrived(house, told.vessel, at=AT - HOUR, count=2)

    assert "destination-clock" in stopped(lot, tank, told)


def test_the_gate_for_the_first_animals_stands_among_the_requirements(
    house: House, told: Proving, tank: Vessel
) -> None:
    lot = ready_to_leave(house, tank, at=AT)
    found = judged(lot, tank, told.vessel, count=12, feed_g_per_day=3, at=AT + 30 * HOUR)

    assert found.gate is not None
    assert "tan" in {one.code for one in found.into if one.state != "met"}
    fit_again(told, at=AT + 30 * HOUR)
    again = judged(lot, tank, told.vessel, count=12, feed_g_per_day=3, at=AT + 30 * HOUR)
    assert "tan" not in {one.code for one in again.into if one.state != "met"}


def _tested(house: House, lot: Lot, **changes: object) -> None:
    command = finding_of(at=AT - HOUR, lot_id=lot.pk, **changes)
    log_finding(command, by=house.ana, at=AT)
