"""Say how a parameter is measured here."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import Refusal
from tanks.commands.finding import site_for
from tanks.models import Method
from tanks.rules.values import PARAMETERS, UnknownUnit, measure_of, measures

# Methods that need no describing, named for what they are.
GENERIC: Final = {
    "colour kit": Method.Kind.COLOUR_KIT,
    "photometer": Method.Kind.PHOTOMETER,
    "probe": Method.Kind.PROBE,
    "titration": Method.Kind.TITRATION,
}


class MethodNameTaken(Refusal):
    code = "method-name-taken"
    field = "name"


class NoSuchMethod(Refusal):
    code = "no-such-method"
    field = "kind"


class NoSuchUnit(Refusal):
    code = "unknown-unit"
    field = "unit"


class StepsOutOfOrder(Refusal):
    code = "steps-out-of-order"
    field = "steps"


class RangeUpsideDown(Refusal):
    code = "range-upside-down"
    field = "lowest"


@dataclass(frozen=True, slots=True, kw_only=True)
class DefineMethod:
    """``steps`` are a colour kit's, lowest first; ``lowest`` and ``highest`` what it can tell.

    All in ``unit`` on ``basis``. Without ``highest`` a kit reads up to its last step.
    """

    id: UUID
    site_id: UUID
    name: str
    kind: str
    parameter: str
    unit: str
    basis: str = ""
    steps: tuple[Decimal, ...] = ()
    lowest: Decimal | None = None
    highest: Decimal | None = None


@transaction.atomic(durable=True)
def define_method(command: DefineMethod, *, by: Person, at: datetime) -> Method:
    """Add a method to the site.

    Raises:
        NotFound, NotAllowed, IdTaken, MethodNameTaken, NoSuchMethod, NoSuchUnit,
        StepsOutOfOrder, RangeUpsideDown
    """
    site = site_for(by, command.site_id, deed="tanks.define-method")
    if method := earlier(Method, command.id, _columns(command)):
        return method
    _require_sense(command)
    _require_steps(command)
    same = Method.objects.filter(site=site, parameter=command.parameter, name=command.name)
    if same.exists():
        raise MethodNameTaken(f"{site.name} already has a method named {command.name} for this.")
    method = Method.objects.create(id=command.id, **_columns(command))
    ledger.record(
        "tanks.define-method",
        [method],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return method


def generic(site: Site, parameter: str, name: str) -> DefineMethod:
    """The command that adds a method of this plain name; the same one every time."""
    usual = measures(parameter)[0]
    return DefineMethod(
        id=uuid5(site.pk, f"method:{parameter}:{name}"),
        site_id=site.pk,
        name=name,
        kind=GENERIC[name],
        parameter=parameter,
        unit=usual.unit,
        basis=usual.basis,
    )


def _columns(command: DefineMethod) -> dict[str, Any]:
    steps = list(command.steps)
    highest = command.highest if command.highest is not None or not steps else steps[-1]
    return {
        "site_id": command.site_id,
        "name": command.name,
        "kind": command.kind,
        "parameter": command.parameter,
        "unit": command.unit,
        "basis": command.basis,
        "steps": steps,
        "lowest": command.lowest,
        "highest": highest,
    }


def _require_sense(command: DefineMethod) -> None:
    if command.kind not in Method.Kind.values or command.parameter not in PARAMETERS:
        raise NoSuchMethod("Choose colour kit, photometer, probe or titration, and a parameter.")
    try:
        measure_of(command.parameter, command.unit, command.basis)
    except UnknownUnit as error:
        raise NoSuchUnit(str(error)) from error


def _require_steps(command: DefineMethod) -> None:
    if command.steps and command.kind != Method.Kind.COLOUR_KIT:
        raise StepsOutOfOrder("Only a colour kit has steps; leave them out.")
    if any(low >= high for low, high in pairwise(command.steps)):
        raise StepsOutOfOrder("Write the steps of the kit from low to high, each once.")
    highest = _columns(command)["highest"]
    if command.lowest is not None and highest is not None and command.lowest >= highest:
        raise RangeUpsideDown("The lowest value it can tell must be below the highest.")
