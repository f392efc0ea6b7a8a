"""What a move of animals makes necessary. All intervals: common practice, no source."""

from datetime import timedelta
from typing import Final

from facility.sockets.follow_ups import FollowUp

_NO_SOURCE: Final = "common practice, no source"
_HOUR: Final = timedelta(hours=1)
_DAY: Final = timedelta(days=1)

MOVE_FOLLOW_UPS: Final = (
    FollowUp(
        name="quarantine.look-soon-after-move",
        of="quarantine.move-animals",
        kind="FOLLOW_UP",
        title="Look at the animals moved into {place}: breathing, balance, wounds",
        why=f"Two hours after they were moved: {_NO_SOURCE}.",
        after=(2 * _HOUR,),
        opens_before=_HOUR,
        late_after=_HOUR,
        minutes=5,
        source=_NO_SOURCE,
        asks={"deeds": ["quarantine.log-observation"]},
    ),
    FollowUp(
        name="quarantine.look-after-move",
        of="quarantine.move-animals",
        kind="FOLLOW_UP",
        title="Look at the animals moved into {place}: breathing, feeding, wounds",
        why=f"1, 3, 7 and 14 days after they were moved: {_NO_SOURCE}.",
        after=(1 * _DAY, 3 * _DAY, 7 * _DAY, 14 * _DAY),
        opens_before=12 * _HOUR,
        late_after=12 * _HOUR,
        minutes=5,
        source=_NO_SOURCE,
        asks={"deeds": ["quarantine.log-observation"]},
    ),
    FollowUp(
        name="quarantine.read-after-move",
        of="quarantine.move-animals",
        kind="TEST",
        title="Read TAN and nitrite of {place} after animals came in",
        why=f"The filter meets more load than before: {_NO_SOURCE}.",
        after=(1 * _DAY, 2 * _DAY, 3 * _DAY, 7 * _DAY),
        opens_before=12 * _HOUR,
        late_after=12 * _HOUR,
        minutes=10,
        source=_NO_SOURCE,
        asks={"deeds": ["tanks.log-readings"], "parameters": ["TAN", "NITRITE"]},
    ),
)
