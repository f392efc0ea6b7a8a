"""What logging and correcting share: an entry is judged by its method and becomes a row."""

from collections.abc import Mapping
from typing import Any, Final, Protocol
from uuid import UUID

from facility.refusals import Refusal
from tanks.models import Method, Reading, Vessel
from tanks.rules.plausibility import Fault, Measured, Reach, judged
from tanks.rules.values import PARAMETERS


class ReadingRefused(Refusal):
    """One of the readings cannot be kept; ``reading_id`` and ``parameter`` say which."""

    field = "readings"

    def __init__(self, sentence: str, *, reading_id: UUID, parameter: str) -> None:
        super().__init__(sentence)
        self.reading_id = reading_id
        self.parameter = parameter


class UnreadableValue(ReadingRefused):
    code = "unreadable-value"


class UnknownUnit(ReadingRefused):
    code = "unknown-unit"


class ImpossibleValue(ReadingRefused):
    code = "impossible-value"


class OffMethodRange(ReadingRefused):
    code = "off-method-range"


class UnknownMethod(ReadingRefused):
    code = "unknown-method"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "reason"


class CorrectedBefore(Refusal):
    code = "corrected-before"
    field = "reading_id"


_FAULTS: Final[dict[str, type[ReadingRefused]]] = {
    kind.code: kind for kind in (UnreadableValue, UnknownUnit, ImpossibleValue, OffMethodRange)
}


class Written(Protocol):
    """A value as some command writes it down."""

    @property
    def id(self) -> UUID: ...
    @property
    def text(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def basis(self) -> str: ...


def row_of(written: Written, *, parameter: str, method: Method, vessel: Vessel) -> Reading:
    """Return the reading, not saved, without its times and people.

    Raises:
        UnreadableValue, UnknownUnit, ImpossibleValue, OffMethodRange
    """
    entered = measured(written, method, parameter).entered
    return Reading(
        id=written.id,
        vessel=vessel,
        parameter=parameter,
        method=method,
        qualifier=entered.qualifier,
        # With the column's decimals, so that the ledger sees the value as it is kept.
        value=round(entered.value, 4),
        upper=None if entered.upper is None else round(entered.upper, 4),
        as_entered=written.text.strip(),
        unit=written.unit,
        basis=written.basis,
    )


def measured(written: Written, method: Method, parameter: str) -> Measured:
    """Judge the text by its parameter, unit and method.

    Raises:
        UnreadableValue, UnknownUnit, ImpossibleValue, OffMethodRange
    """
    try:
        return judged(
            parameter=parameter,
            text=written.text,
            unit=written.unit,
            basis=written.basis,
            reach=reach_of(method),
        )
    except Fault as fault:
        refused = _FAULTS[fault.code]
        raise refused(fault.sentence, reading_id=written.id, parameter=parameter) from fault


def methods_of(vessel: Vessel, ids: set[UUID]) -> dict[UUID, Method]:
    return Method.objects.filter(site=vessel.site_id, retired_at=None).in_bulk(list(ids))


def method_for(
    methods: Mapping[UUID, Method], method_id: UUID, reading_id: UUID, parameter: str
) -> Method:
    method = methods.get(method_id)
    if method is None or method.parameter != parameter:
        name = PARAMETERS.get(parameter, "this")
        raise UnknownMethod(
            f"Choose a method of this site that measures {name}.",
            reading_id=reading_id,
            parameter=parameter,
        )
    return method


def require_standing(fact: Any) -> None:
    """Refuse to replace what was replaced or withdrawn before."""
    if fact.withdrawn or type(fact).objects.filter(corrects=fact).exists():
        raise CorrectedBefore("This entry was corrected or withdrawn before; open the latest one.")


def reason_of(text: str) -> str:
    """Return the reason without spaces around it, or refuse an empty one."""
    if not text.strip():
        raise ReasonMissing("Say in a few words why, such as: misread the second digit.")
    return text.strip()


def reach_of(method: Method) -> Reach:
    return Reach(
        name=method.name,
        unit=method.unit,
        basis=method.basis,
        lowest=method.lowest,
        highest=method.highest,
    )
