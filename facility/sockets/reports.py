"""Reports of a week or a month: other apps say what is in them, the facility keeps them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from facility.models import Site
from facility.rules.periods import Period
from facility.sockets.paper import Section
from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportSource:
    """``name`` is the kind of a kept report, WEEK or MONTH.

    ``compose(site, period)`` gathers what is kept: plain JSON, from what happened in the period,
    however it stands now. The same facts give the same content whenever it is asked, so that two
    digests can be compared. ``sections(content, part)`` sets kept content out for people, all of
    it or only one ``part``; ``parts(content)`` lists keys of parts with their names.
    """

    name: str
    title: str
    compose: Callable[[Site, Period], dict[str, Any]]
    sections: Callable[[Mapping[str, Any], str], tuple[Section, ...]]
    parts: Callable[[Mapping[str, Any]], list[tuple[str, str]]]


report_sources: Final = Socket[ReportSource]("reports")
