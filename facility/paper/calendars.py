"""Rounds as an iCalendar stream (RFC 5545), for the calendar program on somebody's phone."""

from collections.abc import Iterable
from datetime import timedelta
from typing import Final

from django.urls import reverse
from icalendar import Calendar, Event

from facility.queries.own_rounds import OwnRound, RoundStop

# How often a program is asked to look again (RFC 7986, section 5.7).
_AGAIN: Final = timedelta(minutes=30)


def stream(rounds: Iterable[OwnRound], *, name: str, root: str) -> bytes:
    """Return the calendar; ``root`` is the address of this server, for links."""
    calendar = Calendar()
    calendar.add("prodid", "-//Penstock//Rounds//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", _AGAIN, parameters={"VALUE": "DURATION"})
    for one in rounds:
        for stop in one.stops:
            calendar.add_component(_event(one, stop, root))
    return bytes(calendar.to_ical())


def _event(one: OwnRound, stop: RoundStop, root: str) -> Event:
    task = stop.one.task
    event = Event()
    # The same task on a later version of the round stays the same event.
    event.add("uid", f"{task.pk}@penstock")
    event.add("dtstamp", one.row.drawn_up_at)
    event.add("dtstart", stop.begins_at)
    event.add("dtend", stop.ends_at)
    event.add("summary", _summary(stop))
    event.add("location", stop.one.where)
    event.add("description", _description(stop))
    event.add("url", root + (stop.page or reverse("facility:answer-task", args=[task.pk])))
    event.add("transp", "TRANSPARENT")
    return event


def _summary(stop: RoundStop) -> str:
    """A calendar has no mark for what is done: it stands in front."""
    state = stop.one.state
    return (
        f"{state.capitalize()}: {stop.one.task.title}" if stop.one.answer else stop.one.task.title
    )


def _description(stop: RoundStop) -> str:
    said = [stop.one.task.why, "First change kit and disinfect hands." if stop.has_break else ""]
    return " ".join(each for each in said if each)
