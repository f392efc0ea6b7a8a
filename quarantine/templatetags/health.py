"""Shares, chances and signs as words."""

from typing import Final

from django.template import Library

from quarantine.models import SIGNS
from quarantine.rules import deaths_judged

register: Final = Library()


@register.filter
def percent(share: float) -> str:
    return deaths_judged.percent(share)


@register.filter
def chance(probability: float) -> str:
    return deaths_judged.chance(probability)


@register.filter
def sign(code: str) -> str:
    return SIGNS.get(code, code)
