"""How the house is reached: e-mail that stays in the folder of the demo's own server."""

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from deploy.demo_data.acts import Act, Weeks, ident
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER, MEMBERS
from facility.commands.channels import AddChannel
from facility.commands.sending import send_next

# Nobody owns a name below .example (RFC 2606): whatever server is set, nothing reaches anybody.
_HOST: Final = "larkmoor.example"
_REACHED: Final = (MANAGER, "tove", "kasim")


def reached(weeks: Weeks) -> Iterator[Act]:
    for member in MEMBERS:
        if member.username in _REACHED:
            command = AddChannel(
                id=ident(f"channel:{member.username}"),
                site_id=SITE_ID,
                name=f"E-mail of {member.full_name}",
                address=f"{member.username}@{_HOST}",
            )
            yield Act(at=weeks.at(2, "09:30"), by=member.username, command=command)


def sent(*, at: datetime) -> None:
    """Send what the alerts have made necessary, as the house does every half minute."""
    while send_next(at=at) is not None:
        pass
