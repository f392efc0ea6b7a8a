"""The plan of a start-up: first dose, alkalinity, seeding, devices and what to read when."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from typing import Final

from chemistry.alkalinity import dkh_from_meq_l, sodium_bicarbonate_g
from chemistry.dosing import (
    ammonium_chloride_g,
    implied_tan_mg_l_n,
    stock_ml,
    substance_in_stock_g,
)
from chemistry.feed import alkalinity_used_meq_l
from tanks.rules.dosing import measurable
from tanks.rules.feeding import load_to_prove_mg_l_n
from tanks.rules.preparation import OFF_WHILE_SEEDING, Appliance
from tanks.rules.terms import Terms

PRACTICE: Final = "common practice, no source"
_SEEDING_STEPS_L: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The ammonium chloride on the shelf: a solid of so much purity, or grams per litre."""

    name: str
    is_solution: bool
    strength: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstDose:
    """``grams`` of ammonium chloride, or ``millilitres`` of stock, as far as it can be measured.

    ``implied_mg_l_n`` is what the measured amount really makes.
    """

    target_mg_l_n: float
    grams: Decimal | None
    millilitres: Decimal | None
    implied_mg_l_n: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    parameter: str
    every_days: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlkalinityNeed:
    """What oxidising ``oxidised_mg_l_n`` uses up; 0.143 meq/L (0.40 dKH) for each mg of N."""

    oxidised_mg_l_n: float
    need_meq_l: float
    need_dkh: float
    sodium_bicarbonate_g: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    first_dose: FirstDose
    challenge_mg_l_n: float
    alkalinity: AlkalinityNeed
    seeding: str
    devices_off: tuple[str, ...]
    tests: tuple[Test, ...]


TESTS: Final = (
    Test(parameter="TAN", every_days=1, why="shows ammonia being oxidised and when to dose again"),
    Test(parameter="NITRITE", every_days=1, why="shows the second step, and stops dosing if high"),
    Test(parameter="PH", every_days=1, why="falls as alkalinity is used up"),
    Test(parameter="ALKALINITY", every_days=2, why="falls 0.143 meq/L for each mg/L-N oxidised"),
    Test(parameter="NITRATE", every_days=7, why="shows where the nitrogen went"),
)


def plan_of(
    *,
    litres: float,
    stock: Stock,
    seed: str,
    feed_g_per_day: float,
    protein_share: float,
    appliances: Iterable[Appliance],
    terms: Terms,
) -> Plan:
    """Return the plan for this much water."""
    challenge = load_to_prove_mg_l_n(
        terms=terms, feed_g_per_day=feed_g_per_day, protein_share=protein_share, volume_l=litres
    )
    off = (known.name for known in appliances if known.kind in OFF_WHILE_SEEDING)
    return Plan(
        first_dose=first_dose(stock, litres=litres, target_mg_l_n=terms.dose_mg_l_n),
        challenge_mg_l_n=challenge,
        alkalinity=_alkalinity(terms, challenge, litres),
        seeding=_seeding(seed, litres),
        devices_off=tuple(off) if seed != "NONE" else (),
        tests=TESTS,
    )


def first_dose(stock: Stock, *, litres: float, target_mg_l_n: float) -> FirstDose:
    """Return what to weigh or draw up, and the TAN that this very amount makes."""
    purity = 1.0 if stock.is_solution else stock.strength
    exact_g = ammonium_chloride_g(tan_mg_l_n=target_mg_l_n, volume_l=litres, purity=purity)
    if stock.is_solution:
        exact_ml = stock_ml(substance_g=exact_g, stock_g_l=stock.strength)
        millilitres, grams = measurable(exact_ml, "mL"), None
        in_it_g = substance_in_stock_g(stock_ml=float(millilitres), stock_g_l=stock.strength)
        amount = f"{millilitres} mL of {stock.name} ({stock.strength:g} g/L)"
    else:
        millilitres, grams = None, measurable(exact_g, "g")
        in_it_g = float(grams)
        amount = f"{grams} g of {stock.name}"
    implied = implied_tan_mg_l_n(ammonium_chloride_g=in_it_g, volume_l=litres, purity=purity)
    return FirstDose(
        target_mg_l_n=target_mg_l_n,
        grams=grams,
        millilitres=millilitres,
        implied_mg_l_n=implied,
        sentence=f"{amount} in {litres:g} L make {implied:.2f} mg/L-N.",
    )


def _alkalinity(terms: Terms, challenge_mg_l_n: float, litres: float) -> AlkalinityNeed:
    oxidised = terms.dose_mg_l_n + terms.passes_needed * challenge_mg_l_n
    need = alkalinity_used_meq_l(oxidised_mg_l_n=oxidised)
    grams = sodium_bicarbonate_g(rise_meq_l=need, volume_l=litres)
    return AlkalinityNeed(
        oxidised_mg_l_n=oxidised,
        need_meq_l=need,
        need_dkh=dkh_from_meq_l(alkalinity_meq_l=need),
        sodium_bicarbonate_g=grams,
        sentence=f"The first dose and {terms.passes_needed} challenges, {oxidised:.3g} mg/L-N, use "
        f"up {need:.2f} meq/L ({dkh_from_meq_l(alkalinity_meq_l=need):.1f} dKH): "
        f"{grams:.3g} g of sodium bicarbonate replace it. Every further mg/L-N uses 0.143 meq/L.",
    )


def _seeding(seed: str, litres: float) -> str:
    match seed:
        case "CULTURE":
            return (
                f"Use culture for at least the whole volume: for {_rounded_up(litres)} L or more "
                f"({PRACTICE})."
            )
        case "MATURE_MEDIA":
            return "Move media wet, at once, from a water of known health; note where it came from."
        case _:
            return f"No seeding: expect several weeks rather than two ({PRACTICE})."


def _rounded_up(litres: float) -> int:
    step = next((step for step in _SEEDING_STEPS_L if litres <= step * 10), 1000)
    return ceil(litres / step) * step
