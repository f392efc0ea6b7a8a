"""Phones that pass from hand to hand: two were paired, one of them was lost."""

from collections.abc import Iterator
from typing import Final

from deploy.demo_data.acts import Act, Weeks, ident
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER
from facility.commands.handsets import PairHandset, RevokeHandset, SetPin

PIN: Final = "7294"
HOLDERS: Final = (MANAGER, "tove", "kasim")
_LOST: Final = ident("phone:2")


def shared(weeks: Weeks) -> Iterator[Act]:
    for name, phone in (("Phone 1", ident("phone:1")), ("Phone 2", _LOST)):
        # No token is known that has this digest: nobody can pretend to be one of them.
        digest = f"{phone.int:032x}" * 2
        pair = PairHandset(id=phone, site_id=SITE_ID, name=name, token_sha256=digest)
        yield Act(at=weeks.at(2, "09:00"), by=MANAGER, command=pair)
    for name in HOLDERS:
        command = SetPin(id=ident(f"pin:{name}"), site_id=SITE_ID, pin=PIN)
        yield Act(at=weeks.at(2, "09:20"), by=name, command=command)
    yield Act(at=weeks.at(31, "18:05"), by=MANAGER, command=RevokeHandset(handset_id=_LOST))
