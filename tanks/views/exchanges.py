"""What a water change would leave, shown before it is kept."""

from dataclasses import dataclass
from decimal import Decimal

from facility.refusals import Refusal
from facility.rules.wording import written
from tanks.commands.litres import net_litres, water_then
from tanks.forms.changes import WaterChangeSheet
from tanks.models import Vessel
from tanks.queries.dosing import middle
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.exchanging import UNITS, Left, hints, left

_COLUMNS = {
    "TAN": "source_tan_mg_l_n",
    "NITRATE": "source_nitrate_mg_l_n",
    "ALKALINITY": "source_alkalinity_meq_l",
    "SALINITY": "source_salinity_g_kg",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """``litres`` to be recorded; ``hindrance`` says why nothing can be."""

    litres: Decimal | None = None
    title: str = ""
    left: tuple[Left, ...] = ()
    hints: tuple[str, ...] = ()
    hindrance: str = ""


def exchange(sheet: WaterChangeSheet, vessel: Vessel) -> Exchange | None:
    """Work out the change as typed so far; None before there is one."""
    if not sheet.is_bound:
        return None
    sheet.is_valid()
    at = sheet.cleaned_data.get("happened_at")
    if not at or not sheet.cleaned_data.get("quantity"):
        return None
    try:
        water = water_then(vessel, at=at)
        return _exchange(sheet, water, float(net_litres(water)))
    except Refusal as refusal:
        return Exchange(hindrance=refusal.sentence)


def _exchange(sheet: WaterChangeSheet, water: Water, water_l: float) -> Exchange:
    litres = sheet.litres(water_l)
    share = float(litres or 0) / water_l
    if litres is None or not 0 < share <= 1:
        return Exchange(hindrance=f"This water holds {written(water_l)} L net: change less of it.")
    lefts = tuple(left(_before(water), _source(sheet), share=share))
    return Exchange(
        litres=litres,
        title=f"{written(float(litres))} L of {written(water_l)} L: {written(share * 100)} %",
        left=lefts,
        hints=tuple(hints(lefts, share=share, water_l=water_l)),
    )


def _before(water: Water) -> dict[str, float]:
    latest = latest_in(water)
    return {name: middle(latest[name].interval) for name in UNITS if name in latest}


def _source(sheet: WaterChangeSheet) -> dict[str, float | None]:
    told = sheet.source_values()
    values = {name: told[column] for name, column in _COLUMNS.items()}
    return {name: None if value is None else float(value) for name, value in values.items()}
