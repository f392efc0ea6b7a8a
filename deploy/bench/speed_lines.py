"""The times of ``bench speed`` as lines a person can read in a terminal."""

from collections.abc import Iterator
from typing import Any, TypeAlias

Row: TypeAlias = dict[str, Any]


def speed_lines(found: Row) -> str:
    return "\n".join(_lines(found))


def _lines(found: Row) -> Iterator[str]:
    one, many, ammonia = found["one_forecast"], found["many_forecasts"], found["unionised"]
    yield (
        f"{ammonia['count']:,} un-ionised fractions: {ammonia['seconds']:.4f} s, "
        f"{ammonia['speed_of_bare']:.2f} of the bare expression's speed."
    )
    yield (
        f"One forecast of {one['members']:,} members: {one['median_s']:.2f} s (median of "
        f"{one['forecasts']}), {one['p95_s']:.2f} s (95 %)."
    )
    yield (
        f"{many['systems']:,} systems of {many['members']:,} members, on day "
        f"{many['mean_day']:.0f} in the mean, {found['workers']} process(es): "
        f"{many['seconds']:.0f} s."
    )
    yield from _schemes(found["integrator"])


def _schemes(found: Row | None) -> Iterator[str]:
    if found is None:
        yield "LSODA: not compared, SciPy is not installed."
        return
    for one in found["schemes"]:
        yield f"Our scheme, {one['step_h']:g} h: {_told(one)}"
    for one in found["lsoda"]:
        yield f"LSODA, rtol {one['rtol']:g}: {_told(one)}"


def _told(one: Row) -> str:
    return f"{one['ms_per_member']:.2f} ms per member, error {one['largest_error_mg_l_n']:.2g} mg/L"
