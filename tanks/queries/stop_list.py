"""What a stand-in leaves alone in the tanks: start-ups under way, feed beyond what is proven."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.rules.wording import written
from facility.sockets.stop_list import Stop
from tanks.queries.cycles import Course, courses

_FILTER = "Rinse no filter there, turn nothing off or on, and dose only what its page asks for"
_WHY = "Its biofilter is in start-up; what disturbs it costs days and is found out late."


def tank_stops(site_id: UUID, at: datetime) -> Iterator[Stop]:
    site = Site.objects.get(pk=site_id)
    yield from (_stop(one) for one in courses(site, at=at))


def _stop(one: Course) -> Stop:
    vessel = one.story.water.anchor
    leave, why = _FILTER, _WHY
    if one.is_certified and one.certificate is not None:
        most = written(one.certificate.certificate.feed_g_per_day)
        leave = f"Feed no more than {most} g in a day, and do not let a day go by unfed"
        why = "That is the certified feed: more than the biofilter has proven stays as ammonia."
    return Stop(
        key=f"tanks.cycle:{one.cycle.pk}",
        place=one.story.water.name,
        hygiene_rank=vessel.area.hygiene_rank,
        leave=leave,
        why=why,
        ask="whoever is on call",
        url=reverse("tanks:cycle", args=[one.cycle.pk]),
    )
