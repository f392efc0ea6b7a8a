"""Start a biofilter on its way, and end the start-up."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from django.forms import BooleanField, CharField, ChoiceField, HiddenInput, ModelChoiceField
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import Segmented, Sheet, WallClockField
from tanks.commands.cycles import EndCycle, StartCycle
from tanks.forms.asking import AskingSheet
from tanks.models import Cycle, Product, Vessel
from tanks.queries.products import usable
from tanks.rules.terms import Terms

_PER_CENT: Final = Decimal(100)
# Common practice, no source.
_SALINITIES_G_KG: Final = {"FRESH": ("0.3", "0.3"), "BRACKISH": ("", ""), "MARINE": ("", "35")}
_STOCKING_C: Final = "25"


class StartCycleSheet(AskingSheet):
    """``protein_share`` is typed in per cent, as feed labels print it."""

    water_kind = ChoiceField(choices=Cycle.WaterKind.choices, widget=HiddenInput)
    declared_feed_g_per_day = NumberField(
        label="Feed to prove",
        unit="g/day",
        low=0,
        help_text="The most that will be fed to this whole water in a day, as weighed.",
    )
    protein_share = NumberField(
        label="Protein in that feed", unit="%", low=1, high=100, help_text="As its label says."
    )
    seed = ChoiceField(label="Seeding", choices=Cycle.Seed.choices, widget=Segmented())
    seed_origin = CharField(
        label="Where the seeding comes from",
        max_length=200,
        required=False,
        help_text="For mature media: which water, and what is known of its health.",
    )
    ammonia_id = ModelChoiceField(
        label="Ammonium chloride to feed with",
        queryset=Product.objects.none(),
        empty_label=None,
        error_messages={"required": "Put ammonium chloride on the shelf first."},
    )
    cycling_temperature_c = NumberField(label="Temperature during start-up", unit="degC")
    cycling_salinity_g_kg = NumberField(label="Salinity during start-up", unit="g/kg", low=0)
    stocking_temperature_c = NumberField(
        label="Temperature when stocked",
        unit="degC",
        help_text="24.4 to 25.6 °C is common practice, no source; the animals decide.",
    )
    stocking_salinity_g_kg = NumberField(label="Salinity when stocked", unit="g/kg", low=0)
    has_substrate = BooleanField(
        label="The water has a bed of sand or gravel", required=False, initial=True
    )
    happened_at = WallClockField(label="Start-up begins", initial=timezone.now)
    rare = ("happened_at",)
    rare_title = "It began earlier"

    def __init__(
        self, *args: Any, vessel: Vessel, terms: Terms | None, kind: str, **options: Any
    ) -> None:
        initial = _usual(kind, terms) | options.pop("initial", {})
        super().__init__(*args, initial=initial, **options)
        self.vessel = vessel
        substance = Product.Substance.AMMONIUM_CHLORIDE
        self.offer("ammonia_id", usable(vessel.site, [substance], at=timezone.now()))
        self.fields["cycling_temperature_c"].help_text = _range(terms, "temperature")
        if kind == Cycle.WaterKind.MARINE:
            self.fields["cycling_salinity_g_kg"].help_text = _range(terms, "salinity")

    def command(self) -> StartCycle:
        given = dict(self.cleaned_data)
        protein = given.pop("protein_share") / _PER_CENT
        ammonia: Product = given.pop("ammonia_id")
        return StartCycle(
            vessel_id=self.vessel.pk,
            ammonia_id=ammonia.pk,
            protein_share=protein,
            confirmed=self.confirmed(),
            **given,
        )

    def load_asked_for(self) -> tuple[float, float] | None:
        """Return feed in g/day and its share of protein, as far as both are typed and readable."""
        self.full_clean()
        feed = self.cleaned_data.get("declared_feed_g_per_day")
        protein = self.cleaned_data.get("protein_share")
        if not feed or not protein:
            return None
        return float(feed), float(protein / _PER_CENT)


class EndCycleSheet(Sheet):
    outcome = ChoiceField(label="How it ended", choices=Cycle.Outcome.choices, widget=Segmented())
    happened_at = WallClockField(label="Ended at", initial=timezone.now)

    def command(self, cycle: Cycle) -> EndCycle:
        return EndCycle(cycle_id=cycle.pk, **self.cleaned_data)


def _usual(kind: str, terms: Terms | None) -> dict[str, Any]:
    cycling, stocking = _SALINITIES_G_KG.get(kind, ("", ""))
    found: dict[str, Any] = {
        "water_kind": kind,
        "cycling_salinity_g_kg": cycling,
        "stocking_salinity_g_kg": stocking,
        "stocking_temperature_c": _STOCKING_C,
    }
    if terms is None:
        return found
    middle_c = (terms.temperature_low_c + terms.temperature_high_c) / 2
    found["cycling_temperature_c"] = f"{middle_c:.1f}"
    if kind == Cycle.WaterKind.MARINE:
        middle_g_kg = (terms.marine_salinity_low_g_kg + terms.marine_salinity_high_g_kg) / 2
        found["cycling_salinity_g_kg"] = f"{middle_g_kg:g}"
    return found


def _range(terms: Terms | None, of: str) -> str:
    if terms is None:
        return ""
    edges: Mapping[str, tuple[float, float, str]] = {
        "temperature": (terms.temperature_low_c, terms.temperature_high_c, "°C"),
        "salinity": (terms.marine_salinity_low_g_kg, terms.marine_salinity_high_g_kg, "g/kg"),
    }
    low, high, unit = edges[of]
    return f"The site's policy: {low:g} to {high:g} {unit}."
