"""The code on a lot's label: made once, printed as often as it takes."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.models import Person
from facility.refusals import Refusal
from facility.rules import codes
from quarantine.commands.books import lot_for
from quarantine.commands.lots import record_lot
from quarantine.models import LotLabel
from tanks.models import Label
from tanks.sockets.labels import labelled


class LotLabelUnfit(Refusal):
    code = "lot-label-unfit"
    field = "code"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelLot:
    """``code`` is one of `facility.rules.codes`, made where the moment is."""

    lot_id: UUID
    code: str


@transaction.atomic(durable=True)
def label_lot(command: LabelLot, *, by: Person, at: datetime) -> LotLabel:
    """Give the lot its label; one that has a label keeps it.

    Raises:
        NotFound, NotAllowed, LotLabelUnfit
    """
    lot = lot_for(by, command.lot_id, deed="quarantine.label-lot")
    label: LotLabel | None = LotLabel.objects.filter(lot=lot, retired_at=None).first()
    if label is not None:
        return label
    if not codes.check(command.code):
        raise LotLabelUnfit("This is no label code of ours: make a new one.")
    if Label.objects.filter(pk=command.code).exists() or labelled(command.code):
        raise LotLabelUnfit("This code was used before: make a new one.")
    label = LotLabel.objects.create(code=command.code, lot=lot, made_at=at)
    record_lot("quarantine.label-lot", lot, [label], when=at, by=by, at=at)
    return label
