"""What entered is kept only under a fresh admission; the first entry ends the start-up's wait."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from quarantine.commands.admissions import (
    AdmissionTooOld,
    BeforeAdmission,
    CountMissing,
    WhatMissing,
    record_stocking,
)
from quarantine.models import Stocking
from quarantine.queries.gate import gate_of
from tanks.models import Cycle
from tanks.queries.acts import holds_animals
from tanks.queries.waters import water_of
from tanks.sockets.stocking import stocked_since
from tests.cast import House
from tests.quarantine.ready import AT, admitted, entry_of, ready, stocked
from tests.tanks.proving import DAY, HOUR


def test_it_keeps_what_entered_and_tells_the_tanks_since_when(house: House) -> None:
    told = ready(house)

    stocking = stocked(told)

    assert (stocking.count, stocking.what, stocking.by) == (12, "Banded rasbora, 3 cm", house.ana)
    assert stocked_since([told.cycle.pk]) == {told.cycle.pk: stocking.happened_at}
    water = water_of(told.vessel, at=stocking.happened_at)
    assert holds_animals(water)
    assert not holds_animals(water_of(told.vessel, at=stocking.happened_at - HOUR))
    assert Entry.objects.get(kind="quarantine.record-stocking").about == (
        f"tanks.cycle:{told.cycle.pk}"
    )
    assert first_breach(house.site) is None


def test_once_animals_are_in_the_gate_for_the_first_is_shut(house: House) -> None:
    told = ready(house)
    stocking = stocked(told)

    gate = gate_of(told.vessel, at=stocking.happened_at + HOUR)

    assert not gate.opens
    assert "Animals have been in this water since 31 Mar 2026" in gate.known.stocked


def test_delivered_twice_it_is_recorded_once(house: House) -> None:
    command = entry_of(admitted(ready(house)))

    for at in (command.happened_at, command.happened_at + HOUR):
        record_stocking(command, by=house.ana, at=at)

    assert Stocking.objects.count() == 1


def test_an_admission_lasts_as_long_as_its_readings_are_fresh(house: House) -> None:
    admission = admitted(ready(house))

    for moment, refusal in (
        (AT - timedelta(minutes=1), BeforeAdmission),
        (AT + DAY + timedelta(minutes=1), AdmissionTooOld),
    ):
        with pytest.raises(refusal, match="gate"):
            record_stocking(entry_of(admission, at=moment), by=house.ana, at=AT + 3 * DAY)
    record_stocking(entry_of(admission, at=AT + DAY), by=house.ana, at=AT + 3 * DAY)


def test_what_cannot_be_is_refused(house: House) -> None:
    command = entry_of(admitted(ready(house)))

    for wrong, refusal in (
        (replace(command, count=0), CountMissing),
        (replace(command, what=" "), WhatMissing),
        (replace(command, happened_at=AT + 9 * HOUR), InTheFuture),
    ):
        with pytest.raises(refusal):
            record_stocking(wrong, by=house.ana, at=command.happened_at)
    for person, no in ((house.hale, NotAllowed), (house.vera, NotAllowed), (house.bo, NotFound)):
        with pytest.raises(no):
            record_stocking(command, by=person, at=command.happened_at)
    assert not Stocking.objects.exists()


def test_from_the_page_the_start_up_ends_as_stocked(
    client: Client, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = ready(house)
    command = entry_of(admitted(told))
    monkeypatch.setattr(timezone, "now", lambda: command.happened_at + timedelta(minutes=5))
    client.force_login(house.ana)
    url = f"/admissions/{command.admission_id}/stocking/"

    refused = client.post(url, {"id": command.id, "count": "", "what": "Rasbora"})
    entered = client.post(
        url,
        {
            "id": command.id,
            "count": "12",
            "what": "Rasbora",
            # 19:00 UTC on a wall in Lisbon in summer.
            "happened_at": "2026-03-31T20:00",
        },
    )

    assert (refused.status_code, "Rasbora" in refused.content.decode()) == (422, True)
    assert (entered.status_code, entered["Location"]) == (303, f"/waters/{told.vessel.pk}/gate/")
    cycle = Cycle.objects.get(pk=told.cycle.pk)
    assert (cycle.outcome, cycle.ended_at) == ("STOCKED", command.happened_at)
