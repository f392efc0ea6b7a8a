"""Losses of a site composed for page and CSV: by supplier, by species, survival, week by week."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from facility.models import Site
from facility.rules.wording import written
from facility.sockets.paper import Row, Table
from quarantine.queries.families import families_of
from quarantine.queries.weekly_deaths import Charted
from quarantine.rules.deaths_judged import chance, percent
from quarantine.rules.losses import WINDOWS_DAYS, Family, Loss, Losses, losses_by
from quarantine.rules.survival import Comparison, Curve, Lives, compare, curve

LOOKS_BACK: Final = timedelta(days=365)
_BY: Final[dict[str, Callable[[Family], str]]] = {
    "supplier": lambda family: family.supplier,
    "species": lambda family: family.species,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Survival:
    """Curves by name; with two, how often chance alone makes them differ as much."""

    curves: tuple[tuple[str, Curve, float], ...]
    comparison: Comparison | None


def recent_families(site: Site, *, at: datetime) -> list[Family]:
    """What arrived within a year."""
    return families_of(site, since=at - LOOKS_BACK, at=at)


def offered(families: Sequence[Family]) -> list[tuple[str, str]]:
    """What a curve can be drawn of: every supplier and species, as ``by:name`` with its words."""
    found = {
        (f"{by}:{key(family)}", f"{key(family)} ({by})")
        for family in families
        for by, key in _BY.items()
    }
    return sorted(found)


def survival_of(families: Sequence[Family], of: str) -> Survival:
    """All together, or one supplier or species beside the others."""
    by, _, name = of.partition(":")
    key = _BY.get(by)
    if key is None:
        return Survival(curves=_told([("All", families)]), comparison=None)
    mine = [family for family in families if key(family) == name]
    others = [family for family in families if key(family) != name]
    return Survival(
        curves=_told([(name, mine), ("The others", others)]),
        comparison=compare(_lives(mine), _lives(others)),
    )


def losses_table(families: Sequence[Family], by: str) -> Table:
    """One line for each supplier or species; every share with its interval and its n."""
    columns = (by.capitalize(), "Lots", "Dead on arrival")
    windows = tuple(f"Lost within {days} days" for days in WINDOWS_DAYS)
    return Table(
        columns=(*columns, *windows),
        rows=tuple(_row(line) for line in losses_by(families, _BY[by])),
        note="Share with its exact 95 % interval (Clopper and Pearson) and the numbers it is of. "
        "Windows count lots whose days are over; who was sold or left before then is left out.",
    )


def losses_file(families: Sequence[Family]) -> Table:
    """Supplier and species together, a number in each cell."""
    numbers = ("deaths", "of", "share", "low", "high", "left out")
    names = ("dead on arrival", *(f"within {days} d" for days in WINDOWS_DAYS))
    lines = losses_by(families, lambda one: f"{one.supplier}\t{one.species}")
    return Table(
        columns=(
            "supplier",
            "scientificName",
            "lots",
            *(f"{name}: {number}" for name in names for number in numbers),
        ),
        rows=tuple(
            (*line.name.split("\t"), str(line.lots), *_numbers((line.on_arrival, *line.within)))
            for line in lines
        ),
    )


def survival_table(name: str, told: Curve) -> Table:
    """The steps of one curve, as they are drawn."""
    return Table(
        columns=("Day", "At risk", "Died", "Alive", "Standard error", "95 % interval"),
        rows=tuple(
            (
                written(step.days),
                str(step.at_risk),
                str(step.deaths),
                percent(step.share),
                percent(step.error),
                f"{percent(step.low)} to {percent(step.high)}",
            )
            for step in told.steps
        ),
        note=f"{name}: {told.animals} animals, {told.deaths} died, {told.censored} sold, moved "
        "off, taken for a test or still here: seen alive until then, and neither survivors nor "
        "deaths.",
    )


def weeks_table(told: Charted) -> Table:
    points = told.shares.points if told.shares else ()
    rows = tuple(
        (
            week.begins_on.isoformat(),
            str(week.deaths),
            str(week.at_risk),
            percent(point.share),
            f"{percent(point.lower)} to {percent(point.upper)}",
            "outside" if point.is_outside else "usual",
        )
        for week, point in zip(told.weeks, points, strict=True)
    )
    centre = percent(told.shares.centre) if told.shares else "unknown"
    return Table(
        columns=("Week from", "Died", "At risk", "Share", "Usual between", "So it was"),
        rows=tuple(reversed(rows)),
        note=f"Usual: {centre} a week, of all these weeks. Exact limits, 0.135 % on each side.",
    )


def _told(groups: list[tuple[str, Sequence[Family]]]) -> tuple[tuple[str, Curve, float], ...]:
    found = ((name, _lives(families), families) for name, families in groups)
    return tuple(
        (name, told, max((one.age_days for one in families), default=0.0))
        for name, lives, families in found
        if (told := curve(lives)) is not None
    )


def _lives(families: Sequence[Family]) -> list[Lives]:
    return [each for family in families for each in family.lives()]


def _row(line: Losses) -> Row:
    told = (line.on_arrival, *line.within)
    return (line.name, str(line.lots), *(_words(loss) for loss in told))


def _words(loss: Loss) -> str:
    if loss.interval is None:
        return "none followed yet"
    share = loss.interval
    return (
        f"{percent(share.share)} ({percent(share.low)} to {percent(share.high)}), "
        f"{loss.deaths} of {loss.of}"
    )


def _numbers(told: tuple[Loss, ...]) -> Row:
    return tuple(
        cell
        for loss in told
        for cell in (
            str(loss.deaths),
            str(loss.of),
            *(_share(loss, name) for name in ("share", "low", "high")),
            str(loss.left_out),
        )
    )


def _share(loss: Loss, name: str) -> str:
    return "" if loss.interval is None else f"{getattr(loss.interval, name):.6f}"


def compared(told: Survival) -> str:
    """What the log-rank test says of two curves, in words."""
    if told.comparison is None:
        return ""
    (one, _, _), (other, _, _) = told.curves
    found = told.comparison
    return (
        f"{one} against {other.lower()}: log-rank χ² = {written(found.chi_square)}, "
        f"P = {chance(found.probability)}."
    )
