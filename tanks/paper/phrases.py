"""Words of a dossier that recur: moments with their offset, who entered and what replaced what."""

from collections.abc import Mapping
from datetime import datetime, timedelta, tzinfo
from typing import Any, Final
from uuid import UUID

from facility.rules.wording import Number, written
from tanks.queries.entries import LATE_AFTER

_AT_ONCE: Final = timedelta(minutes=1)


def stamp(at: datetime | None, zone: tzinfo) -> str:
    """``2026-03-29 13:00+01:00``: the site's clock and its offset, ISO 8601."""
    return at.astimezone(zone).isoformat(sep=" ", timespec="minutes") if at else ""


def amount(value: Number, unit: str = "") -> str:
    return f"{written(value)} {unit}".strip() if value is not None else ""


def entered(row: Any, zone: tzinfo) -> str:
    """Who told Penstock, and when; late entries are marked."""
    late = row.recorded_at - row.happened_at
    if row.corrects_id is None and timedelta(0) <= late < _AT_ONCE:
        return f"{row.by.full_name}\nat once"
    mark = f"\nlate by {_length(late)}" if row.corrects_id is None and late > LATE_AFTER else ""
    return f"{row.by.full_name}\n{stamp(row.recorded_at, zone)}{mark}"


def standing(row: Any, known: Mapping[UUID, Any], first: str) -> str:
    """What became of the row, or of the row before it; ``first`` is what that one said."""
    if row.withdrawn:
        return f"Withdraws {first}: {row.reason}"
    told = []
    if row.corrects_id in known:
        told.append(f"Replaces {first}: {row.reason}")
    later = getattr(row, "correction", None)
    if later is not None:
        told.append("Withdrawn, see below." if later.withdrawn else "First value, replaced below.")
    return " ".join(told)


def _length(span: timedelta) -> str:
    hours, minutes = divmod(int(span / timedelta(minutes=1)), 60)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"
