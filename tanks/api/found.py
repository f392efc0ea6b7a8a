"""What an address names, looked up for the person who asks."""

from uuid import UUID

from rest_framework.request import Request

from facility.api.people import signer
from facility.refusals import NotFound
from tanks.models import Cycle, Vessel
from tanks.queries.cycles import related


def vessel_of(request: Request, vessel_id: UUID) -> Vessel:
    """Return the vessel.

    Raises:
        NotFound: there is none, or this person may not see it.
    """
    known = Vessel.objects.open_to(signer(request)).select_related("site", "area")
    vessel = known.filter(pk=vessel_id).first()
    if vessel is None:
        raise NotFound("There is no such tank or system here.")
    return vessel


def cycle_of(request: Request, cycle_id: UUID) -> Cycle:
    """Return the start-up.

    Raises:
        NotFound: there is none, or this person may not see it.
    """
    cycle = related(Cycle.objects.open_to(signer(request))).filter(pk=cycle_id).first()
    if cycle is None:
        raise NotFound("There is no such start-up here.")
    return cycle
