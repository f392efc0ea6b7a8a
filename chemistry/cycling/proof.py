"""From a challenge every day to the moment a water became ready."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Truths, Whole
from chemistry.cycling.case import ReadyDefinition
from chemistry.cycling.columns import Columns

_LEAST: Final = 1e-12


def days_sustained(definition: ReadyDefinition) -> int:
    """Return how many daily challenges after the first must pass too."""
    return math.ceil(definition.sustained_h / HOURS_PER_DAY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof(Columns):
    """What the daily scores have shown of each column so far.

    ``began`` is the day, with its fraction, on which the running row of passes began.
    """

    row: Whole
    before: Floats
    began: Floats
    is_ready: Truths

    @classmethod
    def none_yet(cls, columns: int) -> "Proof":
        return cls(
            row=np.zeros(columns, dtype=np.int64),
            before=np.zeros(columns),
            began=np.full(columns, np.inf),
            is_ready=np.zeros(columns, dtype=np.bool_),
        )

    def after(self, score: Floats, *, day: int, sustained: int) -> "Proof":
        """Return the proof after one more day's scores.

        A row that begins is dated back to where the score, taken as straight between two days,
        crossed zero. Once ready is ready for good.
        """
        passes = score <= 0.0
        begins = passes & (self.row == 0) & ~self.is_ready
        crossed = self.before / np.maximum(self.before - score, _LEAST)
        dated = day - 1.0 + np.clip(crossed, 0.0, 1.0) if day else np.zeros_like(score)
        row = np.where(passes, self.row + 1, 0)
        return replace(
            self,
            row=row,
            before=score,
            began=np.where(begins, dated, self.began),
            is_ready=self.is_ready | (row > sustained),
        )
