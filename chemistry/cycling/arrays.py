"""The array types of this package and the order of the rows of a state.

A state is (6, columns): TAN, nitrite and nitrate in mg/L as N, alkalinity in meq/L, and the
capacity of the ammonia and the nitrite oxidisers in mg N/L/d at 25 °C. A column is one member
of one water's ensemble; the columns of a water lie side by side.
"""

from typing import Any, Final, TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
Reals: TypeAlias = npt.NDArray[np.floating[Any]]  # of either precision
Whole: TypeAlias = npt.NDArray[np.int64]
Truths: TypeAlias = npt.NDArray[np.bool_]
Precision: TypeAlias = type[np.float32] | type[np.float64]

TAN: Final = 0
NITRITE: Final = 1
NITRATE: Final = 2
ALKALINITY: Final = 3
AMMONIA_OXIDISERS: Final = 4
NITRITE_OXIDISERS: Final = 5
STATE_ROWS: Final = 6

HOURS_PER_DAY: Final = 24.0
