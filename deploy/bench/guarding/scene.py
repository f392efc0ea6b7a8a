"""One treatment as it should be: an agent, a water, animals, a container, people, all in order."""

import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final
from uuid import UUID

from deploy.bench.guarding.truth import Truth
from quarantine.rules.guard_facts import (
    Animals,
    Asked,
    Condition,
    Drum,
    Earlier,
    Ground,
    Ordered,
    Regime,
    Second,
)
from quarantine.rules.regimes import shipped

AT: Final = datetime(2026, 5, 4, 12, tzinfo=UTC)
HOUR: Final = timedelta(hours=1)
TANK, SUMP, DISPLAY = UUID(int=1), UUID(int=2), UUID(int=3)
ANA, MO = UUID(int=11), UUID(int=12)
BOTTLE, OTHER = UUID(int=21), UUID(int=22)
# Copper's share of the crystals and of the dry salt: IUPAC weights, worked out by hand.
_CRYSTALS, _DRY = 0.25450, 0.39813


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A container of the trade: what is truly in 1 g or 1 mL, and the levels that are ordered."""

    agent: str
    form: str
    strength: float
    unit: str
    meant: tuple[float, ...]
    fish: tuple[str, ...]
    is_bath: bool = False


_REEF: Final = ("Amphiprion ocellaris", "Zebrasoma flavescens", "Paracanthurus hepatus")
_POND: Final = ("Cyprinus carpio", "Carassius auratus", "Ictalurus punctatus")
_TROUT: Final = ("Oncorhynchus mykiss", "Salmo trutta")
_SMALL: Final = ("Paracheirodon innesi", "Corydoras paleatus", "Trichogaster lalius")
KINDS: Final = (
    Kind(
        agent="COPPER_FREE",
        form="CUSO4_5H2O",
        strength=1000 * _CRYSTALS,
        unit="g",
        meant=(0.16, 0.17, 0.18),
        fish=_REEF,
    ),
    Kind(
        agent="COPPER_FREE",
        form="CUSO4_5H2O_STOCK",
        strength=4 * _CRYSTALS,
        unit="mL",
        meant=(0.16, 0.17, 0.18),
        fish=_REEF,
    ),
    Kind(
        agent="FORMALIN",
        form="FORMALIN_37",
        strength=1000.0,
        unit="mL",
        meant=(200.0, 250.0),
        fish=_POND,
        is_bath=True,
    ),
    Kind(
        agent="FORMALIN",
        form="FORMALIN_37",
        strength=1000.0,
        unit="mL",
        meant=(150.0, 165.0),
        fish=_TROUT,
        is_bath=True,
    ),
    Kind(
        agent="HYDROGEN_PEROXIDE",
        form="H2O2",
        strength=396.1,
        unit="mL",
        meant=(50.0, 60.0, 70.0),
        fish=_POND,
        is_bath=True,
    ),
    Kind(
        agent="CHLORAMINE_T",
        form="CHLORAMINE_T",
        strength=1000.0,
        unit="g",
        meant=(12.0, 15.0, 18.0),
        fish=_TROUT,
        is_bath=True,
    ),
    Kind(
        agent="PRAZIQUANTEL",
        form="PRAZIQUANTEL",
        strength=1000.0,
        unit="g",
        meant=(2.0,),
        fish=_REEF,
    ),
    Kind(
        agent="METHYLENE_BLUE",
        form="METHYLENE_BLUE_STOCK",
        strength=10.0,
        unit="mL",
        meant=(1.0, 2.0),
        fish=_SMALL,
    ),
    Kind(
        agent="SODIUM_CHLORIDE",
        form="NACL",
        strength=1000.0,
        unit="g",
        meant=(1000.0, 2000.0, 2500.0),
        fish=_POND,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Everything that slips may spoil: the true side and what is recorded of it."""

    kind: Kind
    meant: float
    litres: float
    system_litres: float
    chance: random.Random
    before: float = 0.0
    intent: str = "START"
    changes: dict[str, Any] = field(default_factory=dict)

    @property
    def rise(self) -> float:
        return self.meant - self.before

    @property
    def right_amount(self) -> float:
        return self.rise * self.litres / self.kind.strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A dose entry: ``slip`` is what went wrong, and empty where nothing did."""

    slip: str
    asked: Asked
    ground: Ground
    regime: Regime
    truth: Truth


def scene(chance: random.Random, kind: Kind) -> Scene:
    return Scene(
        kind=kind,
        meant=chance.choice(kind.meant),
        litres=float(chance.choice((60, 80, 120, 240, 400, 650))),
        system_litres=float(chance.choice((1100, 1800, 2600))),
        chance=chance,
        intent="BATH" if kind.is_bath else "START",
    )


def drum(one: Scene) -> Drum:
    return Drum(
        id=BOTTLE,
        name=one.kind.form,
        agent=one.kind.agent,
        form=one.kind.form,
        strength=one.kind.strength,
        unit=one.kind.unit,
        expires_on=(AT + timedelta(days=one.chance.randint(0, 700))).date(),
        coldest_c=float(one.chance.choice((8, 12, 18))),
        is_tried=True,
    )


def animals(one: Scene) -> tuple[Animals, ...]:
    return tuple(
        Animals(lot=f"L-{number:04}", species=name, group="FISH", vessel="Q-01")
        for number, name in enumerate(one.chance.sample(one.kind.fish, k=2), 1)
    )


def asked(one: Scene, *, amount: float) -> Asked:
    return Asked(
        drum=drum(one),
        amount=amount,
        rise=one.rise,
        intent=one.intent,
        minutes=one.chance.choice((30, 45, 60)) if one.kind.is_bath else None,
        seen_members=frozenset([TANK]),
        seen_litres=one.litres,
        by=ANA,
        at=AT,
    )


def ground(one: Scene, dose: Asked, living: tuple[Animals, ...]) -> Ground:
    """What is recorded; the second person made the same slip, the worst that can be."""
    read_at = AT - one.chance.randint(1, 20) * HOUR
    return Ground(
        members=frozenset([TANK]),
        litres=one.litres,
        course_members=frozenset([TANK]),
        codes={TANK: "Q-01", SUMP: "S-1", DISPLAY: "D-01"},
        today=AT.date(),
        target=one.meant,
        level_low=one.before,
        level_high=one.before,
        animals=living,
        conditions={
            "TEMPERATURE": condition(one.chance.uniform(13.0, 25.0), read_at),
            "OXYGEN": condition(one.chance.uniform(6.0, 8.0), read_at),
            "ALKALINITY": condition(one.chance.uniform(1.5, 3.5), read_at),
        },
        seconds=(second(dose),),
        order=Ordered(high=one.meant * 1.1, minutes=None, until=AT + 200 * HOUR),
    )


def condition(value: float, at: datetime) -> Condition:
    return Condition(low=value, high=value, at=at)


def second(dose: Asked) -> Second:
    return Second(
        by=MO,
        by_name="Mo",
        at=AT - HOUR,
        drum=dose.drum.id,
        rise=dose.rise,
        litres=dose.seen_litres,
        amount=dose.amount,
    )


def earlier(one: Scene, *, hours_ago: float, rise: float, by: UUID = ANA) -> Earlier:
    return Earlier(
        by=by,
        by_name="Mo",
        at=AT - hours_ago * HOUR,
        told="An earlier dose",
        intent="BATH" if one.kind.is_bath else "START",
        rise=rise,
        drum=BOTTLE,
        drum_name=one.kind.form,
    )


def truth(one: Scene, dose: Asked, known: Ground, **changes: Any) -> Truth:
    """What really comes of it, where the records tell the truth; ``changes`` where they do not."""
    told: dict[str, Any] = {
        "agent": one.kind.agent,
        "level": one.before + dose.amount * one.kind.strength / one.litres,
        "meant": one.meant,
        "reached": tuple((living.species, living.group) for living in known.animals),
        "temperature_c": known.conditions["TEMPERATURE"].low,
        "oxygen_mg_l": known.conditions["OXYGEN"].low,
        "alkalinity_meq_l": known.conditions["ALKALINITY"].low,
        "minutes": dose.minutes,
    }
    return Truth(**told | changes)


def plain(one: Scene, *, slip: str = "", times: float = 1.0, **true: Any) -> Entry:
    """An entry where only the amount is ``times`` the right one, measured as well as people do."""
    amount = one.right_amount * times * one.chance.uniform(0.98, 1.02)
    dose = asked(one, amount=amount)
    known = ground(one, dose, animals(one))
    return Entry(
        slip=slip,
        asked=dose,
        ground=known,
        regime=shipped(one.kind.agent),
        truth=truth(one, dose, known, **true),
    )
