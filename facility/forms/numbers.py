"""Numbers as wet hands type them: big boxes, a decimal point or comma, the unit in view."""

import re
from decimal import Decimal
from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import DecimalField, TextInput

from facility.rules.wording import unit_and_basis, written

# 1,000 is a thousand to one person and one to another.
_TWO_READINGS: Final = re.compile(r"[+-]?\d{1,3},\d{3}")


def with_point(text: str) -> str:
    """Return a number as typed with a decimal point for its comma and a plain minus sign.

    Raises:
        ValidationError: the comma could also part the thousands.
    """
    plain = text.strip().replace("−", "-")
    if _TWO_READINGS.fullmatch(plain):
        raise ValidationError(
            f"Write {plain.replace(',', '')} or {plain.replace(',', '.')}: "
            "a comma before three figures can be read two ways."
        )
    return plain.replace(",", ".") if plain.count(",") == 1 else plain


class BigNumber(TextInput):
    """A text box with the decimal keypad; browsers' own number boxes lose what they dislike."""

    def __init__(self, attrs: dict[str, Any] | None = None, *, unit: str = "") -> None:
        fixed = {"class": "big", "inputmode": "decimal", "autocomplete": "off"}
        super().__init__(fixed | (attrs or {}))
        self.unit = unit


class NumberField(DecimalField):
    """A Decimal, in ``unit`` on ``basis``, from ``low`` to ``high`` inclusive."""

    def __init__(
        self,
        *,
        unit: str = "",
        basis: str = "",
        low: Decimal | int | None = None,
        high: Decimal | int | None = None,
        **options: Any,
    ) -> None:
        self.low, self.high = low, high
        options.setdefault("widget", BigNumber(unit=unit_and_basis(unit, basis)))
        super().__init__(**options)
        self.error_messages["invalid"] = "Write a number, such as 7.8."

    def to_python(self, value: Any) -> Any:
        return super().to_python(with_point(str(value if value is not None else "")))

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if (self.low is not None and value < self.low) or (
            self.high is not None and value > self.high
        ):
            raise ValidationError(f"Write a number {self._span()}.", code="out-of-range")

    def _span(self) -> str:
        low, high = written(self.low), written(self.high)
        if self.high is None:
            return f"of {low} or more"
        return f"up to {high}" if self.low is None else f"from {low} to {high}"
