"""Lines of an existing log as commands: each line is one sample, and recorded only once."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final
from uuid import UUID, uuid5

from facility.commands.deliveries import CLOCKS_DIFFER_BY
from facility.models import Person, Site
from facility.queries import memberships, people
from tanks.commands.entering import reach_of
from tanks.commands.methods import GENERIC, DefineMethod, generic
from tanks.commands.readings import LogReadings, ReadingTaken
from tanks.models import Method, Vessel
from tanks.rules.logbook import BadLine, Line, Noted, noted
from tanks.rules.plausibility import Fault, Reach, judged, surprising
from tanks.rules.values import Interval

_DEED: Final = "tanks.log-readings"


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A line that can be recorded; ``define`` adds the plain method it is the first to use."""

    line: Line
    log: LogReadings
    by: Person
    define: DefineMethod | None
    interval: Interval

    @property
    def reading_id(self) -> UUID:
        return self.log.readings[0].id


class Directory:
    """The tanks, methods and people of one site, by the names a log may give them."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.vessels = {row.code.casefold(): row for row in Vessel.objects.filter(site=site)}
        known = Method.objects.filter(site=site, retired_at=None)
        self.methods = {(row.parameter, row.name.casefold()): row for row in known}
        self.people = _by_name(memberships.people_at(site))
        keepers = {person for person in self.people.values() if people.may(person, _DEED, site)}
        self.keepers = frozenset(keepers)

    def prepared(self, line: Line, *, at: datetime) -> Prepared:
        """Return the line as a command.

        Raises:
            BadLine: it cannot be read, or names what the site does not know.
        """
        said = noted(line)
        vessel = self._vessel(said, at)
        method_id, reach, define = self._method(said)
        try:
            measured = judged(
                parameter=said.parameter,
                text=said.value,
                unit=said.unit,
                basis=said.basis,
                reach=reach,
            )
        except Fault as fault:
            raise BadLine(fault.sentence) from fault
        person = self._person(said)
        return Prepared(
            line=line,
            log=self._command(said, vessel, method_id, person),
            by=person,
            define=define,
            interval=measured.interval,
        )

    def _vessel(self, said: Noted, at: datetime) -> Vessel:
        vessel = self.vessels.get(said.tank.casefold())
        if vessel is None:
            raise BadLine(f"{self.site.name} has no tank or system {said.tank}.")
        if said.happened_at > at + CLOCKS_DIFFER_BY:
            raise BadLine("The time lies in the future.")
        if vessel.retired_at is not None and said.happened_at >= vessel.retired_at:
            raise BadLine(f"{vessel.code} had been retired by then.")
        return vessel

    def _method(self, said: Noted) -> tuple[UUID, Reach, DefineMethod | None]:
        """One of the site's own by name, or a plain one by what it is."""
        name = said.method.casefold().replace("_", " ")
        if method := self.methods.get((said.parameter, name)):
            return method.pk, reach_of(method), None
        if name not in GENERIC:
            own = [
                row.name
                for (parameter, _), row in self.methods.items()
                if parameter == said.parameter
            ]
            offered = ", ".join(dict.fromkeys([*own, *GENERIC]))
            raise BadLine(f"There is no method “{said.method}” for this; write {offered}.")
        define = generic(self.site, said.parameter, name)
        reach = Reach(name=name, unit=said.unit, basis=said.basis, lowest=None, highest=None)
        return define.id, reach, define

    def _person(self, said: Noted) -> Person:
        person = self.people.get(said.person.casefold())
        if person is None:
            raise BadLine(f"{said.person} does not work at {self.site.name}.")
        if person not in self.keepers:
            raise BadLine(f"{person.full_name} may not log readings at {self.site.name}.")
        return person

    def _command(self, said: Noted, vessel: Vessel, method_id: UUID, person: Person) -> LogReadings:
        content = _content(said, vessel, method_id, person)
        reading_id = uuid5(self.site.pk, f"log line reading: {content}")
        taken = ReadingTaken(
            id=reading_id,
            parameter=said.parameter,
            method_id=method_id,
            text=said.value,
            unit=said.unit,
            basis=said.basis,
        )
        return LogReadings(
            id=uuid5(self.site.pk, f"log line sample: {content}"),
            vessel_id=vessel.pk,
            happened_at=said.happened_at,
            readings=(taken,),
            # A written log cannot be asked; what surprised is marked on the reading.
            confirmed=frozenset([reading_id]),
        )


def surprises(lines: Iterable[Prepared]) -> Iterator[tuple[Line, str]]:
    """Yield what is unexpected, each line held against the one before it in the same tank."""
    latest: dict[tuple[UUID, str], Prepared] = {}
    for one in sorted(lines, key=lambda each: each.log.happened_at):
        taken = one.log.readings[0]
        before = latest.get((one.log.vessel_id, taken.parameter))
        if sentence := _surprise(one, taken.parameter, before):
            yield one.line, sentence
        latest[one.log.vessel_id, taken.parameter] = one


def _content(said: Noted, vessel: Vessel, method_id: UUID, person: Person) -> str:
    """What makes it the same reading again, wherever and however a log spells it."""
    when = said.happened_at.astimezone(UTC).isoformat()
    what = (said.parameter, said.value, said.unit, said.basis)
    return "\x1f".join([when, str(vessel.pk), *what, str(method_id), str(person.pk)])


def _surprise(one: Prepared, parameter: str, before: Prepared | None) -> str | None:
    return surprising(
        parameter,
        one.interval,
        latest=before.interval if before else None,
        read=before.log.readings[0].text if before else "",
        after=one.log.happened_at - before.log.happened_at if before else timedelta(0),
    )


def _by_name(known: Iterable[Person]) -> dict[str, Person]:
    """By full name, unless two share it, and by the name they sign in with."""
    known = tuple(known)
    shared = Counter(person.full_name.casefold() for person in known)
    full = {person.full_name.casefold(): person for person in known}
    alone = {name: person for name, person in full.items() if shared[name] == 1}
    return alone | {person.username.casefold(): person for person in known}
