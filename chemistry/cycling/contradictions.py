"""Where a record argues with itself: then reading once more comes before anything is added.

Each finding asks for one more reading and is settled by it, whatever it says; none can ask twice
for the same thing. How far apart two kits may be is common practice, no source.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats
from chemistry.cycling.case import AmmoniumDose, Case, Reading
from chemistry.cycling.due import altered
from chemistry.cycling.standing import Standing
from chemistry.cycling.values import Span

_SOON_H: Final = 6.0
_RECENT_H: Final = 12.0
_TIMES: Final = 2.5
_APART_MG_L_N: Final = 0.5
_UNSEEN_SHARE: Final = 0.4
_SURE: Final = (0.01, 0.99)
_WORDS: Final = {"tan": "ammonia", "nitrite": "nitrite"}


def contradiction(now: Standing, case: Case) -> str | None:
    """Return one sentence on the first contradiction found, or None."""
    return next((told for rule in _RULES if (told := rule(now, case))), None)


def _overdosed(_now: Standing, case: Case) -> str | None:
    dose, cap = _last_dose(case), case.plan.tan_cap_mg_l_n
    if dose is None or dose.rise_mg_l_n <= cap or _read_since(case, dose.t_h):
        return None
    return (
        f"A dose of {dose.rise_mg_l_n:.1f} mg/L-N is recorded on day {dose.t_h / 24:.0f}, over the "
        f"cap of {cap:g}: check the entry, and read ammonia before anything is added."
    )


def _dose_unseen(now: Standing, case: Case) -> str | None:
    """The one reading soon after a dose shows far too little, or far too much."""
    dose = _last_dose(case)
    after = _read_since(case, dose.t_h) if dose else []
    if dose is None or len(after) != 1 or after[0].t_h - dose.t_h > _SOON_H:
        return None
    eaten = now.removal_mg_l_d * (after[0].t_h - dose.t_h) / 24.0
    few = after[0].span.high < _UNSEEN_SHARE * dose.rise_mg_l_n - eaten
    many = after[0].span.low > _TIMES * (dose.rise_mg_l_n + _before(case, dose)) + _APART_MG_L_N
    if not (few or many):
        return None
    return (
        f"Ammonia read {_shown(after[0])} mg/L-N soon after a recorded dose of "
        f"{dose.rise_mg_l_n:.1f}: check what was weighed, the net volume and the basis of the kit, "
        "and read again before anything is added."
    )


def _twins(_now: Standing, case: Case) -> str | None:
    """Two readings of the same water, taken close together, that cannot both be right."""
    for parameter, word in _WORDS.items():
        first, second = ([None, None, *case.of(parameter)])[-2:]
        if first is None or second is None or second.t_h - first.t_h > _SOON_H:
            continue
        is_same_water = not altered(case, since_h=first.t_h, until_h=second.t_h)
        if is_same_water and _disagree(first.span, second.span):
            return (
                f"Two {word} readings of the same water say {_shown(first)} and {_shown(second)} "
                "mg/L-N: read again, both kits side by side, before anything is added."
            )
    return None


def _unaccounted(now: Standing, case: Case) -> str | None:
    """A lone new reading that no account of the record so far expects."""
    for parameter, members in (("tan", now.tan_members), ("nitrite", now.nitrite_members)):
        recent = [one for one in case.of(parameter) if case.now_h - one.t_h <= _RECENT_H]
        if len(recent) != 1 or altered(case, since_h=recent[0].t_h):
            continue
        low, high = _span(members)
        if _disagree(recent[0].span, Span(max(low - now.removal_mg_l_d, 0.0), high)):
            return (
                f"The last {_WORDS[parameter]} reading of {_shown(recent[0])} mg/L-N does not go "
                f"with the record, which speaks of {low:.1f} to {high:.1f}: read again before "
                "anything is added."
            )
    return None


def _span(members: Floats) -> tuple[float, float]:
    low, high = np.quantile(members, _SURE).tolist()
    return low, high


def _disagree(first: Span, second: Span) -> bool:
    lower, higher = sorted((first, second), key=lambda span: span.low)
    return higher.low > _TIMES * lower.high + _APART_MG_L_N


def _last_dose(case: Case) -> AmmoniumDose | None:
    doses = [event for event in case.events if isinstance(event, AmmoniumDose)]
    return max(doses, key=lambda dose: dose.t_h, default=None)


def _read_since(case: Case, t_h: float) -> list[Reading]:
    return [reading for reading in case.of("tan") if reading.t_h > t_h]


def _before(case: Case, dose: AmmoniumDose) -> float:
    """Return the most that the last reading before the dose allows; 0 if there was none."""
    past = [reading for reading in case.of("tan") if reading.t_h <= dose.t_h]
    return past[-1].span.high if past else 0.0


def _shown(reading: Reading) -> str:
    span = reading.span
    if span.is_exact:
        return f"{span.low:.2g}"
    if span.low == -np.inf:
        return f"below {span.high:.2g}"
    return f"over {span.low:.2g}" if span.high == np.inf else f"{span.low:.2g} to {span.high:.2g}"


_RULES: Final[tuple[Callable[[Standing, Case], str | None], ...]] = (
    _overdosed,
    _dose_unseen,
    _twins,
    _unaccounted,
)
