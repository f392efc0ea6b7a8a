"""Everything that was entered about the water, kind by kind, corrections in their place."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any, Final
from uuid import UUID

from facility.models import Fact
from facility.rules.wording import unit_and_basis, written
from facility.sockets.paper import Row, Section, Table
from tanks.models import Dose, Feeding, Incident, Ramp, Reading, Seeding, Switch, WaterChange
from tanks.paper.phrases import amount, entered, stamp, standing
from tanks.queries.cycles import dosed_mg_l_n, is_ammonia, pure_g
from tanks.queries.stories import Story
from tanks.rules.implied import implied_meq_l
from tanks.rules.ramps import read_back
from tanks.rules.values import PARAMETERS

_WHO: Final = ("Entered by, at", "Remarks")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """How one kind of entry stands in its table; ``said`` is what a later row replaced."""

    title: str
    columns: Row
    widths: tuple[float, ...]
    cells: Callable[[Any, tzinfo], Row]
    said: Callable[[Any], str]
    note: str = ""


def entries(told: Story) -> list[Section]:
    """Return one section for each kind of entry; a kind without any says so."""
    kinds: tuple[tuple[_Kind, Sequence[Fact]], ...] = (
        (_READINGS, told.readings),
        (_DOSES, told.doses),
        (_CHANGES, told.water_changes),
        (_FEEDINGS, told.feedings),
        (_SEEDINGS, told.seedings),
        (_INCIDENTS, told.incidents),
        (_SWITCHES, told.switches),
        (_RAMPS, told.ramps),
    )
    zone = told.cycle.vessel.site.zone
    return [_section(kind, rows, zone) for kind, rows in kinds]


def _section(kind: _Kind, rows: Iterable[Any], zone: tzinfo) -> Section:
    known = {row.pk: row for row in rows}
    drawn = tuple(
        (
            *kind.cells(row, zone),
            entered(row, zone),
            standing(row, known, _first(kind, row, known)) or _remark(row),
        )
        for row in known.values()
    )
    table = Table(
        (*kind.columns, *_WHO), drawn, widths=kind.widths, note=kind.note if drawn else ""
    )
    return Section(kind.title, (table,))


def _first(kind: _Kind, row: Any, known: Mapping[UUID, Any]) -> str:
    """What the row says that this one replaces, if it is among those told."""
    earlier = known.get(row.corrects_id)
    return kind.said(earlier) if earlier else ""


def _remark(row: Any) -> str:
    is_surprise = isinstance(row, Reading) and row.surprise_confirmed
    return "Unexpected, and confirmed when asked." if is_surprise else ""


def _reading(row: Reading, zone: tzinfo) -> Row:
    return (
        stamp(row.happened_at, zone),
        row.vessel.code,
        "TAN" if row.parameter == "TAN" else PARAMETERS[row.parameter],
        row.as_entered,
        _unit(row),
        row.method.name,
    )


def _unit(row: Reading) -> str:
    return f"{row.basis} scale" if row.unit == "pH" else unit_and_basis(row.unit, row.basis)


def _dose(row: Dose, zone: tzinfo) -> Row:
    return (
        f"{stamp(row.happened_at, zone)}\n{row.vessel.code}",
        _product(row),
        f"{row.get_purpose_display()}: {amount(row.target, row.target_unit)}",
        amount(row.computed_amount, row.unit),
        amount(row.amount, row.unit),
        _effect(row),
        written(row.water_litres),
    )


def _product(row: Dose) -> str:
    product = row.product
    is_solution = product.form == product.Form.SOLUTION
    strength = f"{written(product.strength)} g/L" if is_solution else _purity(product.strength)
    batch = f", batch {product.batch}" if product.batch else ""
    return f"{product.name}, {strength}{batch}"


def _purity(strength: Any) -> str:
    return f"{float(strength):.4g} of 1 pure" if strength != 1 else "pure"


def _effect(row: Dose) -> str:
    """What the amount really measured out makes in this water."""
    if is_ammonia(row):
        return f"{written(dosed_mg_l_n(row))} mg/L as N"
    litres = float(row.water_litres)
    rise = implied_meq_l(substance=row.product.substance, pure_g=pure_g(row), volume_l=litres)
    return f"{written(rise)} meq/L" if rise is not None else ""


def _change(row: WaterChange, zone: tzinfo) -> Row:
    source = (
        (row.source_tan_mg_l_n, "TAN", "mg/L as N"),
        (row.source_nitrate_mg_l_n, "nitrate", "mg/L as N"),
        (row.source_alkalinity_meq_l, "alkalinity", "meq/L"),
        (row.source_salinity_g_kg, "salinity", "g/kg"),
    )
    read = [f"{name} {amount(value, unit)}" for value, name, unit in source if value is not None]
    return (
        stamp(row.happened_at, zone),
        row.vessel.code,
        f"{written(row.litres)} of {written(row.water_litres)} L",
        ", ".join([row.source or "source not named", *read]),
    )


def _feeding(row: Feeding, zone: tzinfo) -> Row:
    share = f"{float(row.protein_share) * 100:.3g} % protein"
    return (stamp(row.happened_at, zone), row.vessel.code, f"{written(row.grams)} g, {share}")


def _seeding(row: Seeding, zone: tzinfo) -> Row:
    product = f"{row.product.name}, batch {row.product.batch or 'unknown'}" if row.product else ""
    origin = ", ".join(part for part in (product, row.origin) if part)
    kind = row.get_kind_display()
    return (stamp(row.happened_at, zone), row.vessel.code, f"{kind}, {row.quantity}", origin)


def _incident(row: Incident, zone: tzinfo) -> Row:
    lasted = amount(row.lasted_h, "h") or "not known"
    kind = row.get_kind_display()
    return (stamp(row.happened_at, zone), row.vessel.code, f"{kind}: {row.note}", lasted)


def _switch(row: Switch, zone: tzinfo) -> Row:
    back = f"back on by {stamp(row.due_back_at, zone)}, {row.owner.full_name}"
    return (
        stamp(row.happened_at, zone),
        f"{row.device.name} on {row.device.vessel.code}",
        "on" if row.is_on else f"off, {back}",
        row.why,
    )


def _ramp(row: Ramp, zone: tzinfo) -> Row:
    unit = "°C" if row.of == Ramp.Of.TEMPERATURE else "g/kg"
    steps = (
        f"{step.on.isoformat()}: {written(step.target)} {unit}" for step in read_back(row.steps)
    )
    plan = f"{written(row.begin)} to {written(row.end)} {unit}"
    return (stamp(row.happened_at, zone), f"{row.get_of_display()}, {plan}", "\n".join(steps))


_READINGS: Final = _Kind(
    title="Readings",
    columns=("Sample taken", "From", "Parameter", "As entered", "Unit and basis", "Method"),
    widths=(1.0, 0.6, 1.0, 0.75, 0.85, 1.3, 1.2, 1.6),
    cells=_reading,
    said=lambda row: f"{row.as_entered} {_unit(row)}",
    note="TAN: total ammonia nitrogen. < below detection, > over range, a span: between two steps.",
)
_DOSES: Final = _Kind(
    title="Doses",
    columns=("Dosed, into", "Product", "For", "Computed", "Given", "It makes", "Water, L"),
    widths=(1.2, 1.25, 1.05, 0.95, 0.75, 0.8, 0.7, 1.1, 1.0),
    cells=_dose,
    said=lambda row: amount(row.amount, row.unit),
    note="Computed for the net litres of the water then; what it makes, from what was given.",
)
_CHANGES: Final = _Kind(
    title="Water changes",
    columns=("Changed", "At", "Litres", "Source water"),
    widths=(1.2, 0.6, 1.2, 2.0, 1.3, 1.2),
    cells=_change,
    said=lambda row: amount(row.litres, "L"),
)
_FEEDINGS: Final = _Kind(
    title="Feed given",
    columns=("Fed", "To", "Feed"),
    widths=(1.2, 0.6, 2.0, 1.3, 1.6),
    cells=_feeding,
    said=lambda row: amount(row.grams, "g"),
)
_SEEDINGS: Final = _Kind(
    title="Seeding",
    columns=("Seeded", "Into", "With", "From"),
    widths=(1.2, 0.6, 1.4, 1.8, 1.3, 1.2),
    cells=_seeding,
    said=lambda row: row.quantity,
)
_INCIDENTS: Final = _Kind(
    title="Incidents",
    columns=("Happened", "At", "What", "Lasted"),
    widths=(1.2, 0.6, 2.4, 0.7, 1.3, 1.2),
    cells=_incident,
    said=lambda row: row.note,
)
_SWITCHES: Final = _Kind(
    title="Devices switched",
    columns=("Switched", "Device", "To", "Why"),
    widths=(1.2, 1.1, 1.8, 1.3, 1.3, 0.9),
    cells=_switch,
    said=lambda row: "on" if row.is_on else "off",
)
_RAMPS: Final = _Kind(
    title="Ramps to stocking values",
    columns=("Planned", "Ramp", "Steps"),
    widths=(1.2, 1.4, 1.6, 1.3, 1.2),
    cells=_ramp,
    said=lambda row: f"{written(row.begin)} to {written(row.end)}",
)
