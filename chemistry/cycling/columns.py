"""What several waters' members have in common: one column each, along the last axis."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Final, Self

import numpy as np
import numpy.typing as npt

from chemistry.cycling.arrays import Precision, Truths, Whole

WIDEST: Final = 16384  # columns at once: fewer leave NumPy calling, more leave the cache


@dataclass(frozen=True, slots=True)
class Columns:
    """A dataclass whose arrays end in the same columns; other fields are shared by all."""

    def of(self, chosen: Truths | Whole | slice) -> Self:
        """Return the chosen columns only, or again and again."""
        return self._each(lambda rows: taken(rows, chosen), lambda part: part.of(chosen))

    def cast(self, precision: Precision) -> Self:
        """Return the same in single or double precision; whole numbers and truths stay."""

        def in_precision(rows: npt.NDArray[Any]) -> npt.NDArray[Any]:
            return rows.astype(precision) if rows.dtype.kind == "f" else rows

        return self._each(in_precision, lambda part: part.cast(precision))

    def _each(self, of_rows: Any, of_part: Any) -> Self:
        changed: dict[str, Any] = {}
        for one in fields(self):
            value = getattr(self, one.name)
            if isinstance(value, np.ndarray):
                changed[one.name] = of_rows(value)
            elif isinstance(value, Columns):
                changed[one.name] = of_part(value)
        return replace(self, **changed)

    @classmethod
    def joined(cls, several: Sequence[Self]) -> Self:
        """Return several side by side; what is shared is taken from the first."""
        found: dict[str, Any] = {}
        for one in fields(cls):
            values = [getattr(each, one.name) for each in several]
            if isinstance(values[0], np.ndarray):
                found[one.name] = np.ascontiguousarray(np.concatenate(values, axis=-1))
            elif isinstance(values[0], Columns):
                found[one.name] = type(values[0]).joined(values)
        return replace(several[0], **found)


def taken(rows: npt.NDArray[Any], chosen: Truths | Whole | slice) -> npt.NDArray[Any]:
    """Return the chosen columns with every row in one piece; plain indexing interleaves rows."""
    if isinstance(chosen, slice):
        return rows[..., chosen]
    places = np.flatnonzero(chosen) if chosen.dtype == np.bool_ else chosen
    return rows.take(places, axis=-1)


def batches(places: Sequence[int], *, widths: Sequence[int]) -> Iterator[list[int]]:
    """Split places, in order, into batches no wider than ``WIDEST`` unless one alone is."""
    batch: list[int] = []
    width = 0
    for place in places:
        if batch and width + widths[place] > WIDEST:
            yield batch
            batch, width = [], 0
        batch.append(place)
        width += widths[place]
    if batch:
        yield batch
