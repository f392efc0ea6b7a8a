"""``bench duties``: how long it takes to raise the work of many systems, twice and at once."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime, time, timedelta
from threading import Barrier
from time import perf_counter
from typing import Any, Final
from uuid import UUID, uuid5

from django.conf import settings
from django.db import connection

from deploy import addresses, servers
from deploy.bench.options import Options
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.models import Area, Duty, Site, Task
from tanks.models import Vessel

SYSTEMS: Final = 1000
TARGET_S: Final = 30.0
_AREAS: Final = 20
_SPACE: Final = UUID(int=4)
_MONDAY: Final = datetime(2026, 3, 23, 6, tzinfo=UTC)
# Over the night the clocks of Lisbon change.
_UNTIL: Final = _MONDAY + timedelta(days=7)
_RULES: Final = (
    ("FEED", "FREQ=DAILY;BYHOUR=9,17"),
    ("TEST", "FREQ=DAILY"),
    ("TEST", "FREQ=WEEKLY;BYDAY=TU"),
    ("SERVICE", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH"),
    ("CALIBRATE", "FREQ=MONTHLY;BYDAY=-1FR"),
)


def duties_bench(_: Options) -> dict[str, Any]:
    """Return the seconds of a first run, of one with nothing new, and of two that meet."""
    with _database():
        site = furnished(SYSTEMS)
        first_s, first = _timed(lambda: _raised(site, _UNTIL))
        again_s, again = _timed(lambda: _raised(site, _UNTIL))
        met_s, met = _timed(lambda: _two_at_once(site, _UNTIL + timedelta(days=1)))
        kept = Task.objects.filter(site=site).count()
    return {
        "systems": SYSTEMS,
        "duties": SYSTEMS * len(_RULES),
        "days": (_UNTIL - _MONDAY).days,
        "first_s": first_s,
        "first_tasks": first,
        "again_s": again_s,
        "again_tasks": again,
        "two_at_once_s": met_s,
        "two_at_once_tasks": met,
        "kept_tasks": kept,
        "target_s": TARGET_S,
    }


def duties_lines(found: dict[str, Any]) -> str:
    return "\n".join(
        (
            f"{found['systems']} systems, {found['duties']} duties, {found['days']} days ahead.",
            (
                f"First run: {found['first_tasks']} tasks in {found['first_s']:.2f} s "
                f"(target {found['target_s']:.0f} s)."
            ),
            f"Again: {found['again_tasks']} tasks in {found['again_s']:.2f} s.",
            (
                f"Two at once, a day further: {found['two_at_once_tasks']} tasks by one or both "
                f"in {found['two_at_once_s']:.2f} s."
            ),
            f"Kept: {found['kept_tasks']} tasks, each once.",
        )
    )


def furnished(systems: int) -> Site:
    """A site with so many systems, each with five duties, set on a Monday."""
    site = Site.objects.create(
        name="Bench", time_zone="Europe/Lisbon", jurisdiction="PT", opened_at=_MONDAY
    )
    areas = Area.objects.bulk_create(
        Area(site=site, name=f"Room {place}", hygiene_rank=1 + place % 9, opened_at=_MONDAY)
        for place in range(_AREAS)
    )
    vessels = Vessel.objects.bulk_create(
        Vessel(
            site=site,
            area=areas[number % _AREAS],
            kind="SYSTEM",
            code=f"S{number}",
            opened_at=_MONDAY,
        )
        for number in range(systems)
    )
    Duty.objects.bulk_create(_duties(vessels), batch_size=1000)
    return site


def _duties(vessels: list[Vessel]) -> Iterator[Duty]:
    for number, vessel in enumerate(vessels):
        for place, (kind, rule) in enumerate(_RULES):
            yield Duty(
                id=uuid5(_SPACE, f"{number} {place}"),
                site=vessel.site,
                area=vessel.area,
                kind=kind,
                title=f"Duty {place} of {vessel.code}",
                about=f"tanks.vessel:{vessel.pk}",
                asks={"deeds": ["tanks.log-readings"], "parameters": ["TAN", "NITRITE"]},
                minutes=10,
                hygiene_rank=vessel.area.hygiene_rank,
                rule=rule,
                begins_on=_MONDAY.date(),
                at=time(9, 15 * (number % 4)),
                opens_before_minutes=180,
                late_after_minutes=540,
                set_at=_MONDAY,
            )


def _raised(site: Site, until: datetime) -> int:
    return len(raise_tasks(RaiseTasks(site_id=site.pk, until=until), by=None, at=_MONDAY))


def _two_at_once(site: Site, until: datetime) -> int:
    """Two workers that wake at the same moment, each with a connection of its own."""
    start = Barrier(2, timeout=30)

    def run(_: int) -> int:
        try:
            connection.ensure_connection()
            start.wait()
            return _raised(site, until)
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as threads:
        return sum(threads.map(run, range(2)))


def _timed(work: Callable[[], int]) -> tuple[float, int]:
    began_s = perf_counter()
    count = work()
    return perf_counter() - began_s, count


@contextmanager
def _database() -> Iterator[None]:
    """A database of the bench's own, gone afterwards; the house's is never asked for anything."""
    with servers.private() as at:
        settings.DATABASES["default"].update(addresses.database(at.database_url))
        connection.close()
        connection.settings_dict.update(addresses.database(at.database_url))
        name = connection.settings_dict["NAME"]
        connection.creation.create_test_db(verbosity=0, autoclobber=True)
        try:
            yield
        finally:
            connection.creation.destroy_test_db(name, verbosity=0)
