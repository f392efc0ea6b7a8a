"""A container for the shelf; its strength as its label prints it."""

from decimal import Decimal
from typing import Any, ClassVar, Final

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField, DateInput
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import CalendarField, CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Site
from tanks.commands.products import RetireProduct, ShelveProduct
from tanks.models import Product

# What a label may print, as the form it belongs to and the factor to what is kept.
_STRENGTHS: Final = {
    "percent": ("SOLID", Decimal("0.01"), "% pure, a solid"),
    "g/L": ("SOLUTION", Decimal(1), "g of the substance per litre"),
    "w/v": ("SOLUTION", Decimal(10), "% w/v, g in 100 mL"),
}
_CULTURE_STRENGTH: Final = Decimal(1)


class ProductSheet(CommandSheet):
    """The form follows from how the strength is written."""

    problem_title: ClassVar[str] = "Not on the shelf yet"
    substance = ChoiceField(
        choices=Product.Substance.choices,
        help_text="What is in it, not what it is sold for. A blend of several is none of these.",
    )
    name = CharField(max_length=80, help_text="As it stands on the container or the stock bottle.")
    strength = NumberField(
        label="Strength",
        low=0,
        required=False,
        max_digits=8,
        decimal_places=4,
        help_text="A solid: its purity, 99.5. A stock: g weighed in per litre made up, 100. "
        "Nothing for a culture.",
    )
    measure = ChoiceField(
        label="The strength is in",
        choices=[(name, words) for name, (_, _, words) in _STRENGTHS.items()],
        initial="percent",
        widget=Segmented(),
    )
    batch = CharField(
        max_length=40,
        required=False,
        help_text="Lot printed on it, or the day a stock was made. Another batch is another entry.",
    )
    expires_on = CalendarField(
        label="Good until",
        required=False,
        widget=DateInput({"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write a date, such as 2027-05-31."},
    )

    def __init__(self, *args: Any, site: Site, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        is_culture = given.get("substance") == Product.Substance.CULTURE
        if not is_culture and given.get("strength") is None and "strength" not in self.errors:
            self.add_error("strength", ValidationError("Write the strength: doses rest on it."))
        return given

    def command(self) -> ShelveProduct:
        given = self.cleaned_data
        form, factor, _ = _STRENGTHS[given["measure"]]
        is_culture = given["substance"] == Product.Substance.CULTURE
        return ShelveProduct(
            id=given["id"],
            site_id=self.site.pk,
            name=given["name"].strip(),
            substance=given["substance"],
            form=Product.Form.SOLUTION if is_culture else form,
            strength=_CULTURE_STRENGTH if is_culture else given["strength"] * factor,
            batch=given["batch"].strip(),
            expires_on=given["expires_on"],
        )


class RetireSheet(Sheet):
    happened_at = WallClockField(label="Off the shelf since", initial=timezone.now)

    def command(self, product: Product) -> RetireProduct:
        return RetireProduct(product_id=product.pk, **self.cleaned_data)
