"""One dose: product and target first, then what was really measured out."""

from decimal import Decimal
from typing import Any, ClassVar, Final

from django.forms import ChoiceField, DecimalField, HiddenInput, ModelChoiceField
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import Segmented, WallClockField
from tanks.commands.doses import LogDose
from tanks.forms.asking import AskingSheet
from tanks.models import Product, Vessel
from tanks.queries.products import strength_of, usable
from tanks.rules.dosing import AIMS
from tanks.rules.weighing import sign_of

NOT_MEASURED: Final = Decimal(0)
_NEEDED: Final = ("id", "product", "target", "target_unit", "happened_at")


class ProductChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    """Says strength and batch beside the name: two bottles may look alike."""

    def label_from_instance(self, product: Product) -> str:
        return f"{product.name}, {strength_of(product)}{_batch(product)}"


class DoseSheet(AskingSheet):
    """``amount`` is never filled in for the person: it is what the scale or syringe showed."""

    sealed: ClassVar[tuple[str, ...]] = ("product", "target", "target_unit", "amount")
    product = ProductChoice(
        queryset=Product.objects.none(),
        empty_label=None,
        widget=Segmented({"class": "segmented rows"}),
    )
    target = NumberField(label="Target", low=0, max_digits=10, decimal_places=4)
    target_unit = ChoiceField(label="The target is in", widget=Segmented())
    amount = NumberField(
        label="What you measured out",
        low=0,
        max_digits=12,
        decimal_places=3,
        help_text="What the scale or syringe showed, in the unit above.",
    )
    happened_at = WallClockField(label="Put in at", initial=timezone.now)
    # The volume the sheet was opened with: the valve may be turned while somebody measures out.
    seen_litres = DecimalField(widget=HiddenInput, required=False, max_digits=12, decimal_places=2)

    def __init__(self, *args: Any, vessel: Vessel, purpose: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.vessel, self.purpose = vessel, purpose
        aim = AIMS[purpose]
        products = usable(vessel.site, aim.substances, at=timezone.now())
        self.offer("product", products)
        self.fields["product"].initial = products.first()
        if self.initial.get("product") not in products:
            self.initial.pop("product", None)
        self.fields["target"].help_text = aim.about
        self._offer_units(tuple(aim.units))

    def given(self) -> dict[str, Any]:
        """What has been chosen so far and can be read, sent or not."""
        if self.is_bound:
            self.is_valid()
            return self.cleaned_data
        return {
            name: self.get_initial_for_field(field, name) for name, field in self.fields.items()
        }

    def draft(self) -> LogDose | None:
        """The dose as far as it is known, with nothing measured out yet; None before a target."""
        given = self.given()
        if not all(given.get(name) for name in _NEEDED):
            return None
        return LogDose(
            id=given["id"],
            vessel_id=self.vessel.pk,
            product_id=given["product"].pk,
            purpose=self.purpose,
            target=Decimal(given["target"]),
            target_unit=given["target_unit"],
            amount=given.get("amount") or NOT_MEASURED,
            happened_at=given["happened_at"],
            confirmed=self.confirmed(),
            seen_litres=given.get("seen_litres"),
        )

    def _offer_units(self, units: tuple[str, ...]) -> None:
        field = self.fields["target_unit"]
        if isinstance(field, ChoiceField):
            field.choices = [(unit, sign_of(unit)) for unit in units]
        field.initial = units[0]
        if len(units) == 1:
            field.widget = HiddenInput()


def _batch(product: Product) -> str:
    return f", batch {product.batch}" if product.batch else ""
