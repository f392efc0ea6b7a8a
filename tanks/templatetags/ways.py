"""Links to what higher apps say about a water."""

from typing import Final
from uuid import UUID

from django.template import Library

from tanks.sockets.ways import ways

register: Final = Library()


@register.simple_tag
def ways_from(vessel_id: UUID) -> list[tuple[str, str]]:
    """Return label and address of each."""
    return [(way.label, way.url(vessel_id)) for way in ways]
