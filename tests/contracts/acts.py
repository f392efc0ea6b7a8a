"""One example of every deed, each in a house where it may be done, at ``AT``."""

from collections.abc import Callable
from typing import Any, Final

from facility.sockets.deeds import Deed, deeds
from tests.cast import House
from tests.contracts import (
    alert_acts,
    animal_acts,
    channel_acts,
    handset_acts,
    health_acts,
    loose_acts,
    place_acts,
    report_acts,
    round_acts,
    stay_acts,
    trace_acts,
    treatment_acts,
    water_acts,
    work_acts,
)

DEEDS: Final = [deed for deed in deeds if deed.roles]
_EXAMPLES: Final = (
    alert_acts,
    animal_acts,
    channel_acts,
    handset_acts,
    health_acts,
    loose_acts,
    place_acts,
    report_acts,
    round_acts,
    stay_acts,
    trace_acts,
    treatment_acts,
    water_acts,
    work_acts,
)


def example_of(deed: Deed) -> Callable[[House], Any]:
    """Return what builds a command of this deed; a new deed needs a ``to_<verb>`` of its own."""
    name = f"to_{deed.give.__name__}"
    kept = next(module for module in _EXAMPLES if hasattr(module, name))
    example: Callable[[House], Any] = getattr(kept, name)
    return example
