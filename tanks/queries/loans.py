"""What is past its time at a site, as alarm rules judge it: by vessel, or by room and site."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.models import LooseEnd, Site
from facility.queries.loose_ends import loose_in
from facility.sockets.loose_ends import Loose
from tanks.models import Device
from tanks.rules.alarms.known import Loan

_VESSEL: Final = "tanks.vessel"
_DEVICE: Final = "tanks.device"


def loans_in(site: Site, *, at: datetime) -> dict[UUID, list[Loan]]:
    """By vessel, only what is past its time: the rest calls nobody.

    A valve calls for the tank behind it, a device for the vessel it is on.
    """
    overdue = [one for one in loose_in(site, at) if one.is_overdue]
    on = _vessels_of(one.about for one in overdue)
    found: dict[UUID, list[Loan]] = {}
    for loose in overdue:
        if vessel := on.get(loose.about):
            found.setdefault(vessel, []).append(loan_of(loose))
    return found


def loan_of(loose: Loose) -> Loan:
    return Loan(
        key=loose.key,
        kind="hose" if loose.kind == LooseEnd.Kind.HOSE.label else "loan",
        what=loose.what,
        owner=loose.owner_name,
        due_back_at=loose.due_back_at,
    )


def _vessels_of(abouts: Iterable[str]) -> dict[str, UUID]:
    wanted = {about: about.partition(":") for about in abouts}
    ids = {about: UUID(key) for about, (table, _, key) in wanted.items() if table == _VESSEL}
    devices = {about: UUID(key) for about, (table, _, key) in wanted.items() if table == _DEVICE}
    rows = Device.objects.filter(pk__in=devices.values()).values_list("pk", "vessel_id")
    on = dict(rows) if devices else {}
    return ids | {about: on[key] for about, key in devices.items() if key in on}
