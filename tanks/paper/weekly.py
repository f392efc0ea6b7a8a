"""The report of a week on paper: water quality and test coverage."""

from collections.abc import Iterator

from facility.sockets.paper import Block, Caution, Paragraph, Section, Table
from tanks.paper.told import Content, Told, not_covered, out_of_range, tests_left

_COLUMNS = ("Water", "Parameter", "Unit", "n", "Least", "Median", "Greatest", "Out", "Last read")
_WIDTHS = (0.16, 0.17, 0.11, 0.05, 0.1, 0.11, 0.1, 0.05, 0.15)


def sections(content: Content, part: str) -> tuple[Section, ...]:
    """Set out a kept week; ``part`` is the key of one water, or empty for all."""
    told = Told(content=content, part=part)
    return (
        out_of_range(told),
        Section("Test coverage", tuple(not_covered(told))),
        Section("Tests due", tuple(tests_left(told))),
        Section("Readings", tuple(_readings(told))),
        Section("How to read it", (_method(),)),
    )


def _readings(told: Told) -> Iterator[Block]:
    rows = told.rows(told.content["readings"])
    if not rows:
        yield Caution("No reading was taken here in this week: nothing is known of its water.")
    yield Table(_COLUMNS, tuple(_row(row, told) for row in rows), widths=_WIDTHS)


def _row(row: Content, told: Told) -> tuple[str, ...]:
    return (
        told.water(row["water"]),
        row["name"],
        row["unit"],
        str(row["count"]),
        row["least"],
        row["median"],
        row["greatest"],
        str(row["out"]),
        told.moment(row["last_at"]),
    )


def _method() -> Paragraph:
    return Paragraph(
        "Readings are those held true when this was kept, each in the water it was taken in at "
        "its moment, in one unit whatever was written. What lies below detection stays a bound "
        "and is never counted as nothing. Of an even number the median is the mean of the middle "
        "two, or their span where one is a bound. Out counts readings outside a limit that asks "
        "for action. A system counts as covered only when each parameter was read in time."
    )
