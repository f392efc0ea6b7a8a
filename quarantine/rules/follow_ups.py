"""What animals make necessary once they are in. All intervals: common practice, no source."""

from datetime import timedelta
from typing import Final

from facility.sockets.follow_ups import FollowUp

_NO_SOURCE: Final = "common practice, no source"
_DAY: Final = timedelta(days=1)
_HALF_DAY: Final = timedelta(hours=12)

FOLLOW_UPS: Final = (
    FollowUp(
        name="quarantine.after-stocking",
        of="quarantine.record-stocking",
        kind="TEST",
        title="Read TAN and nitrite of {place} after animals came in",
        why=f"The filter meets their load for the first time: {_NO_SOURCE}.",
        after=(1 * _DAY, 2 * _DAY, 3 * _DAY, 7 * _DAY),
        opens_before=_HALF_DAY,
        late_after=_HALF_DAY,
        minutes=10,
        source=_NO_SOURCE,
        asks={"deeds": ["tanks.log-readings"], "parameters": ["TAN", "NITRITE"]},
    ),
    FollowUp(
        name="quarantine.look-after-stocking",
        of="quarantine.record-stocking",
        kind="FOLLOW_UP",
        title="Look at the new animals of {place}: breathing, feeding, wounds",
        why=f"A day after they came in; call the veterinarian for what is ill: {_NO_SOURCE}.",
        after=(1 * _DAY,),
        opens_before=_HALF_DAY,
        late_after=_HALF_DAY,
        minutes=10,
        source=_NO_SOURCE,
    ),
)
