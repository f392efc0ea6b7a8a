"""What every piece of work must say before it is asked of anybody."""

from collections.abc import Mapping
from typing import Any, Final, Protocol

from facility.models import Site, WorkKind
from facility.refusals import Refusal
from facility.sockets.deeds import deeds
from facility.sockets.subjects import Place, place_of
from facility.sockets.work import judges

MOST_MINUTES: Final = 600
_CLEANEST, _DIRTIEST = 1, 9


class UnknownWorkKind(Refusal):
    code = "unknown-work-kind"
    field = "kind"


class TitleMissing(Refusal):
    code = "title-missing"
    field = "title"


class UnknownSubject(Refusal):
    code = "unknown-subject"
    field = "about"


class MinutesOffScale(Refusal):
    code = "minutes-off-scale"
    field = "minutes"


class AsksUnreadable(Refusal):
    code = "asks-unreadable"
    field = "asks"


class RankOffScale(Refusal):
    code = "rank-off-scale"
    field = "hygiene_rank"


class Terms(Protocol):
    """What duties and tasks both say."""

    @property
    def kind(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def about(self) -> str: ...
    @property
    def asks(self) -> Mapping[str, Any]: ...
    @property
    def minutes(self) -> int: ...


def require_terms(work: Terms, site: Site, *, place: Place | None = None) -> Place:
    """Return where the work is; a ``place`` already known spares looking it up.

    Raises:
        UnknownWorkKind, TitleMissing, UnknownSubject, MinutesOffScale, AsksUnreadable
    """
    if work.kind not in WorkKind.values:
        raise UnknownWorkKind("Choose a kind of work from the list.")
    if not work.title.strip():
        raise TitleMissing("Say in a few words what is to be done.")
    if not 1 <= work.minutes <= MOST_MINUTES:
        raise MinutesOffScale(f"Write the minutes it takes, from 1 to {MOST_MINUTES}.")
    _require_asks(work.asks)
    place = place or place_of(work.about)
    if place is None or place.site_id != site.pk:
        raise UnknownSubject("Choose a tank, system, device, area or the site it is about.")
    return place


def require_rank(rank: int) -> None:
    if not _CLEANEST <= rank <= _DIRTIEST:
        raise RankOffScale("Give a hygiene rank from 1 (cleanest) to 9.")


def as_json(asks: Mapping[str, Any]) -> dict[str, Any]:
    """What the column will give back: lists, not tuples."""
    return {
        name: list(value) if isinstance(value, tuple) else value for name, value in asks.items()
    }


def _require_asks(asks: Mapping[str, Any]) -> None:
    """Texts under known names, and deeds that there are: anything else would prove nothing."""
    lists = {name: asks.get(name, []) for name in ("deeds", "parameters")}
    known = {*lists, "exactly", "judge", "judged"}
    is_read = asks.keys() <= known and all(map(_is_texts, lists.values()))
    if not is_read or not isinstance(asks.get("exactly", False), bool):
        raise AsksUnreadable(
            "What proves it done is written as lists of texts named deeds and parameters."
        )
    unknown = [name for name in lists["deeds"] if name not in deeds]
    if unknown:
        raise AsksUnreadable(f"{unknown[0]} is nothing that is recorded here; leave it out.")
    _require_judge(asks)


def _require_judge(asks: Mapping[str, Any]) -> None:
    """A judge that there is, with what it judges by, over something recorded."""
    if not asks.keys() & {"judge", "judged"}:
        return
    is_known = isinstance(asks.get("judge"), str) and asks["judge"] in judges
    if not is_known or not isinstance(asks.get("judged"), Mapping) or not asks.get("deeds"):
        raise AsksUnreadable("Name a judge that there is, what it judges by, and the deeds judged.")


def _is_texts(value: Any) -> bool:
    return isinstance(value, list | tuple) and all(isinstance(each, str) for each in value)
