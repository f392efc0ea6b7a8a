"""Find what a command is about, for someone who may do it there."""

from datetime import datetime
from uuid import UUID

from facility.commands.deliveries import take_turn
from facility.models import Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from tanks.models import Vessel


class VesselRetired(Refusal):
    code = "vessel-retired"
    field = "vessel_id"


def site_for(by: Person, site_id: UUID, *, deed: str) -> Site:
    """Return the site, with the turn taken there.

    Raises:
        NotFound, NotAllowed
    """
    site = Site.objects.open_to(by).filter(pk=site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, deed, site)
    take_turn(site)
    return site


def vessel_for(by: Person, vessel_id: UUID, *, deed: str) -> Vessel:
    """Return the tank or system core, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    vessel = _open_to(by, vessel_id)
    people.require(by, deed, vessel.site)
    take_turn(vessel.site)
    vessel.refresh_from_db(fields=["code", "name", "retired_at"])
    return vessel


def require_in_use(vessel: Vessel, *, at: datetime) -> None:
    """Refuse what befell a vessel after it was retired."""
    if vessel.retired_at is not None and at >= vessel.retired_at:
        local = vessel.retired_at.astimezone(vessel.site.zone)
        raise VesselRetired(f"{vessel.code} was retired on {local:%d %B %Y, %H:%M}.")


def _open_to(by: Person, vessel_id: UUID) -> Vessel:
    known = Vessel.objects.open_to(by).select_related("site", "area")
    vessel = known.filter(pk=vessel_id).first()
    if vessel is None:
        raise NotFound("There is no such tank or system here.")
    return vessel
