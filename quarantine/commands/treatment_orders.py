"""A licensed veterinarian orders a treatment, and signs it."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import Refusal
from quarantine.models import Agent, TreatmentOrder
from quarantine.queries.agents import agent_at
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Vessel


class UnknownAgent(Refusal):
    code = "unknown-agent"
    field = "agent_code"


class LicenceMissing(Refusal):
    code = "licence-missing"
    field = "licence"


class ConditionMissing(Refusal):
    code = "condition-missing"
    field = "condition"


class SpeciesMissing(Refusal):
    code = "species-missing"
    field = "species"


class CountMissing(Refusal):
    code = "count-missing"
    field = "count"


class DosageUnsound(Refusal):
    code = "dosage-unsound"
    field = "high"


class OrderTooShort(Refusal):
    code = "order-too-short"
    field = "valid_until"


class MinutesMissing(Refusal):
    code = "minutes-missing"
    field = "minutes"


class MeaningMissing(Refusal):
    code = "meaning-missing"
    field = "meaning"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderTreatment:
    """``low`` to ``high`` is the dosage in the agent's unit, counted as the agent is.

    ``withdrawal_days`` is 0 where nothing is eaten; ``meaning`` is what the signature stands for.
    """

    id: UUID
    vessel_id: UUID
    agent_code: str
    licence: str
    condition: str
    species: str
    count: int
    low: Decimal
    high: Decimal
    duration_days: Decimal
    withdrawal_days: int
    valid_until: datetime
    meaning: str
    minutes: int | None = None


@transaction.atomic(durable=True)
def order_treatment(command: OrderTreatment, *, by: Person, at: datetime) -> TreatmentOrder:
    """Keep the order with everything a record of it must hold: 21 CFR 530.5.

    Raises:
        NotFound, NotAllowed, IdTaken, VesselRetired, UnknownAgent, LicenceMissing,
        ConditionMissing, SpeciesMissing, CountMissing, DosageUnsound, MinutesMissing,
        OrderTooShort, MeaningMissing
    """
    vessel = vessel_for(by, command.vessel_id, deed="quarantine.order-treatment")
    columns = _columns(command)
    if order := earlier(TreatmentOrder, command.id, columns):
        return order
    require_in_use(vessel, at=at)
    agent = agent_at(vessel.site, command.agent_code, at=at)
    if agent is None:
        raise UnknownAgent("Choose an agent this site uses; a manager adopts them.")
    _require_words(columns)
    _require_dosage(command, agent, at=at)
    order = TreatmentOrder.objects.create(
        **columns, site=vessel.site, agent=agent, happened_at=at, recorded_at=at, by=by
    )
    _record(order, vessel, by=by, at=at)
    return order


_STEP: Final = Decimal("0.0001")
_TENTH: Final = Decimal("0.1")
_WORDS: Final = ("licence", "condition", "species", "meaning")
_MISSING: Final[dict[str, tuple[type[Refusal], str]]] = {
    "licence": (LicenceMissing, "Write your licence or registration number."),
    "condition": (ConditionMissing, "Write the condition that is treated."),
    "species": (SpeciesMissing, "Write the species that are treated."),
    "meaning": (MeaningMissing, "Write what your signature stands for."),
}


def _columns(command: OrderTreatment) -> dict[str, Any]:
    columns = asdict(command)
    del columns["agent_code"]
    for name in _WORDS:
        columns[name] = columns[name].strip()
    for name in ("low", "high"):
        columns[name] = columns[name].quantize(_STEP)
    columns["duration_days"] = command.duration_days.quantize(_TENTH)
    return columns


def _require_words(columns: dict[str, Any]) -> None:
    for name, (refusal, sentence) in _MISSING.items():
        if not columns[name]:
            raise refusal(sentence)


def _require_dosage(command: OrderTreatment, agent: Agent, *, at: datetime) -> None:
    if command.count < 1:
        raise CountMissing("Write how many animals are treated, 1 or more.")
    if not 0 < command.low <= command.high or command.duration_days <= 0:
        raise DosageUnsound(f"Give the dosage in {agent.unit}, the lower figure first, and days.")
    if agent.is_bath and not command.minutes:
        raise MinutesMissing("Write how many minutes a bath lasts.")
    if command.valid_until <= at:
        raise OrderTooShort("The order must hold beyond now; give a later time.")


def _record(order: TreatmentOrder, vessel: Vessel, *, by: Person, at: datetime) -> None:
    ledger.record(
        "quarantine.order-treatment",
        [order],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
