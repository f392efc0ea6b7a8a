"""Water changed, feed given, nitrifiers brought in, mishaps."""

from decimal import Decimal
from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField
from django.utils import timezone

from chemistry.alkalinity import meq_l_from_caco3, meq_l_from_dkh
from chemistry.nitrogen import Basis, to_nitrogen
from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from tanks.commands.changes import LogFeeding, LogWaterChange
from tanks.commands.incidents import LogIncident
from tanks.commands.seedings import LogSeeding
from tanks.forms.doses import ProductChoice
from tanks.models import Incident, Product, Seeding, Vessel
from tanks.queries.products import usable

_PER_CENT: Final = Decimal(100)
_MILLI: Final = Decimal("0.001")


class WaterChangeSheet(CommandSheet):
    """How much in litres or per cent; what the source water carries, where somebody knows."""

    quantity = NumberField(label="How much was changed", low=0, max_digits=10, decimal_places=2)
    quantity_in = ChoiceField(
        label="Given in",
        choices=[("L", "litres"), ("%", "% of this water")],
        initial="L",
        widget=Segmented(),
    )
    source = CharField(
        label="Source water",
        max_length=80,
        required=False,
        help_text="Such as mixing vat, tap, RO.",
    )
    happened_at = WallClockField(label="Changed at", initial=timezone.now)
    source_nitrate = NumberField(label="Its nitrate", unit="mg/L", low=0, high=1000, required=False)
    source_nitrate_basis = ChoiceField(
        label="That nitrate is given",
        choices=[("NO3", "as NO₃ (ion)"), ("N", "as N")],
        required=False,
        widget=Segmented(),
        help_text="They differ 4.4 times; look on the kit.",
    )
    source_alkalinity = NumberField(label="Its alkalinity", low=0, high=2500, required=False)
    source_alkalinity_in = ChoiceField(
        label="That alkalinity is in",
        choices=[("meq/L", "meq/L"), ("dKH", "dKH"), ("mg/L CaCO3", "mg/L CaCO₃")],
        initial="meq/L",
        required=False,
        widget=Segmented(),
    )
    source_salinity = NumberField(label="Its salinity", unit="g/kg", low=0, high=60, required=False)
    source_tan = NumberField(
        label="Its TAN", unit="mg/L", basis="N", low=0, high=100, required=False
    )
    rare = (
        "source_nitrate",
        "source_nitrate_basis",
        "source_alkalinity",
        "source_alkalinity_in",
        "source_salinity",
        "source_tan",
    )
    rare_title = "What the source water carries"

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("source_nitrate") and not given.get("source_nitrate_basis"):
            self.add_error("source_nitrate_basis", ValidationError("Choose as NO₃ or as N."))
        return given

    def litres(self, water_litres: float | None) -> Decimal | None:
        """Return the litres changed, or None while they cannot be told."""
        quantity = self.cleaned_data.get("quantity")
        if quantity is None or self.cleaned_data.get("quantity_in") == "L":
            return quantity
        return None if water_litres is None else quantity * Decimal(str(water_litres)) / _PER_CENT

    def source_values(self) -> dict[str, Decimal | None]:
        """What the source water carries, in the columns' units."""
        given = self.cleaned_data
        return {
            "source_tan_mg_l_n": given.get("source_tan"),
            "source_nitrate_mg_l_n": _nitrogen(
                given.get("source_nitrate"), given.get("source_nitrate_basis")
            ),
            "source_alkalinity_meq_l": _alkalinity(
                given.get("source_alkalinity"), given.get("source_alkalinity_in")
            ),
            "source_salinity_g_kg": given.get("source_salinity"),
        }

    def command(self, vessel: Vessel, *, litres: Decimal) -> LogWaterChange:
        given = self.cleaned_data
        return LogWaterChange(
            id=given["id"],
            vessel_id=vessel.pk,
            litres=litres,
            happened_at=given["happened_at"],
            source=given["source"],
            **self.source_values(),
        )


class FeedingSheet(CommandSheet):
    grams = NumberField(label="Feed given", unit="g", low=0, max_digits=8, decimal_places=2)
    protein = NumberField(
        label="Protein in it",
        unit="%",
        low=1,
        high=100,
        help_text="As its label says, of the weight as fed. Frozen food is about 80 % water.",
    )
    happened_at = WallClockField(label="Fed at", initial=timezone.now)

    def protein_share(self) -> Decimal | None:
        protein = self.cleaned_data.get("protein")
        return None if protein is None else protein / _PER_CENT

    def command(self, vessel: Vessel) -> LogFeeding:
        return LogFeeding(
            id=self.cleaned_data["id"],
            vessel_id=vessel.pk,
            grams=self.cleaned_data["grams"],
            protein_share=self.cleaned_data["protein"] / _PER_CENT,
            happened_at=self.cleaned_data["happened_at"],
        )


class SeedingSheet(CommandSheet):
    kind = ChoiceField(label="What goes in", choices=Seeding.Kind.choices, widget=Segmented())
    product = ProductChoice(
        label="Culture from the shelf",
        queryset=Product.objects.none(),
        required=False,
        empty_label="none",
        help_text="So that its batch is known.",
    )
    origin = CharField(
        label="Where media comes from",
        max_length=200,
        required=False,
        help_text="The tank or system, and what is known of its health: its diseases come along.",
    )
    quantity = CharField(
        label="How much",
        max_length=80,
        help_text="Such as 500 mL or 2 bags; for a culture at least for the whole volume "
        "(common practice, no source).",
    )
    happened_at = WallClockField(label="Seeded at", initial=timezone.now)

    def __init__(self, *args: Any, vessel: Vessel, **options: Any) -> None:
        super().__init__(*args, **options)
        self.vessel = vessel
        substances = [Product.Substance.CULTURE]
        self.offer("product", usable(vessel.site, substances, at=timezone.now()))

    def command(self) -> LogSeeding:
        given = self.cleaned_data
        is_culture = given["kind"] == Seeding.Kind.CULTURE
        product = given["product"] if is_culture else None
        return LogSeeding(
            id=given["id"],
            vessel_id=self.vessel.pk,
            kind=given["kind"],
            product_id=product.pk if product else None,
            origin=given["origin"],
            quantity=given["quantity"],
            happened_at=given["happened_at"],
        )


class IncidentSheet(CommandSheet):
    kind = ChoiceField(
        label="What happened",
        choices=Incident.Kind.choices,
        widget=Segmented({"class": "segmented rows"}),
    )
    lasted_h = NumberField(
        label="How long it lasted",
        unit="h",
        low=0,
        required=False,
        max_digits=7,
        decimal_places=2,
        help_text="Empty when nobody knows: then it counts as too long.",
    )
    note = CharField(
        label="In a few words", max_length=300, help_text="What, where, and what was done about it."
    )
    happened_at = WallClockField(label="Began at", initial=timezone.now)

    def command(self, vessel: Vessel) -> LogIncident:
        return LogIncident(vessel_id=vessel.pk, **self.cleaned_data)


def units_of_source() -> dict[str, float]:
    """What one of each unit that may be chosen is in the columns' units, for a device."""
    return {
        "N": to_nitrogen(1, basis=Basis.N),
        "NO3": to_nitrogen(1, basis=Basis.NO3),
        "meq/L": 1.0,
        "dKH": meq_l_from_dkh(alkalinity_dkh=1),
        "mg/L CaCO3": meq_l_from_caco3(alkalinity_mg_l_caco3=1),
    }


def _nitrogen(value: Decimal | None, basis: str | None) -> Decimal | None:
    if value is None or not basis:
        return None
    return _kept(to_nitrogen(float(value), basis=Basis(basis)))


def _alkalinity(value: Decimal | None, unit: str | None) -> Decimal | None:
    if value is None:
        return None
    match unit:
        case "dKH":
            return _kept(meq_l_from_dkh(alkalinity_dkh=float(value)))
        case "mg/L CaCO3":
            return _kept(meq_l_from_caco3(alkalinity_mg_l_caco3=float(value)))
        case _:
            return value


def _kept(value: float) -> Decimal:
    return Decimal(repr(value)).quantize(_MILLI)
