"""Take over an existing log of readings: look first, record on request, and never twice."""

from argparse import ArgumentParser
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from facility.models import Site
from facility.refusals import Refusal
from tanks.commands.importing import Directory, Prepared, surprises
from tanks.commands.methods import define_method
from tanks.commands.readings import log_readings
from tanks.models import Reading
from tanks.rules.logbook import BadLine, BadLog, Line, lines


class Command(BaseCommand):
    help = (
        "Read a log of readings from CSV with the columns time, tank, parameter, value, unit, "
        "basis, method, person. Without --record it only says what it would do."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--site", help="name of the site; may be left out if there is one")
        parser.add_argument("--record", action="store_true", help="record the good lines")

    def handle(self, *args: Any, **options: Any) -> None:
        at = timezone.now()
        directory = Directory(_site(options["site"]))
        good, bad = self._sorted_out(_lines(options["file"]), directory, at)
        there = _there(good)
        for line, sentence in surprises(good):
            self.stdout.write(f"line {line.number}: note: {sentence}")
        new = [one for one in good if one.reading_id not in there]
        recorded = self._record(new, bad, at) if options["record"] else 0
        self._report(bad)
        word = f"recorded {recorded}" if options["record"] else f"would record {len(new)}"
        self.stdout.write(f"{word}, already there {len(good) - len(new)}, bad {len(bad)}")
        if bad:
            raise CommandError(f"{len(bad)} bad lines: mend them and run again; nothing doubles.")

    def _sorted_out(
        self, found: Iterable[Line], directory: Directory, at: datetime
    ) -> tuple[list[Prepared], list[tuple[Line, str]]]:
        good: dict[UUID, Prepared] = {}
        bad: list[tuple[Line, str]] = []
        for line in found:
            try:
                one = directory.prepared(line, at=at)
            except BadLine as fault:
                bad.append((line, str(fault)))
            else:
                # The same line twice in one file is one reading.
                good.setdefault(one.reading_id, one)
        return list(good.values()), bad

    def _record(self, new: Iterable[Prepared], bad: list[tuple[Line, str]], at: datetime) -> int:
        recorded = 0
        for one in sorted(new, key=lambda each: each.log.happened_at):
            try:
                if one.define:
                    define_method(one.define, by=one.by, at=at)
                log_readings(one.log, by=one.by, at=at)
            except Refusal as refusal:
                bad.append((one.line, refusal.sentence))
            else:
                recorded += 1
        return recorded

    def _report(self, bad: Iterable[tuple[Line, str]]) -> None:
        for line, sentence in sorted(bad, key=lambda pair: pair[0].number):
            self.stdout.write(f"line {line.number}: {sentence}")


def _site(name: str | None) -> Site:
    sites = list(Site.objects.filter(name=name) if name else Site.objects.order_by("name"))
    if len(sites) == 1:
        return sites[0]
    if name:
        raise CommandError(f"There is no site named {name}.")
    names = ", ".join(site.name for site in sites) or "none yet; add one first"
    raise CommandError(f"Say for which site with --site: {names}.")


def _lines(file: Path) -> list[Line]:
    try:
        return list(lines(file.read_text(encoding="utf-8-sig")))
    except OSError as error:
        raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise CommandError(f"{file} is not UTF-8; save it as CSV in UTF-8.") from error
    except BadLog as fault:
        raise CommandError(f"{file}: {fault}") from fault


def _there(good: Iterable[Prepared]) -> frozenset[UUID]:
    ids = [one.reading_id for one in good]
    return frozenset(Reading.objects.filter(pk__in=ids).values_list("pk", flat=True))
