"""A start-up brought, command by command, to where the gate opens: 400 L of fresh water.

Ana reads and doses, Mo judges, Vera signs for the passes.
"""

from datetime import datetime, timedelta
from typing import Final
from uuid import uuid4

from facility.models import Person
from quarantine.commands.admissions import (
    AdmitAnimals,
    RecordStocking,
    admit_animals,
    record_stocking,
)
from quarantine.models import Admission, Stocking
from tests.cast import NOON, House
from tests.tanks.proving import HOUR, Proving, proving

MEANING: Final = "I have read every requirement and admit animals."
SIGNED: Final = NOON + 50 * HOUR
READ: Final = SIGNED + HOUR
AT: Final = SIGNED + 2 * HOUR

FIT: Final = {
    "TAN": "<0.1",
    "NITRITE": "<0.05",
    "CHLORINE": "<0.01",
    "PH": "7.6",
    "TEMPERATURE": "25.2",
    "OXYGEN": "7.9",
    "ALKALINITY": "2.4",
}


def ready(house: House, *, without: str = "", at: datetime = READ) -> Proving:
    """Everything the gate asks for, less the reading of one parameter."""
    told = proving(house)
    told.certified(at=NOON + HOUR)
    for parameter, text in FIT.items():
        if parameter != without:
            told.read(parameter, text, at=at)
    return told


def admission_of(told: Proving) -> AdmitAnimals:
    return AdmitAnimals(id=uuid4(), vessel_id=told.vessel.pk, meaning=MEANING)


def admitted(told: Proving, *, by: Person | None = None, at: datetime = AT) -> Admission:
    return admit_animals(admission_of(told), by=by or told.house.mo, at=at)


def entry_of(admission: Admission, *, at: datetime = AT + timedelta(hours=3)) -> RecordStocking:
    return RecordStocking(
        id=uuid4(),
        admission_id=admission.pk,
        count=12,
        what="Banded rasbora, 3 cm",
        happened_at=at,
    )


def stocked(told: Proving) -> Stocking:
    command = entry_of(admitted(told))
    return record_stocking(command, by=told.house.ana, at=command.happened_at)
