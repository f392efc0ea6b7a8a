"""What to do next and why: the plain plan, unless the ensemble objects.

The plan doses when ammonia and nitrite are both low. The objections, in order: nothing recent
was read, the record contradicts itself, alkalinity would run out, the water is over the ammonia
cap, a pass can be proven now, the seed does not work. None of this replaces local rules or
veterinary judgement.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from chemistry.cycling.case import Case
from chemistry.cycling.contradictions import contradiction
from chemistry.cycling.due import (
    ammonia_is_low,
    keeps_cap,
    last_fresh,
    nitrite_is_low,
    planned_dose_mg_l_n,
)
from chemistry.cycling.standing import Standing
from chemistry.feed import ALKALINITY_MEQ_PER_MG_N

StepKind: TypeAlias = Literal["dose", "wait", "buffer", "water_change", "challenge", "retest"]

LIKELY: Final = 0.5
ALMOST_SURE: Final = 0.9
PASS_WORTH_PROVING: Final = 0.8
_STALE_H: Final = 48.0
_RESERVE_MEQ_L: Final = 0.5
_START_UP_MEQ_L: Final = 2.0  # about 100 mg/L as CaCO3: Losordo & DeLong, starting biofilters
_AMPLE_MEQ_L: Final = 4.0  # common practice, no source: a low pH is then carbon dioxide
_IDLE_MG_L_D: Final = 0.3
_STRONG_NITRITE_MG_L_N: Final = 10.0
_LARGEST_CHANGE: Final = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """``unit`` is mg/L-N, meq/L or fraction; ``why`` is one sentence."""

    kind: StepKind
    why: str
    amount: float | None = None
    unit: str | None = None


def next_step(now: Standing, *, case: Case) -> NextStep:
    """Return the one thing to do next."""
    answers = (rule(now, case) for rule in _IN_ORDER)
    return next((answer for answer in answers if answer), None) or _wait(now, case)


def _retest(now: Standing, _case: Case) -> NextStep | None:
    if now.unread_h <= _STALE_H:
        return None
    return NextStep(
        kind="retest",
        why=f"Ammonia and nitrite were last both read {now.unread_h / 24:.0f} days ago: read them "
        "before anything is added.",
    )


def _settle(now: Standing, case: Case) -> NextStep | None:
    why = contradiction(now, case)
    return NextStep(kind="retest", why=why) if why else None


def _buffer(now: Standing, case: Case) -> NextStep | None:
    spent_meq_l = ALKALINITY_MEQ_PER_MG_N * (now.tan_mg_l_n + _coming_mg_l_n(now, case))
    left_meq_l = now.alkalinity_meq_l - spent_meq_l
    is_short = left_meq_l < _RESERVE_MEQ_L or now.causes["low_alkalinity"] > LIKELY
    is_sour = now.ph <= case.plan.adds_alkalinity_when_ph_at_or_below
    if not is_short and not (is_sour and now.alkalinity_meq_l < _AMPLE_MEQ_L):
        return None
    return NextStep(
        kind="buffer",
        amount=round(max(_START_UP_MEQ_L - left_meq_l, case.plan.alkalinity_step_meq_l), 1),
        unit="meq/L",
        why=f"About {now.alkalinity_meq_l:.1f} meq/L of alkalinity is left at pH {now.ph:.1f} and "
        f"the ammonia to come takes {spent_meq_l:.1f}: without more, oxidation slows or stops.",
    )


def _coming_mg_l_n(now: Standing, case: Case) -> float:
    """Return the ammonia that the plan or the challenge is about to add."""
    if now.pass_now >= PASS_WORTH_PROVING:
        return _top_up_mg_l_n(now, case)
    return planned_dose_mg_l_n(now, case)


def _water_change(now: Standing, case: Case) -> NextStep | None:
    cap = case.plan.tan_cap_mg_l_n
    if now.tan_mg_l_n > cap:
        return _exchange(now.tan_mg_l_n, cap, f"TAN, over the cap of {cap:g}")
    inhibited = now.causes["inhibition"] > LIKELY
    if inhibited and now.nitrite_mg_l_n > _STRONG_NITRITE_MG_L_N:
        return _exchange(now.nitrite_mg_l_n, _STRONG_NITRITE_MG_L_N, "nitrite")
    return None


def _exchange(held_mg_l_n: float, bearable_mg_l_n: float, what: str) -> NextStep:
    fraction = min(1.0 - 0.5 * bearable_mg_l_n / held_mg_l_n, _LARGEST_CHANGE)
    return NextStep(
        kind="water_change",
        amount=round(fraction, 2),
        unit="fraction",
        why=f"The water holds about {held_mg_l_n:.1f} mg/L-N of {what}, enough to hold the "
        "oxidisers back; the filter keeps its growth when the water goes.",
    )


def _challenge(now: Standing, case: Case) -> NextStep | None:
    top_up_mg_l_n, amount = _top_up_mg_l_n(now, case), case.ready.challenge_mg_l_n
    if now.pass_now < PASS_WORTH_PROVING or not keeps_cap(now, case, dose_mg_l_n=top_up_mg_l_n):
        return None
    return NextStep(
        kind="challenge",
        amount=top_up_mg_l_n,
        unit="mg/L-N",
        why=f"A {case.ready.window_h:g}-hour pass at {amount:g} mg/L-N has a chance of "
        f"{now.pass_now:.0%} now: top up, then read ammonia and nitrite at its end.",
    )


def _top_up_mg_l_n(now: Standing, case: Case) -> float:
    return round(max(case.ready.challenge_mg_l_n - now.tan_mg_l_n, 0.0), 1)


def _reseed(now: Standing, _case: Case) -> NextStep | None:
    weak = now.causes["weak_or_dead_seed"] > ALMOST_SURE
    if not weak or now.removal_mg_l_d > _IDLE_MG_L_D:
        return None
    return NextStep(
        kind="retest",
        why="The seed shows almost no uptake: prove that no chlorine is left and ultraviolet is "
        "off, then seed again.",
    )


def _dose(now: Standing, case: Case) -> NextStep | None:
    amount = planned_dose_mg_l_n(now, case)
    if not amount:
        return None
    return NextStep(
        kind="dose",
        amount=amount,
        unit="mg/L-N",
        why=f"{_why_feed(now, case)}; {_why_amount(amount, case)}.",
    )


def _why_feed(now: Standing, case: Case) -> str:
    if not case.of("tan"):
        return "No ammonia has been read yet, and the plan begins with this dose"
    return (
        f"Ammonia and nitrite are down to about {now.tan_mg_l_n:.1f} and "
        f"{now.nitrite_mg_l_n:.1f} mg/L-N, so the oxidisers need feeding"
    )


def _why_amount(amount_mg_l_n: float, case: Case) -> str:
    cap, planned = case.plan.tan_cap_mg_l_n, case.plan.redose_mg_l_n
    if amount_mg_l_n < planned:
        return f"less than the plan's {planned:g}, which might pass the cap of {cap:g}"
    return f"the cap of {cap:g} is kept"


def _wait(now: Standing, case: Case) -> NextStep:
    return NextStep(kind="wait", amount=1.0, unit="d", why=_reason_to_wait(now, case))


def _reason_to_wait(now: Standing, case: Case) -> str:
    if now.causes["cold"] > LIKELY:
        return "Cold holds the oxidisers back: warm the water, and read again tomorrow."
    if not ammonia_is_low(now, case):
        return (
            f"About {_held(case, 'tan', now.tan_mg_l_n):.1f} mg/L-N of ammonia is still there to "
            "be oxidised: more would only slow it; read again tomorrow."
        )
    if not nitrite_is_low(now, case):
        return (
            f"Nitrite stands at about {_held(case, 'nitrite', now.nitrite_mg_l_n):.1f} mg/L-N and "
            f"must fall to {case.plan.nitrite_at_or_below_mg_l_n:g} before the next dose: read "
            "again tomorrow."
        )
    return "Any dose would risk passing the ammonia cap: read again tomorrow."


def _held(case: Case, parameter: str, median_mg_l_n: float) -> float:
    """Return today's reading or the median, whichever is higher and so keeps the dose back."""
    fresh = last_fresh(case, parameter)
    read = fresh.span.low if fresh else 0.0
    return max(read, median_mg_l_n)


_IN_ORDER: Final[tuple[Callable[[Standing, Case], NextStep | None], ...]] = (
    _retest,
    _settle,
    _buffer,
    _water_change,
    _challenge,
    _reseed,
    _dose,
)
