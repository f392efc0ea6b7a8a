"""Everything that happened, in the order Penstock was told of it."""

from collections.abc import Iterator
from datetime import datetime
from itertools import chain

from deploy.demo_data.acts import Act, Weeks
from deploy.demo_data.channels import reached
from deploy.demo_data.closing import handed_over, left, stepped, walked
from deploy.demo_data.correcting import corrected, reported
from deploy.demo_data.day import went_by
from deploy.demo_data.devices import installed
from deploy.demo_data.handsets import shared
from deploy.demo_data.happenings import befell
from deploy.demo_data.house import furnished, opened
from deploy.demo_data.methods import defined
from deploy.demo_data.proving import started_up
from deploy.demo_data.quarantine import quarantined
from deploy.demo_data.releasing import released
from deploy.demo_data.routine import kept
from deploy.demo_data.shelf import shelved
from deploy.demo_data.shifts import rostered

_CHAPTERS = (
    opened,
    defined,
    shelved,
    furnished,
    shared,
    reached,
    installed,
    kept,
    befell,
    started_up,
    quarantined,
    released,
    went_by,
    rostered,
    walked,
    left,
    stepped,
    handed_over,
    corrected,
    reported,
)


def story(weeks: Weeks, *, until: datetime) -> Iterator[Act]:
    """Yield what was told by ``until``; at equal moments the chapters keep their order."""
    acts = chain.from_iterable(chapter(weeks) for chapter in _CHAPTERS)
    return (act for act in sorted(acts, key=lambda act: act.at) if act.at <= until)
