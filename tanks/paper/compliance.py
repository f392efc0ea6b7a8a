"""The report of a month on paper: limits, what broke them, what was done, what was not tested."""

from collections.abc import Iterator
from typing import Final

from facility.sockets.paper import Block, Caution, Facts, Paragraph, Section, Signature, Table
from tanks.paper.told import (
    LEVELS,
    Content,
    Told,
    lasted,
    not_covered,
    out_of_range,
    tests_left,
)

_KINDS: Final = {"FRESH": "Fresh", "BRACKISH": "Brackish", "MARINE": "Sea"}
_LIMIT_COLUMNS: Final = ("Water", "Stage", "Parameter", "Range", "Asks", "Source", "Verified")
_LIMIT_WIDTHS: Final = (0.1, 0.12, 0.13, 0.16, 0.08, 0.26, 0.15)


def sections(content: Content, part: str) -> tuple[Section, ...]:
    """Set out a kept month; ``part`` is the key of one water, or empty for all."""
    told = Told(content=content, part=part)
    return (
        Section("In short", tuple(_short(told))),
        out_of_range(told),
        Section("What was not tested", tuple(_not_tested(told))),
        Section("Limits", tuple(_limits(told))),
        Section("Signatures", tuple(_signatures())),
    )


def _short(told: Told) -> Iterator[Block]:
    content, rows = told.content, told.rows(told.content["exceedances"])
    if not content["readings"]:
        yield Caution("No reading was taken here in this month: nothing is known of its water.")
    longest = max((row["minutes"] for row in rows), default=0)
    pairs = [
        ("Exceedances", str(len(rows))),
        ("Of them in start-up", str(sum(row["is_start_up"] for row in rows))),
        ("Open at the end", str(sum(row["passed"] is None for row in rows))),
        ("Without a corrective action", str(sum(not row["actions"] for row in rows))),
        ("Longest", lasted(longest) if rows else "none"),
    ]
    if not told.part:
        pairs += [
            ("Waters", str(len(content["waters"]))),
            ("Samples", str(content["samples"])),
            ("Readings", str(content["readings"])),
            ("Jurisdiction", content["jurisdiction"]),
        ]
    yield Facts(tuple(pairs))


def _not_tested(told: Told) -> Iterator[Block]:
    unread = [key for key in told.content["unread"] if not told.part or key == told.part]
    if unread:
        names = ", ".join(told.water(key) for key in unread)
        yield Caution(f"Not read once in this month: {names}.")
    yield from not_covered(told)
    yield from tests_left(told)


def _limits(told: Told) -> Iterator[Block]:
    rows = told.content["limits"]
    if not rows:
        yield Caution("The site had adopted no limits: nothing could be out of range.")
        return
    yield Paragraph(
        "Limits that ask to act now or today count as exceeded by a reading beyond them; those to "
        "watch do not. A limit that is not verified is from memory or common practice: check it "
        "before relying on it. Local law overrides every limit here."
    )
    yield Table(_LIMIT_COLUMNS, tuple(_limit(row, told) for row in rows), widths=_LIMIT_WIDTHS)


def _limit(row: Content, told: Told) -> tuple[str, ...]:
    turns = [("from", row["since"]), ("until", row["until"])]
    only = "".join(f"\n{word} {told.moment(at)}" for word, at in turns if at)
    source = ", ".join(
        part for part in (row["source"], row["edition"], row["jurisdiction"]) if part
    )
    seen = f"{row['verified_on']}, {row['verified_by']}" if row["verified_on"] else "not verified"
    return (
        _KINDS[row["water_kind"]],
        row["stage"],
        row["parameter"],
        f"{row['range']}{only}",
        LEVELS[row["level"]],
        source,
        seen,
    )


def _signatures() -> Iterator[Block]:
    yield Signature("Went through this report, and knows of nothing that is missing in it")
    yield Signature("Reviewed it as a second person")
