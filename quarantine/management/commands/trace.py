"""``manage.py trace SUBJECT``: from where it could have come and where it could have gone."""

import json
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any, Final

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime

from facility.models import Site
from facility.rules.wording import day_and_time
from quarantine.commands.tracing import WAYS
from quarantine.queries.trace_answers import answer
from quarantine.queries.tracing import Traced, subject_named, trace_from
from quarantine.rules.tracing import Kind

_DAYS: Final = 30


class Command(BaseCommand):
    help = (
        "Trace from a tank, lot, kit, person (by user name) or consignment, along animals, "
        "water, equipment, people and feed in their order of time."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("subject", help="what people call it: A-03, L-0004, N-02, ana")
        parser.add_argument("--direction", choices=tuple(WAYS), default="both")
        parser.add_argument(
            "--since", help=f"a day or moment such as 2026-11-01; without it {_DAYS} days back"
        )
        parser.add_argument("--until", help="a day or moment; without it, now")
        parser.add_argument(
            "--without",
            action="append",
            default=[],
            choices=[kind.value for kind in Kind],
            help="a kind of contact to leave out, to see what remains; may be given again",
        )
        parser.add_argument("--site", help="the site's name, where there are several")
        parser.add_argument("--json", action="store_true", help="answer in JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        site, about = _subject(options["subject"], options["site"])
        until = _moment("until", options["until"], site) or timezone.now()
        since = _moment("since", options["since"], site) or until - timedelta(days=_DAYS)
        if since >= until:
            raise CommandError("--since: give a moment before the end of the trace.")
        found = list(_traces(site, about, options, since, until))
        if options["json"]:
            self.stdout.write(json.dumps([answer(one) for one in found], indent=1))
        else:
            self.stdout.write("\n\n".join(_plain(one, site) for one in found))


def _traces(
    site: Site, about: str, options: dict[str, Any], since: datetime, until: datetime
) -> Iterator[Traced]:
    without = [Kind(one) for one in options["without"]]
    for way in WAYS[options["direction"]]:
        found = trace_from(site, about, direction=way, since=since, until=until, without=without)
        if found is not None:
            yield found


def _subject(word: str, name: str | None) -> tuple[Site, str]:
    sites = Site.objects.filter(name__iexact=name) if name else Site.objects.all()
    for site in sites.order_by("name", "pk"):
        if about := subject_named(site, word):
            return site, about
    where = f"at {name}" if name else "here"
    raise CommandError(f"subject: there is no tank, lot, kit or person named {word} {where}.")


def _moment(name: str, text: str | None, site: Site) -> datetime | None:
    if not text:
        return None
    try:
        moment, day = parse_datetime(text), parse_date(text)
    except ValueError:
        moment, day = None, None
    if moment is None and day is not None:
        moment = datetime(day.year, day.month, day.day)  # noqa: DTZ001  the site's zone follows
    if moment is None:
        raise CommandError(f"--{name}: write a day or moment such as 2026-11-01, not {text}.")
    return moment if moment.tzinfo else moment.replace(tzinfo=site.zone)


def _plain(found: Traced, site: Site) -> str:
    head = f"{found.direction.value.capitalize()} from {found.subject.name}"
    lines = [f"{head}: {len(found.stops)} places, {len(found.edges)} contacts."]
    for stop in found.stops:
        when = day_and_time(stop.at, zone=site.zone)
        why = "; ".join(edge.evidence for edge in stop.way) or "where the trace begins"
        lines.append(f"  {when}  {stop.place.what} {stop.place.name}: {why}")
    lines += [f"  lot {one.lot.code} in {', '.join(one.vessels)}" for one in found.lots]
    lines += [f"  stopped: {edge.barrier}" for edge in found.barriers]
    return "\n".join(lines)
