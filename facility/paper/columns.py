"""How wide each column of a table is."""

from collections.abc import Collection, Sequence

from facility.paper.typeface import width_pt


def shared_pt(shares: Sequence[float], *, measure_pt: float) -> list[float]:
    """Divide the measure in these proportions."""
    return [measure_pt * share / sum(shares) for share in shares]


def fitted_pt(
    columns: Sequence[Sequence[str]],
    *,
    right: Collection[int],
    size_pt: float,
    gap_pt: float,
    measure_pt: float,
) -> list[float]:
    """Give each column its longest line; when that is too much, the long ones share what is left.

    Room to spare goes to the rightmost column not in ``right``: every table fills the measure.
    """
    wanted_pt = [_longest_pt(column, size_pt) + gap_pt for column in columns]
    given_pt = _shared_out(wanted_pt, measure_pt)
    spare_pt = measure_pt - sum(given_pt)
    stretched = max(column for column in range(len(columns)) if column not in right)
    given_pt[stretched] += spare_pt
    return given_pt


def _longest_pt(column: Sequence[str], size_pt: float) -> float:
    return max(width_pt(line, size_pt=size_pt) for cell in column for line in cell.split("\n"))


def _shared_out(wanted_pt: Sequence[float], measure_pt: float) -> list[float]:
    given_pt = [0.0] * len(wanted_pt)
    left_pt = measure_pt
    shortest_first = sorted(range(len(wanted_pt)), key=lambda column: wanted_pt[column])
    for served, column in enumerate(shortest_first):
        given_pt[column] = min(wanted_pt[column], left_pt / (len(wanted_pt) - served))
        left_pt -= given_pt[column]
    return given_pt
