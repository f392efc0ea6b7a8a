"""Readings as words and markup."""

from collections.abc import Iterable
from typing import Final

from django.template import Library
from django.utils.html import format_html
from django.utils.safestring import SafeString

from facility.rules.wording import unit_and_basis
from facility.templatetags.facility import state
from tanks.models import CorrectiveAction, Method, Reading
from tanks.rules import meaning
from tanks.rules.corrective_actions import said
from tanks.rules.free_ammonia import FreeAmmonia
from tanks.rules.limits import IN_RANGE, INSIDE, NAMES, Finding
from tanks.rules.values import PARAMETERS

register: Final = Library()

_STATES: Final = {0: "in-range", 1: "act-now", 2: "act-today", 3: "watch"}


@register.filter
def value(reading: Reading) -> SafeString:
    """Write the value as it was entered, with unit and basis; neither breaks within."""
    if reading.unit == "pH":
        scale = " total scale" if reading.basis == "TOTAL" else ""
        return format_html("<span>{}{}</span>", reading.as_entered, scale)
    return format_html(
        '<span><span class="whole">{}</span> <span class="unit">{}</span></span>',
        reading.as_entered,
        unit_and_basis(reading.unit, reading.basis),
    )


@register.filter
def parameter(code: str) -> str:
    return NAMES.get(code, PARAMETERS.get(code, code))


@register.filter
def inside(code: str) -> str:
    """Name a parameter in the middle of a sentence."""
    return INSIDE.get(code, code)


@register.simple_tag
def level(number: int) -> SafeString:
    """Draw how pressing a finding is."""
    return state(_STATES[number])


@register.filter
def acted(action: CorrectiveAction) -> str:
    """Write what was done, with the note."""
    return f"{said(action.action, action.note)}."


@register.filter
def in_range(findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.level == IN_RANGE]


@register.filter
def ammonia_sentence(ammonia: FreeAmmonia) -> str:
    return meaning.ammonia_sentence(ammonia)


@register.filter
def spread(ammonia: FreeAmmonia) -> str:
    """Return how far it may lie below and above, such as "−20 % to +24 %"."""
    return f"−{-ammonia.below * 100:.0f} % to +{ammonia.above * 100:.0f} %"


@register.filter
def method_unit(method: Method) -> str:
    return unit_and_basis(method.unit, method.basis)
