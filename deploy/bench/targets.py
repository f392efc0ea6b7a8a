"""What the forecast is to reach, each beside what a run found.

The figures were set as "reachable but hard" on another simulator of about this difficulty; those
in days (CRPS, widths) move with how hard the drawn start-ups are, so read them beside the peer.
"""

from collections.abc import Iterator, Sequence
from typing import Any, Final, TypeAlias

Row: TypeAlias = dict[str, Any]
_CRPS_D: Final = {7: 6.0, 14: 4.9, 21: 5.0, 28: 4.6}
_COVERAGE: Final = {"50": (0.45, 0.60), "80": (0.76, 0.86), "90": (0.87, 0.95)}
_GROUP_FLOOR: Final = 0.70
_WIDTH80_D: Final = {14: 17.0, 28: 12.0}
_FIRST_DAYS: Final = (3, 5)
_BETTER_FROM_DAY: Final = 14
_BETTER_BY: Final = 0.20
_NEVER_DAY: Final = 7
_NEVER_AT_LEAST: Final = 0.8
_NEVER_AT_MOST: Final = 0.08
_ALARMS: Final = {  # share told, by day, and share of false alarms
    "seed killed": (0.95, 4, 0.02),
    "nitrite oxidisers missing": (0.85, 11, 0.02),
    "alkalinity exhausted by day 5": (0.95, 5, 0.01),
}


def targets(found: Row) -> list[Row]:
    """Return each target of a finished run: what was wanted, what was found, whether met."""
    days = [row for row in found["days"] if row["n"]]
    return [
        *_of_scores(days),
        *_of_ready_only(days),
        *_of_coverage(days),
        *_of_groups(found["subgroups"]),
        *_of_widths(days),
        *_of_never(days),
        *_of_alarms(found["alarms"]),
    ]


def _of_scores(days: Sequence[Row]) -> Iterator[Row]:
    for row in days:
        if (wanted := _CRPS_D.get(row["day"])) is not None:
            yield _at_most(f"CRPS, day {row['day']}", row["all"]["crps_d"]["ours"], wanted)
    for row in days:
        gain = row["all"]["gain_on_peer_d"]
        yield _at_most(f"CRPS less the peer's, upper 95 %, day {row['day']}", gain["high"], 0.0)


def _of_ready_only(days: Sequence[Row]) -> Iterator[Row]:
    for row in days:
        if not row["ready_only"]:
            continue
        crps = row["ready_only"]["crps_d"]
        ratio = crps["ours"] / crps["peer"]
        if row["day"] in _FIRST_DAYS:
            yield _at_most(f"CRPS over the peer's, ready only, day {row['day']}", ratio, 1.0)
        elif row["day"] >= _BETTER_FROM_DAY:
            wanted = 1.0 - _BETTER_BY
            yield _at_most(f"CRPS over the peer's, ready only, day {row['day']}", ratio, wanted)


def _of_coverage(days: Sequence[Row]) -> Iterator[Row]:
    for row in days:
        for band, (low, high) in _COVERAGE.items():
            share = row["coverage"][band]
            yield {
                "target": f"coverage of the {band} % band, day {row['day']}",
                "wanted": f"{low:.2f} to {high:.2f}",
                "found": share,
                "met": low <= share <= high,
            }


def _of_groups(groups: Sequence[Row]) -> Iterator[Row]:
    large = [row for row in groups if row["is_large"]]
    if large:
        worst = min(large, key=lambda row: float(row["coverage"]["80"]))
        name = f"lowest coverage of the 80 % band: {worst['group']}, day {worst['day']}"
        yield _at_least(name, worst["coverage"]["80"], _GROUP_FLOOR)


def _of_widths(days: Sequence[Row]) -> Iterator[Row]:
    for row in days:
        if (wanted := _WIDTH80_D.get(row["day"])) is not None:
            yield _at_most(
                f"width of the 80 % band, day {row['day']}", row["width80_d"]["ours"], wanted
            )


def _of_never(days: Sequence[Row]) -> Iterator[Row]:
    for row in days:
        never = row["never"]
        if row["day"] != _NEVER_DAY:
            continue
        if never["on_never_ready"] is not None:
            yield _at_least(
                "P(never), never ready, day 7", never["on_never_ready"], _NEVER_AT_LEAST
            )
        if never["on_ready"] is not None:
            yield _at_most("P(never), the others, day 7", never["on_ready"], _NEVER_AT_MOST)


def _of_alarms(rows: Sequence[Row]) -> Iterator[Row]:
    for row in rows:
        if row["alarm"] not in _ALARMS or not row["n"]:
            continue
        share, day, false = _ALARMS[row["alarm"]]
        in_time = sum(told <= day for told in row["days"]) / row["n"]
        yield _at_least(f"{row['alarm']}: told by day {day}", in_time, share)
        if row["n_healthy"]:
            yield _at_most(f"{row['alarm']}: false", row["false"], false)


def _at_most(target: str, found: float, wanted: float) -> Row:
    return {
        "target": target,
        "wanted": f"at most {wanted:g}",
        "found": found,
        "met": found <= wanted,
    }


def _at_least(target: str, found: float, wanted: float) -> Row:
    return {
        "target": target,
        "wanted": f"at least {wanted:g}",
        "found": found,
        "met": found >= wanted,
    }
