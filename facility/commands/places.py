"""Open sites and areas."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Area, Membership, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal


class NameTaken(Refusal):
    code = "name-taken"
    field = "name"


class UnknownTimeZone(Refusal):
    code = "unknown-time-zone"
    field = "time_zone"


class HygieneRankOffScale(Refusal):
    code = "hygiene-rank-off-scale"
    field = "hygiene_rank"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenSite:
    """Whoever opens a site becomes its first manager."""

    id: UUID
    name: str
    time_zone: str
    jurisdiction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenArea:
    """``hygiene_rank`` 1 is the cleanest; work goes from low to high."""

    id: UUID
    site_id: UUID
    name: str
    hygiene_rank: int


@transaction.atomic(durable=True)
def open_site(command: OpenSite, *, by: Person, at: datetime) -> Site:
    """Open a site with ``by`` as its manager; the same id again returns the same site.

    Raises:
        IdTaken, NameTaken, UnknownTimeZone
    """
    if site := earlier(Site, command.id, asdict(command)):
        return site
    _require_time_zone(command.time_zone)
    if Site.objects.filter(name=command.name).exists():
        raise NameTaken(f"There is already a site named {command.name}.")
    site = Site.objects.create(**asdict(command), opened_at=at)
    membership = Membership.objects.create(
        person=by, site=site, role=Membership.Role.MANAGER, since=at
    )
    ledger.record(
        "facility.open-site",
        [site, membership],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return site


@transaction.atomic(durable=True)
def open_area(command: OpenArea, *, by: Person, at: datetime) -> Area:
    """Add a room, row or rack.

    Raises:
        NotFound, NotAllowed, IdTaken, NameTaken, HygieneRankOffScale
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.open-area", site)
    if area := earlier(Area, command.id, asdict(command)):
        return area
    if not 1 <= command.hygiene_rank <= 9:  # noqa: PLR2004  the scale of the column
        raise HygieneRankOffScale("Give a hygiene rank from 1 (cleanest) to 9.")
    if site.areas.filter(name=command.name).exists():
        raise NameTaken(f"{site.name} already has an area named {command.name}.")
    area = Area.objects.create(**asdict(command), opened_at=at)
    ledger.record(
        "facility.open-area", [area], about=area, site=site, by=by, happened_at=at, recorded_at=at
    )
    return area


def _require_time_zone(name: str) -> None:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise UnknownTimeZone(
            f"{name} is not a time zone; write one such as Europe/Lisbon."
        ) from error
