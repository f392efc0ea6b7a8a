"""Results of tests: of a lot or a tank, awaited or in, and never without numbers."""

from datetime import timedelta
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from quarantine.commands import findings
from quarantine.commands.findings import log_finding
from quarantine.models import Finding, Lot
from tanks.commands.entering import CorrectedBefore
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, finding_of
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house, code="Q-01")


@pytest.fixture
def lot(house: House, tank: Vessel) -> Lot:
    return arrived(house, tank)


def test_a_result_is_kept_with_how_many_were_sampled(house: House, lot: Lot, tank: Vessel) -> None:
    command = finding_of(lot_id=lot.pk, vessel_id=tank.pk, positive=2, result="POSITIVE")
    row = log_finding(command, by=house.ana, at=NOON)

    assert (row.lot, row.vessel, row.sampled, row.positive) == (lot, tank, 30, 2)
    assert log_finding(command, by=house.ana, at=NOON + HOUR) == row
    assert Entry.objects.latest("pk").about == f"tanks.vessel:{tank.pk}"
    assert first_breach(house.site) is None


def test_a_result_that_comes_in_stands_for_the_sample_that_waited(house: House, lot: Lot) -> None:
    waiting = log_finding(
        finding_of(lot_id=lot.pk, result="PENDING", positive=None), by=house.ana, at=NOON
    )
    answer = finding_of(lot_id=lot.pk, answers_id=waiting.pk)
    log_finding(answer, by=house.ana, at=NOON + HOUR)

    assert [row.result for row in Finding.objects.current()] == ["NEGATIVE"]
    with pytest.raises(CorrectedBefore):
        log_finding(finding_of(lot_id=lot.pk, answers_id=waiting.pk), by=house.ana, at=NOON)


def test_what_cannot_be_is_refused(house: House, lot: Lot, tank: Vessel) -> None:
    done = log_finding(finding_of(lot_id=lot.pk), by=house.ana, at=NOON)
    for changes, refusal in (
        ({"lot_id": None}, findings.SubjectMissing),
        ({"agent": " "}, findings.AgentMissing),
        ({"method": ""}, findings.MethodMissing),
        ({"sampled": 0}, findings.SampledMissing),
        ({"positive": 31, "result": "POSITIVE"}, findings.PositivesWrong),
        ({"positive": 1}, findings.PositivesWrong),
        ({"positive": 0, "result": "POSITIVE"}, findings.PositivesWrong),
        ({"positive": 0, "result": "PENDING"}, findings.PositivesWrong),
        ({"result": "FREE"}, findings.ResultUnsaid),
        ({"answers_id": done.pk}, findings.OtherSample),
        ({"answers_id": done.pk, "vessel_id": tank.pk}, findings.OtherSample),
        ({"lot_id": uuid4()}, NotFound),
    ):
        with pytest.raises(refusal):
            log_finding(finding_of(**({"lot_id": lot.pk} | changes)), by=house.ana, at=NOON)
    assert Finding.objects.count() == 1


def test_stranger_and_auditor_keep_no_result(house: House, lot: Lot) -> None:
    with pytest.raises(NotFound):
        log_finding(finding_of(lot_id=lot.pk), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_finding(finding_of(lot_id=lot.pk), by=house.hale, at=NOON)
