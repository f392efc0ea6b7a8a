"""One example of every deed, each in a house where it may be done, at ``AT``."""

from collections.abc import Callable
from typing import Any, Final

from facility.sockets.deeds import Deed, deeds
from tests.cast import House
from tests.contracts import place_acts, water_acts

DEEDS: Final = [deed for deed in deeds if deed.roles]


def example_of(deed: Deed) -> Callable[[House], Any]:
    """Return what builds a command of this deed; a new deed needs a ``to_<verb>`` of its own."""
    name = f"to_{deed.give.__name__}"
    place = place_acts if hasattr(place_acts, name) else water_acts
    example: Callable[[House], Any] = getattr(place, name)
    return example
