"""What is printed once the demo is there: where, who, and how the start-ups stand."""

from collections.abc import Iterator
from datetime import datetime
from textwrap import fill
from typing import Final

from deploy.demo_data.acts import ident
from deploy.demo_data.happenings import ISOLATED
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MEMBERS, SITE_NAME
from facility.models import Site
from facility.rules.codes import new_code
from facility.rules.wording import written
from tanks.queries.cycles import courses
from tanks.queries.following import Followed, follow

_WIDE: Final = 96
_LIKELY_PERCENT: Final = 50
_EXPLORE: Final = (
    "To look around: sign in as the manager and begin at the day's list, then scan a tank that is "
    "shut off its system ({address}/t/{label}); the auditor reads the ledger and the dossiers."
)


def summary(*, address: str, at: datetime) -> str:
    return "\n".join(_lines(address.rstrip("/"), at))


def _lines(address: str, at: datetime) -> Iterator[str]:
    yield ""
    yield f"{SITE_NAME}: {address}/"
    yield ""
    for member in MEMBERS:
        role = member.role.capitalize()
        yield f"  {role:<13} {member.username:<6} {member.password:<15} {member.full_name}"
    yield ""
    yield "Start-ups under way"
    for told in courses(Site.objects.get(pk=SITE_ID), at=at):
        yield from _start_up(follow(told))
    yield ""
    yield _EXPLORE.format(address=address, label=new_code(ident(f"label:{ISOLATED}").bytes))


def _start_up(one: Followed) -> Iterator[str]:
    water = one.told.story.water
    yield f"  {water.name} ({water.anchor.code}), day {one.day}: {one.told.stage.title}"
    yield _indented(f"First pass: {_window(one)}")
    yield _indented(f"Next: {_next(one)}")


def _window(one: Followed) -> str:
    if one.told.is_certified and one.told.certificate:
        feed = one.told.certificate.certificate.feed_g_per_day
        return f"passed; {written(feed)} g/day certified and in force."
    if one.forecast is None:
        return "nothing to forecast from yet."
    likeliest = one.causes[0]
    cause = (
        f" {likeliest.label} ({likeliest.word})." if likeliest.percent >= _LIKELY_PERCENT else ""
    )
    return f"{one.sureness}{cause}"


def _next(one: Followed) -> str:
    advice = one.advice
    if advice is None:
        return one.told.redose.sentence
    return f"{advice.title} {advice.amount}".strip() + f". {advice.why}"


def _indented(text: str) -> str:
    return fill(text, width=_WIDE, initial_indent="    ", subsequent_indent="      ")
