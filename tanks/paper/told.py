"""Words and tables that the reports of a week and of a month share."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any, Final, TypeAlias
from zoneinfo import ZoneInfo

from facility.rules.wording import day_and_time
from facility.sockets.paper import Block, Paragraph, Section, Table

Content: TypeAlias = Mapping[str, Any]
_HOUR, _DAY = 60, 24 * 60
LEVELS: Final = {1: "act now", 2: "act today", 3: "watch"}
_OUT: Final = ("Water", "What was read", "Open for", "What was done", "Read inside again")
_OUT_WIDTHS: Final = (0.10, 0.33, 0.10, 0.25, 0.22)


@dataclass(frozen=True, kw_only=True)
class Told:
    """Kept content as it is set out: all of it, or what belongs to the water ``part``."""

    content: Content
    part: str

    @cached_property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.content["zone"])

    @cached_property
    def _names(self) -> dict[str, str]:
        return {one["key"]: spoken(one) for one in self.content["waters"]}

    def water(self, key: str) -> str:
        return self._names.get(key, "the site")

    def moment(self, text: str | None) -> str:
        if text is None:
            return "never"
        return day_and_time(datetime.fromisoformat(text), zone=self.zone)

    def rows(self, rows: Iterable[Content], *, key: str = "water") -> list[Content]:
        return [row for row in rows if not self.part or row[key] == self.part]


def spoken(water: Content) -> str:
    return f"{water['code']} {water['name']}".strip()


def parts_of(content: Content) -> list[tuple[str, str]]:
    """Waters of which something is told, by key, as they stand in the house."""
    return [(one["key"], spoken(one)) for one in content["waters"]]


def lasted(minutes: int) -> str:
    """``40 min``, ``3 h``, ``2 d 4 h``."""
    if minutes < _HOUR:
        return f"{minutes} min"
    if minutes < 2 * _DAY:
        return f"{minutes // _HOUR} h"
    hours = minutes % _DAY // _HOUR
    return f"{minutes // _DAY} d {hours} h" if hours else f"{minutes // _DAY} d"


def out_of_range(told: Told) -> Section:
    """Every exceedance with its value, length, what was done and the reading that ended it."""
    rows = told.rows(told.content["exceedances"])
    if not rows:
        return Section("Out of range", (Paragraph("Nothing was read out of range."),))
    left = sum(row["passed"] is None for row in rows)
    words = f"{len(rows)} in all; {left} still open at the end." if left else f"{len(rows)} in all."
    note = "A limit marked * is not verified: from memory or common practice."
    table = Table(_OUT, tuple(_out_row(row, told) for row in rows), widths=_OUT_WIDTHS, note=note)
    return Section("Out of range", (Paragraph(words), table))


def tests_left(told: Told) -> Iterator[Block]:
    """How many tests were done, and each that was not, with its reason."""
    tests = told.content["tests"]
    counts = told.rows(tests["counts"])
    if not counts:
        yield Paragraph("No test was set to fall due.")
        return
    done, not_done, never = (
        sum(row[name] for row in counts) for name in ("done", "not_done", "unanswered")
    )
    yield Paragraph(
        f"{done + not_done + never} fell due: {done} done, {not_done} not done with a reason, "
        f"{never} never answered."
    )
    rows = tuple(
        (told.moment(row["due_at"]), row["title"], row["outcome"], _why(row))
        for row in told.rows(tests["left"])
    )
    if rows:
        yield Table(("Due", "Test", "Outcome", "Why"), rows, widths=(0.22, 0.36, 0.14, 0.28))


def not_covered(told: Told) -> Iterator[Block]:
    """Systems not read as often as they should be, and tanks their turn has passed by."""
    cover = told.content["coverage"]
    rows = told.rows(cover["untested"], key="key")
    if not told.part:
        yield Paragraph(_systems(cover))
    elif not rows:
        yield Paragraph("Read in time for every parameter, or not a system.")
    if rows:
        yield Table(("System", "Not read in time", "Last read"), tuple(_gaps(rows, told)))
    if cover["tanks"] and not told.part:
        yield Paragraph(_turning(cover))
    behind = told.rows(cover["behind"], key="key")
    if behind:
        yield Table(
            ("Tank passed by", "Last read in full"),
            tuple((spoken(one), told.moment(one["tested_at"])) for one in behind),
        )


def _out_row(row: Content, told: Told) -> tuple[str, ...]:
    mark = "" if row["verified"] else " *"
    before = "before this time, " if row["began_before"] else ""
    stage = " In start-up." if row["is_start_up"] else ""
    first = (
        f"{row['first']['sentence']}{mark}{stage}\nFrom {before}{told.moment(row['first']['at'])}, "
    )
    worst = row["worst"]
    more = "" if worst == row["first"] else f"\nWorst: {worst['text']}, {told.moment(worst['at'])}"
    again = row["passed"]
    return (
        told.water(row["water"]),
        f"{first}{row['first']['by']}{more}",
        lasted(row["minutes"]) if again else f"{lasted(row['minutes'])}, open",
        "\n".join(_act(act, told) for act in row["actions"]) or "nothing was said",
        _ended(row, told),
    )


def _ended(row: Content, told: Told) -> str:
    again, unsure = row["passed"], row["unsure"]
    if again:
        return f"{again['text']}\n{told.moment(again['at'])}, {again['by']}"
    if unsure:
        return f"still open: {unsure['text']} cannot tell\n{told.moment(unsure['at'])}"
    return "still open"


def _act(act: Content, told: Told) -> str:
    return f"{act['what']} ({told.moment(act['at'])}, {act['by']})"


def _why(row: Content) -> str:
    return ", ".join(part for part in (row["why"], row["by"]) if part)


def _systems(cover: Content) -> str:
    late = len(cover["untested"])
    if not cover["systems"]:
        return "There is no system here."
    if not late:
        return f"All {cover['systems']} systems were read in time for every parameter."
    return f"{late} of {cover['systems']} systems were not read in time at the end."


def _gaps(rows: Iterable[Content], told: Told) -> Iterator[tuple[str, str, str]]:
    for one in rows:
        for gap in one["missing"]:
            yield spoken(one), gap["name"], told.moment(gap["read_at"])


def _turning(cover: Content) -> str:
    return (
        f"Of {cover['tanks']} tanks by themselves {cover['tested']} were read in full in the last "
        f"7 days; the policy asks for {cover['needed']} ({cover['share_percent']} %), so that each "
        f"comes round within {cover['turn_days']} days."
    )
