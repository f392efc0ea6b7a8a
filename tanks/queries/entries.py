"""What was entered about a water lately, with what each entry replaced."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db.models import QuerySet

from facility.models import Fact
from facility.rules.wording import age, written
from tanks.models import (
    CorrectiveAction,
    Dose,
    Feeding,
    Incident,
    Ramp,
    Reading,
    Seeding,
    Switch,
    ValveLoan,
    Vessel,
    Volume,
    WalkSign,
    WaterChange,
)
from tanks.queries.meanings import reading_text
from tanks.queries.waters import Water, spans_of, within
from tanks.rules.corrective_actions import said
from tanks.rules.limits import INSIDE, NAMES
from tanks.rules.waters import Span

# Entered so long after it happened, it is told as late.
LATE_AFTER: Final = timedelta(minutes=30)
_LOOK_BACK: Final = timedelta(days=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Replaced:
    """An earlier row: what it said, and the row that took its place with the reason."""

    text: str
    fact: Fact
    by: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One entry as it now stands; ``before`` holds what it replaced, latest first."""

    fact: Fact
    model: str
    vessel: Vessel
    what: str
    text: str
    method: str
    before: tuple[Replaced, ...]

    @property
    def first(self) -> Fact:
        """The row that was entered first."""
        return self.before[-1].fact if self.before else self.fact

    @property
    def is_late(self) -> bool:
        return self.first.recorded_at - self.first.happened_at > LATE_AFTER

    @property
    def late_by(self) -> str:
        return age(self.first.happened_at, now=self.first.recorded_at).removesuffix(" ago")

    @property
    def is_reading(self) -> bool:
        return isinstance(self.fact, Reading)


def recent(water: Water, *, most: int = 20) -> list[Line]:
    """The latest entries of a month, newest first; corrected and withdrawn ones show what was."""
    until = water.at + timedelta.resolution
    spans = spans_of(water.anchor, since=water.at - _LOOK_BACK, until=until)
    lines = [line for kind in _KINDS for line in _lines(kind, _rows(kind, spans))]
    lines.sort(key=lambda line: (line.fact.happened_at, line.fact.recorded_at), reverse=True)
    return lines[:most]


def line_of(fact: Fact) -> Line:
    """One entry with all that it replaced."""
    kind = next(kind for kind in _KINDS if kind.model is type(fact))
    chain: list[Any] = [fact]
    while chain[-1].corrects_id is not None:
        chain.append(_related(kind).get(pk=chain[-1].corrects_id))
    return next(iter(_lines(kind, chain)))


def words_of(table: str, ids: Collection[UUID]) -> dict[UUID, str]:
    """Tell rows of one table, named as in the ledger, each in a few words; other tables are not."""
    kind = next((kind for kind in _KINDS if kind.model._meta.label_lower == table), None)
    if kind is None:
        return {}
    rows = _related(kind).filter(pk__in=ids)
    return {row.pk: f"{kind.what(row)} {kind.text(row)}".strip() for row in rows}


def lines_among(facts: Iterable[Fact]) -> list[Line]:
    """Tell facts already loaded, with what each replaced among them; kinds told elsewhere drop."""
    by_model: dict[type[Fact], list[Fact]] = {}
    for fact in facts:
        by_model.setdefault(type(fact), []).append(fact)
    return [line for kind in _KINDS for line in _lines(kind, by_model.get(kind.model, ()))]


def _rows(kind: "_Kind", spans: Iterable[Span]) -> list[Any]:
    befell = within(spans, vessel=kind.vessel)
    return list(_related(kind).filter(befell).order_by("-happened_at", "-recorded_at", "pk")[:200])


def _related(kind: "_Kind") -> QuerySet[Any]:
    rows: QuerySet[Any] = kind.model._default_manager.select_related(
        "by", kind.vessel, *kind.related
    )
    return rows


def _lines(kind: "_Kind", rows: Iterable[Any]) -> Iterator[Line]:
    known = {row.pk: row for row in rows}
    replaced = {row.corrects_id for row in known.values()}
    for row in known.values():
        if row.pk not in replaced:
            yield _line(kind, row, known)


def _line(kind: "_Kind", row: Any, known: Mapping[UUID, Any]) -> Line:
    way = kind.vessel.partition("__")
    holder = getattr(row, way[0]) if way[1] else row
    return Line(
        fact=row,
        model=row._meta.label_lower,
        vessel=holder.vessel,
        what=kind.what(row),
        text=kind.text(row),
        method=str(row.method) if isinstance(row, Reading) else "",
        before=tuple(_before(kind, row, known)),
    )


def _before(kind: "_Kind", row: Any, known: Mapping[UUID, Any]) -> Iterator[Replaced]:
    later = row
    while earlier := known.get(later.corrects_id):
        yield Replaced(text=kind.text(earlier), fact=earlier, by=later)
        later = earlier


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """How one kind of entry is loaded and told; ``vessel`` is the way to its vessel."""

    model: type[Fact]
    what: Callable[[Any], str]
    text: Callable[[Any], str]
    related: tuple[str, ...] = ()
    vessel: str = "vessel"


def _share(share: Any) -> str:
    return f"{written(Decimal(share) * 100)} % protein"


def _sown(row: Seeding) -> str:
    source = ", ".join(part for part in (str(row.product or ""), row.origin) if part)
    return f"{row.get_kind_display()}: {row.quantity}" + (f", from {source}" if source else "")


def _befell(row: Incident) -> str:
    return row.note if row.lasted_h is None else f"{row.note}, {written(row.lasted_h)} h"


_KINDS: Final = (
    _Kind(
        model=Reading,
        what=lambda row: NAMES[row.parameter],
        text=reading_text,
        related=("method",),
    ),
    _Kind(
        model=Dose,
        what=lambda row: row.get_purpose_display(),
        text=lambda row: f"{written(row.amount)} {row.unit} of {row.product.name}",
        related=("product",),
    ),
    _Kind(
        model=WaterChange,
        what=lambda _: "Water change",
        text=lambda row: f"{written(row.litres)} L of {written(row.water_litres)} L",
    ),
    _Kind(
        model=Feeding,
        what=lambda _: "Fed",
        text=lambda row: f"{written(row.grams)} g, {_share(row.protein_share)}",
    ),
    _Kind(
        model=Seeding,
        what=lambda _: "Seeded",
        text=_sown,
        related=("product",),
    ),
    _Kind(
        model=Incident,
        what=lambda row: row.get_kind_display(),
        text=_befell,
    ),
    _Kind(
        model=Switch,
        what=lambda row: f"{row.device.name} {'on' if row.is_on else 'off'}",
        text=lambda row: row.why,
        related=("device",),
        vessel="device__vessel",
    ),
    _Kind(
        model=ValveLoan,
        what=lambda _: "Valve closed for a while",
        text=lambda row: row.why,
        related=("connection",),
        vessel="connection__vessel",
    ),
    _Kind(
        model=WalkSign,
        what=lambda row: row.get_sign_display(),
        text=lambda row: row.note or "seen on a walk",
    ),
    _Kind(
        model=Volume,
        what=lambda _: "Net volume",
        text=lambda row: f"{written(row.litres)} L, {row.get_means_display().lower()}",
    ),
    _Kind(
        model=Ramp,
        what=lambda row: f"{row.get_of_display()} plan",
        text=lambda row: f"from {written(row.begin)} to {written(row.end)}",
        related=("cycle",),
        vessel="cycle__vessel",
    ),
    _Kind(
        model=CorrectiveAction,
        what=lambda row: f"About {INSIDE[row.reading.parameter]} {reading_text(row.reading)}",
        text=lambda row: said(row.action, row.note),
        related=("reading",),
        vessel="reading__vessel",
    ),
)
