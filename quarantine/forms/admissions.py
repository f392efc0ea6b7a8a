from typing import Any

from django.forms import CharField, IntegerField
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, WallClockField
from facility.forms.signing import SigningSheet
from quarantine.commands.admissions import AdmitAnimals, RecordStocking
from quarantine.models import Admission
from tanks.models import Vessel

MEANING = "I have read every requirement on this page and admit animals to this water."


class AdmissionSheet(SigningSheet):
    problem_title = "The gate stays shut"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"initial": {"meaning": MEANING}} | options)

    def command(self, vessel: Vessel) -> AdmitAnimals:
        given = self.cleaned_data
        return AdmitAnimals(id=given["id"], vessel_id=vessel.pk, meaning=given["meaning"])


class StockingSheet(CommandSheet):
    count = IntegerField(
        label="How many animals",
        min_value=1,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages={"invalid": "Write a whole number, such as 12."},
    )
    what = CharField(label="What", max_length=200, help_text="Species, size, supplier.")
    happened_at = WallClockField(label="When they entered", initial=timezone.now)

    def command(self, admission: Admission) -> RecordStocking:
        given = self.cleaned_data
        opened_at = admission.happened_at
        # The sheet's clock tells minutes: the minute of the signature is not before it.
        if given["happened_at"] == opened_at.replace(second=0, microsecond=0):
            given = given | {"happened_at": opened_at}
        return RecordStocking(admission_id=admission.pk, **given)
