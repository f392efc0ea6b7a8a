"""What an event in a water makes necessary, as data. All intervals: common practice, no source.

That a filter which stood still is opened, emptied and rinsed before it runs again, and that TAN
and nitrite are read for three days after a loss, a treatment or new animals, is how the trade
works; no published interval was found.
"""

from datetime import timedelta
from typing import Any, Final

from facility.sockets.follow_ups import FollowUp

_NO_SOURCE: Final = "common practice, no source"
_DAY: Final = timedelta(days=1)
_HALF_DAY: Final = timedelta(hours=12)


def _tests(name: str, *, of: str, after: str, days: tuple[int, ...], **more: Any) -> FollowUp:
    """TAN and nitrite of the water, some days after something."""
    return FollowUp(
        name=f"tanks.{name}",
        of=of,
        kind="TEST",
        title="Read TAN and nitrite of {place} " + after,
        why=f"{after.capitalize()} a filter may clear less: {_NO_SOURCE}.",
        after=tuple(day * _DAY for day in days),
        opens_before=_HALF_DAY,
        late_after=_HALF_DAY,
        minutes=10,
        source=_NO_SOURCE,
        asks={"deeds": ["tanks.log-readings"], "parameters": ["TAN", "NITRITE"]},
        **more,
    )


def _incident(name: str, kind: str, after: str, days: tuple[int, ...]) -> FollowUp:
    return _tests(name, of="tanks.log-incident", after=after, days=days, when={"kind": kind})


FOLLOW_UPS: Final = (
    FollowUp(
        name="tanks.restart-filters",
        of="tanks.log-incident",
        kind="FOLLOW_UP",
        title="Open, empty and rinse filters of {place} that stood still, before they run",
        why=f"Closed filters that stood still send foul water back: {_NO_SOURCE}.",
        after=(timedelta(),),
        opens_before=timedelta(),
        late_after=timedelta(hours=2),
        minutes=20,
        source=_NO_SOURCE,
        when={"kind": "POWER_LOSS"},
    ),
    _incident("after-power-loss", "POWER_LOSS", "after the power loss", (1, 2, 3)),
    _incident("after-treatment", "DISINFECTANT", "after the treatment", (1, 2, 3)),
    _incident("after-drying", "MEDIA_DRIED", "after media dried out", (1, 2, 3)),
    _incident("after-new-media", "MEDIA_REPLACED", "after media were replaced", (1, 2, 3)),
    _tests("after-connection", of="tanks.open-valve", after="after a valve was opened", days=(1,)),
)
