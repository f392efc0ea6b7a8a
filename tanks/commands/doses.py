"""Put a product into a water: the amount follows from the water, and is asked back."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from chemistry.dilution import Unreachable
from chemistry.domain import OutOfRange
from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from facility.rules.wording import day_and_time, written
from tanks.commands.allowing import require_no_animals, require_under_cap
from tanks.commands.confirming import AskedOnce, ask
from tanks.commands.finding import require_in_use, vessel_for
from tanks.commands.guarding import DoseStopped as DoseStopped
from tanks.commands.guarding import VolumeChanged as VolumeChanged
from tanks.commands.guarding import require_seen, require_unstopped
from tanks.commands.litres import net_litres, water_then
from tanks.commands.products import WrongSubstance, product_for
from tanks.models import Dose, Product, Vessel
from tanks.queries.dosing import dosed_close_by, start_of
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.dosing import (
    AIMS,
    Amount,
    Contents,
    Start,
    amount,
    canonical_rise,
    implied,
    is_far,
    same_effect,
    serves,
)
from tanks.sockets.guarding import ShelfDose


class UnknownPurpose(Refusal):
    code = "unknown-purpose"
    field = "purpose"


class WrongTargetUnit(Refusal):
    code = "wrong-target-unit"
    field = "target_unit"


class TargetOffScale(Refusal):
    code = "target-off-scale"
    field = "target"


class TooLittle(Refusal):
    code = "too-little-to-measure"
    field = "product_id"


class AmountNotPositive(Refusal):
    code = "amount-not-positive"
    field = "amount"


class AmountFarFromComputed(AskedOnce):
    code = "amount-far-from-computed"
    field = "amount"


class DosedAlready(AskedOnce):
    code = "dosed-already"
    field = "purpose"


class SalinityUnread(Refusal):
    code = "salinity-unread"
    field = "purpose"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogDose:
    """``amount`` is what was measured out, in g of a solid or mL of a solution.

    ``target`` in ``target_unit`` is what was aimed at: the rise, or the chlorine to take up.
    ``confirmed`` holds the codes of questions the person has answered with yes;
    ``seen_litres`` is the net volume the sheet was opened with.
    """

    id: UUID
    vessel_id: UUID
    product_id: UUID
    purpose: str
    target: Decimal
    target_unit: str
    amount: Decimal
    happened_at: datetime
    confirmed: frozenset[str] = frozenset()
    seen_litres: Decimal | None = None


@transaction.atomic(durable=True)
def log_dose(command: LogDose, *, by: Person, at: datetime) -> Dose:
    """Keep what was put in, with the amount computed for the water of that moment beside it.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        ProductRetired, ProductExpired, UnknownPurpose, WrongSubstance, WrongTargetUnit,
        TargetOffScale, TooLittle, SalinityUnread, AmountNotPositive, WaterStocked,
        PolicyMissing, TanUnread, TanOverCap, VolumeChanged, DoseStopped,
        DosedAlready, AmountFarFromComputed
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.log-dose")
    columns = _columns(command)
    if dose := earlier(Dose, command.id, columns):
        return dose
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    water = water_then(vessel, at=command.happened_at)
    litres = net_litres(water)
    product = product_for(vessel.site, command.product_id, at=command.happened_at)
    found = computed(command, product=product, water=water)
    require_seen(command.seen_litres, water)
    _require_allowed(command, water, found)
    require_unstopped(_as_guarded(command, product, water, found))
    _ask(command, water, found)
    dose = Dose.objects.create(
        **columns,
        computed_amount=Decimal(repr(found.exact)).quantize(_MILLIS),
        unit=found.unit,
        water_litres=litres,
        recorded_at=at,
        by=by,
    )
    _record(dose, vessel, command, by=by, at=at)
    return dose


def computed(command: LogDose, *, product: Product, water: Water) -> Amount:
    """Return how much of the product the target takes in this water.

    Raises:
        UnknownPurpose, WrongSubstance, WrongTargetUnit, VolumeUnknown, SalinityUnread,
        TargetOffScale, TooLittle
    """
    rise = _rise(command, product)
    start = _start(water) if command.purpose == Dose.Purpose.SALINITY else None
    litres = float(net_litres(water))
    try:
        found = amount(contents=contents(product), rise=rise, volume_l=litres, start=start)
    except (OutOfRange, Unreachable) as error:
        raise TargetOffScale(str(error)) from error
    if found.exact < _LEAST:
        raise TooLittle(
            f"The water takes only {written(found.exact)} {found.unit} of it: "
            "too little to measure; make a weaker stock solution and put it on the shelf."
        )
    return found


def contents(product: Product) -> Contents:
    return Contents(
        substance=product.substance, form=product.form, strength=float(product.strength)
    )


_MILLIS: Final = Decimal("0.001")
_TARGET_STEP: Final = Decimal("0.0001")
_LEAST: Final = 0.01


def _columns(command: LogDose) -> dict[str, Any]:
    """Numbers as their columns hold them, so that a second delivery says the same."""
    columns = asdict(command)
    del columns["confirmed"], columns["seen_litres"]
    columns["target"] = command.target.quantize(_TARGET_STEP)
    columns["amount"] = command.amount.quantize(_MILLIS)
    return columns


def _rise(command: LogDose, product: Product) -> float:
    aim = AIMS.get(command.purpose)
    if aim is None:
        raise UnknownPurpose("Choose what the dose is for.")
    if not serves(product.substance, command.purpose):
        holds = product.get_substance_display()
        raise WrongSubstance(f"{product} holds {holds}, which does not move {aim.moves}.")
    if command.target_unit not in aim.units:
        raise WrongTargetUnit(f"Give the target in {' or '.join(aim.units)}.")
    if command.target <= 0:
        raise TargetOffScale("Give a target above 0.")
    return canonical_rise(
        purpose=command.purpose, target=float(command.target), unit=command.target_unit
    )


def _start(water: Water) -> Start:
    start = start_of(latest_in(water))
    if start is None:
        raise SalinityUnread(
            "How much salt it takes depends on what is in the water: "
            "read salinity and temperature first."
        )
    return start


def _require_allowed(command: LogDose, water: Water, found: Amount) -> None:
    if command.amount.quantize(_MILLIS) <= 0:
        raise AmountNotPositive(f"Write the {found.unit} you measured out, more than 0.")
    dose_mg_l_n = implied(
        measured=float(command.amount), exact=found.exact, target=float(command.target)
    )
    require_no_animals(command.purpose, water)
    if command.purpose in same_effect(Dose.Purpose.AMMONIA):
        require_under_cap(water, dose_mg_l_n=dose_mg_l_n)


def _as_guarded(command: LogDose, product: Product, water: Water, found: Amount) -> ShelfDose:
    return ShelfDose(
        substance=product.substance,
        purpose=command.purpose,
        amount=float(command.amount),
        computed=found.exact,
        unit=found.unit,
        member_ids=water.member_ids,
        at=water.at,
    )


def _ask(command: LogDose, water: Water, found: Amount) -> None:
    near = dosed_close_by(water, purpose=command.purpose)
    if near is not None:
        ask(DosedAlready(_told(near, water)), confirmed=command.confirmed)
    measured = float(command.amount)
    if is_far(measured=measured, exact=found.exact):
        question = AmountFarFromComputed(
            f"You measured out {written(command.amount)} {found.unit}; computed was "
            f"{written(found.rounded)} {found.unit}, {measured / found.exact:.2g} times as much. "
            "Is that what went in?"
        )
        ask(question, confirmed=command.confirmed)


def _told(near: Dose, water: Water) -> str:
    moment = day_and_time(near.happened_at, zone=water.anchor.site.zone)
    return (
        f"{near.by.full_name} put {written(near.amount)} {near.unit} of {near.product} into this "
        f"water on {moment}. Is this another dose?"
    )


def _record(dose: Dose, vessel: Vessel, command: LogDose, *, by: Person, at: datetime) -> None:
    ledger.record(
        "tanks.log-dose",
        [dose],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=dose.happened_at,
        recorded_at=at,
        confirmed=sorted(command.confirmed),
    )
