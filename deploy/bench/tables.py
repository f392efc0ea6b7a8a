"""The scores of ``bench forecast`` as tables a person can read in a terminal."""

from collections.abc import Sequence
from typing import Any, TypeAlias

Row: TypeAlias = dict[str, Any]


def forecast_tables(found: Row) -> str:
    return "\n\n".join(
        (
            _heading(found),
            _titled("True ready day", _truths(found["truth"])),
            _titled("CRPS, days (lower is better)", _scores(found["days"], "all")),
            _titled("The same, start-ups that became ready", _scores(found["days"], "ready_only")),
            _titled("Coverage, width, chance of never", _coverage(found["days"])),
            _titled("By subgroup, all days together", _groups(found["pooled"])),
            _titled("Causes", _alarms(found["alarms"])),
            _titled("Targets", _targets(found["targets"])),
            _pace(found["seconds"]),
        )
    )


def _heading(found: Row) -> str:
    return (
        f"{found['cycles']} start-ups of seed {found['seed']} ({found['seed_set']}), "
        f"{found['forecasts']} forecasts of {found['members']} members.\n"
        f"Peer: {found['peer']}."
    )


def _truths(rows: Sequence[Row]) -> list[list[str]]:
    return [
        ["scenario", "n", "q10", "median", "q90", "never"],
        *(
            [
                row["scenario"],
                str(row["n"]),
                *(_number(row["ready_day"][name]) for name in ("q10", "q50", "q90")),
                str(row["never"]),
            ]
            for row in rows
        ),
    ]


def _scores(rows: Sequence[Row], among: str) -> list[list[str]]:
    head = ["day", "n", "ours", "peer", "rule", "ours - peer", "95 %", "error ours", "peer", "rule"]
    return [head, *(_score(row["day"], row[among]) for row in rows if row.get(among))]


def _score(day: int, row: Row) -> list[str]:
    gain, crps, error = row["gain_on_peer_d"], row["crps_d"], row["median_error_d"]
    return [
        str(day),
        str(row["n"]),
        *(_number(crps[name]) for name in ("ours", "peer", "rule")),
        _number(gain["mean"]),
        f"{gain['low']:.2f} to {gain['high']:.2f}",
        *(_number(error[name]) for name in ("ours", "peer", "rule")),
    ]


def _coverage(rows: Sequence[Row]) -> list[list[str]]:
    head = ["day", "c50", "c80", "c90", "width 80", "peer", "P(never) if never", "else"]
    return [
        head,
        *(
            [
                str(row["day"]),
                *(_number(row["coverage"][band]) for band in ("50", "80", "90")),
                _number(row["width80_d"]["ours"]),
                _number(row["width80_d"]["peer"]),
                _number(row["never"]["on_never_ready"]),
                _number(row["never"]["on_ready"]),
            ]
            for row in rows
            if row["n"]
        ),
    ]


def _groups(rows: Sequence[Row]) -> list[list[str]]:
    head = ["by", "group", "n", "CRPS ours", "peer", "c50", "c80", "c90", "width 80", "bias"]
    return [
        head,
        *(
            [
                row["by"],
                row["group"],
                str(row["n"]),
                _number(row["crps_d"]["ours"]),
                _number(row["crps_d"]["peer"]),
                *(_number(row["coverage"][band]) for band in ("50", "80", "90")),
                _number(row["width80_d"]),
                _number(row["median_bias_d"]),
            ]
            for row in rows
        ),
    ]


def _alarms(rows: Sequence[Row]) -> list[list[str]]:
    head = ["alarm", "n", "told", "median day", "q90", "healthy", "false"]
    names = ("told", "median_day", "q90_day")
    return [
        head,
        *(
            [
                row["alarm"],
                str(row["n"]),
                *(_number(row[name]) for name in names),
                str(row["n_healthy"]),
                _number(row["false"]),
            ]
            for row in rows
        ),
    ]


def _targets(rows: Sequence[Row]) -> list[list[str]]:
    return [
        ["target", "wanted", "found", "met"],
        *(
            [row["target"], row["wanted"], _number(row["found"]), "yes" if row["met"] else "no"]
            for row in rows
        ),
    ]


def _pace(seconds: Row) -> str:
    return (
        f"One forecast alone: {seconds['alone_median_s']:.3f} s (median), "
        f"{seconds['alone_p95_s']:.3f} s (95 %); in a batch {seconds['batched_s']:.3f} s each."
    )


def _number(value: float | None) -> str:
    return "-" if value is None else f"{value:.2f}"


def _titled(title: str, rows: Sequence[Sequence[str]]) -> str:
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    lines = (
        "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))
        for row in rows
    )
    return "\n".join((title, *lines))
