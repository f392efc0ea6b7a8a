"""Alerts as words and marks."""

from typing import Final

from django.template import Library
from django.utils.safestring import SafeString

from facility.rules.alerts import ACT_NOW, CAUSES, TODAY
from facility.templatetags.facility import state

register: Final = Library()

_STATES: Final = {ACT_NOW: "act-now", TODAY: "act-today"}


@register.simple_tag
def pressing(level: int) -> SafeString:
    """Draw how pressing an alert or a sign is."""
    return state(_STATES.get(level, "watch"))


@register.filter
def cause(code: str) -> str:
    return CAUSES.get(code, code)
