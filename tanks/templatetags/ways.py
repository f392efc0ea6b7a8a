"""Links to what higher apps say about a water."""

from collections.abc import Collection
from typing import Final
from uuid import UUID

from django.template import Library

from tanks.sockets.ways import TankAct, tank_acts, ways

register: Final = Library()


@register.simple_tag
def ways_from(vessel_id: UUID) -> list[tuple[str, str]]:
    """Return label and address of each."""
    return [(way.label, way.url(vessel_id)) for way in ways]


@register.simple_tag
def acts_at(vessel_id: UUID, may: Collection[str], which: str) -> list[tuple[TankAct, str]]:
    """Return each act this person may give, with its address; ``which`` is daily or other."""
    wanted = [act for act in tank_acts if act.is_daily == (which == "daily") and act.deed in may]
    return [(act, act.url(vessel_id)) for act in wanted]
