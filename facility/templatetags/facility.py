"""Numbers, moments, ages, people and states as markup, and the frame around a page."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from itertools import groupby
from typing import Any, Final

from django.http import HttpRequest  # noqa: TID251  the frame asks which page is open
from django.template import Library
from django.template.context import Context
from django.urls import get_script_prefix, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.timezone import get_current_timezone

from facility.models import Alert, Handset, Membership, Person
from facility.queries import memberships, notices
from facility.queries.handsets import handset_in, holders_of
from facility.rules import wording
from facility.sockets.menu import Group, MenuEntry, entries_for

register: Final = Library()

_STATES: Final = {
    "in-range": "in range",
    "watch": "watch",
    "act-today": "act today",
    "act-now": "act now",
    "met": "met",
    "not-met": "not met",
    "unknown": "unknown",
    "due": "due",
    "overdue": "overdue",
    "done": "done",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the menu as drawn; ``current`` is the value of aria-current, or empty."""

    label: str
    url: str
    current: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineGroup:
    """Lines of the menu under one heading; the first group stands open by itself."""

    label: str
    lines: tuple[Line, ...]
    is_first: bool

    @property
    def is_open(self) -> bool:
        return any(line.current for line in self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """What the frame shows; without a person it is the frame of a signed-out page.

    ``holders`` may take the ``handset`` over, if this is a shared one. ``calling`` is what nobody
    has accepted; pages about alerts say it themselves.
    """

    home: str
    person: Person | None = None
    place: str = ""
    groups: tuple[LineGroup, ...] = ()
    handset: Handset | None = None
    holders: tuple[Person, ...] = ()
    calling: tuple[Alert, ...] = ()


@register.simple_tag(takes_context=True)
def frame(context: Context) -> Shell:
    request = context.get("request")
    person = getattr(request, "user", None)
    if not isinstance(request, HttpRequest):
        return Shell(home=get_script_prefix())
    handset = handset_in(request.COOKIES)
    holders = tuple(holders_of(handset)) if handset else ()
    shared = Shell(home=get_script_prefix(), handset=handset, holders=holders)
    if not isinstance(person, Person):
        return shared
    held = memberships.now_of(person)
    return replace(
        shared,
        person=person,
        place=" · ".join(membership.site.name for membership in held),
        groups=_groups(held, path=request.path),
        calling=() if request.path.startswith(reverse("facility:alerts")) else _calling(person),
    )


@register.simple_tag
def quantity(value: wording.Number, unit: str = "", basis: str = "") -> SafeString:
    """Write a number with its unit and basis; the unit never wraps away from the number."""
    sign = wording.unit_and_basis(unit, basis)
    number = wording.written(value)
    if not sign or value is None:
        return format_html("<span>{}</span>", number)
    return format_html(
        '<span>{}<span class="unit">\N{NO-BREAK SPACE}{}</span></span>', number, sign
    )


@register.filter
def moment(at: datetime | None, zone: tzinfo | None = None) -> SafeString | str:
    """Write a moment by the site's clock; without a zone, by the one now active."""
    if at is None:
        return "unknown"
    text = wording.day_and_time(at, zone=zone or get_current_timezone())
    return format_html('<time datetime="{}">{}</time>', at.isoformat(timespec="seconds"), text)


@register.filter
def age(at: datetime | None, now: datetime) -> SafeString | str:
    if at is None:
        return "never"
    text = wording.age(at, now=now)
    return format_html('<time datetime="{}">{}</time>', at.isoformat(timespec="seconds"), text)


@register.filter
def person(someone: Person | None) -> str:
    """Write who it was; None is Penstock itself."""
    return someone.full_name if someone else "Penstock"


@register.simple_tag
def outbox(deed: str, **command: Any) -> SafeString:
    """Let a sheet wait on the device without signal; ``command`` is what it does not ask.

    Stands inside the form's tag; outbox.js tells how the sheet becomes the deed's command.
    """
    told = json.dumps({name: str(value) for name, value in command.items()})
    return format_html('data-outbox-deed="{}" data-outbox-command="{}"', deed, told)


@register.filter
def skew(skew_s: float) -> str:
    return wording.skew(skew_s)


@register.simple_tag
def state(code: str, words: str = "") -> SafeString:
    """Draw a badge: the state's mark and its word, or ``words`` in its place."""
    return format_html('<span class="badge {}">{}</span>', code, words or _STATES[code])


@register.filter
def under(cells: Iterable[Any], columns: Sequence[str]) -> Iterator[tuple[str, Any]]:
    """Pair each cell of a row with the name of its column."""
    return zip(columns, cells, strict=True)


def _calling(person: Person) -> tuple[Alert, ...]:
    return tuple(notices.calling(person))


def _groups(held: list[Membership], *, path: str) -> tuple[LineGroup, ...]:
    entries = entries_for({membership.role for membership in held})
    urls = {entry.name: reverse(entry.url_name) for entry in entries}
    nearest = max((url for url in urls.values() if _leads_to(path, url)), key=len, default="")
    return tuple(
        LineGroup(
            label=group,
            lines=tuple(_line(one, urls[one.name], nearest=nearest, path=path) for one in some),
            is_first=group is Group.NOW,
        )
        for group, some in groupby(entries, key=lambda entry: entry.group)
    )


def _leads_to(path: str, url: str) -> bool:
    return path == url or (url != get_script_prefix() and path.startswith(url.rstrip("/") + "/"))


def _line(entry: MenuEntry, url: str, *, nearest: str, path: str) -> Line:
    current = ("page" if path == url else "true") if url == nearest else ""
    return Line(label=entry.label, url=url, current=current)
