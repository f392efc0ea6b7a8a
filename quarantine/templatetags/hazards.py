"""Hazard and caution cards at the act they belong to."""

from typing import Any, Final

from django.template import Library

from quarantine.rules.hazards import cards_at

register: Final = Library()


@register.inclusion_tag("quarantine/_cards.html")
def cards_for(act: str) -> dict[str, Any]:
    """Draw the cards of an act, named as the ledger names it."""
    return {"cards": cards_at(act)}
