"""Rounds on paper: one section a person, a line a stop, with room to tick."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, tzinfo

from facility.queries.own_rounds import OwnRound, RoundStop
from facility.rules.wording import day_and_time
from facility.sockets.paper import Block, Caution, Paragraph, Report, Section, Signature, Table

_BREAK = "Change kit and disinfect hands before going on"
_COLUMNS = ("", "About", "What", "Where", "Due", "min", "Done")
_WIDTHS = (0.05, 0.09, 0.33, 0.24, 0.11, 0.07, 0.11)


def rounds_report(
    rounds: Iterable[OwnRound], *, site_name: str, on: date, zone: tzinfo, by: str, at: datetime
) -> Report:
    """Compose the paper to work from; what is done is entered in Penstock all the same."""
    sections = tuple(Section(one.person.full_name, tuple(_blocks(one, zone))) for one in rounds)
    nobody = Section("Rounds", (Paragraph("No round is drawn up for this day."),))
    return Report(
        title="Rounds",
        subject=f"{on:%A} {on.day} {on:%B %Y}, {site_name}",
        digest="",
        issued=f"Printed {day_and_time(at, zone=zone)} by {by}. "
        "A paper to work from: enter in Penstock what was done.",
        sections=sections or (nobody,),
    )


def _blocks(one: OwnRound, zone: tzinfo) -> Iterator[Block]:
    if not one.stops:
        yield Paragraph("Nothing is given to this person.")
        return
    if any(not stop.fits for stop in one.stops):
        yield Caution("Not all of it fits: what is marked late comes after its time or the shift.")
    yield Table(_COLUMNS, tuple(_rows(one.stops, zone)), widths=_WIDTHS)
    yield Signature("Did this round")


def _rows(stops: Iterable[RoundStop], zone: tzinfo) -> Iterator[tuple[str, ...]]:
    for number, stop in enumerate(stops, start=1):
        if stop.has_break:
            yield ("", "", _BREAK, "", "", "", "\N{BALLOT BOX}")
        yield _row(number, stop, zone)


def _row(number: int, stop: RoundStop, zone: tzinfo) -> tuple[str, ...]:
    task = stop.one.task
    skill = f"\nSkill: {task.skill}" if task.skill else ""
    late = "\nlate" if not stop.fits else ""
    return (
        str(number),
        f"{stop.begins_at.astimezone(zone):%H:%M}",
        f"{task.title}{skill}",
        stop.one.where,
        f"{task.due_at.astimezone(zone):%H:%M}{late}",
        str(task.minutes),
        stop.one.state if stop.one.answer else "\N{BALLOT BOX}",
    )
