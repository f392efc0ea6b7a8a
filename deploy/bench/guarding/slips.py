"""The slips of trade practice, each made on purpose in an entry that was right otherwise."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any, Final, TypeAlias

from deploy.bench.guarding.scene import (
    AT,
    DISPLAY,
    HOUR,
    MO,
    OTHER,
    SUMP,
    TANK,
    Entry,
    Scene,
    condition,
    earlier,
    plain,
    second,
)
from quarantine.rules.guard_facts import Animals, Asked, Ground

Slip: TypeAlias = Callable[[Scene], Entry]


def _with(entry: Entry, *, dose: Asked, known: Ground | None = None, **true: Any) -> Entry:
    """The same entry with another dose, its second person's copy of it, and what comes of it."""
    told = replace(known or entry.ground, seconds=(second(dose),))
    fresh = replace(entry.truth, **true)
    return replace(entry, asked=dose, ground=told, truth=fresh)


def _system_seen(one: Scene) -> Entry:
    """The sheet was opened on the system; the valve was closed before it was saved."""
    entry = plain(one, slip="system's volume into the shut-off tank", times=_ratio(one))
    seen = replace(entry.asked, seen_members=frozenset([TANK, SUMP]), seen_litres=one.system_litres)
    return _with(entry, dose=seen)


def _system_by_hand(one: Scene) -> Entry:
    return plain(one, slip="system's volume, reckoned by hand", times=_ratio(one))


def _valve_open(one: Scene) -> Entry:
    """Dosed for the tank while it stands open: too little, and it reaches the display."""
    entry = plain(one, slip="valve open: not isolated")
    mixed = frozenset([TANK, SUMP, DISPLAY])
    known = replace(
        entry.ground,
        members=mixed,
        litres=one.system_litres,
        animals=(*entry.ground.animals, _living("Turbo fluctuosus", "MOLLUSC", "D-01")),
    )
    reached = (*entry.truth.reached, ("Turbo fluctuosus", "MOLLUSC"))
    level = entry.truth.level * one.litres / one.system_litres
    return _with(entry, dose=entry.asked, known=known, reached=reached, level=level)


def _remeasured(one: Scene) -> Entry:
    """The volume was measured anew after the sheet was opened, and is far less."""
    entry = plain(one, slip="volume measured anew since", times=1.4)
    return _with(entry, dose=replace(entry.asked, seen_litres=one.litres * 1.4))


def _full_after_change(one: Scene) -> Entry:
    """A third was changed; the full dose goes in again."""
    left = replace(one, before=one.meant * 0.67)
    times = one.meant / left.rise
    entry = plain(left, slip="full dose after a change", times=times)
    before = earlier(one, hours_ago=30, rise=one.meant)
    known = replace(entry.ground, earlier=(before,), informed_at=AT - HOUR)
    dose = replace(entry.asked, intent="REDOSE")
    return _with(entry, dose=dose, known=known)


def _twice(one: Scene) -> Entry:
    """Two people, one dose each, on one day."""
    entry = plain(one, slip="same dose by two people")
    before = earlier(one, hours_ago=one.chance.uniform(1, 11), rise=one.meant, by=MO)
    known = replace(entry.ground, earlier=(before,), level_low=one.meant, level_high=one.meant)
    level = entry.truth.level + one.meant
    return _with(entry, dose=entry.asked, known=known, level=level, hours_since=4.0)


def _expired(one: Scene) -> Entry:
    entry = plain(one, slip="out of date", is_in_date=False)
    gone = (AT - timedelta(days=one.chance.randint(1, 400))).date()
    return _with(entry, dose=_drum(entry, expires_on=gone))


def _other_agent(one: Scene) -> Entry:
    entry = plain(one, slip="another agent's container", is_what_it_says=False)
    return _with(entry, dose=_drum(entry, id=OTHER, agent="COPPER_BOUND"))


def _other_drum(one: Scene) -> Entry:
    """The label says the same; nobody tried it on a few animals."""
    entry = plain(one, slip="identically labelled container", is_what_it_says=False)
    before = earlier(one, hours_ago=100, rise=one.meant)
    known = replace(entry.ground, earlier=(before,))
    return _with(entry, dose=_drum(entry, id=OTHER, is_tried=False), known=known)


def _living_there(one: Scene, *, species: str, group: str, agents: tuple[str, ...]) -> Entry:
    entry = plain(one, slip=f"{group.lower().replace('_', ' ')} in the water")
    if one.kind.agent not in agents:
        return entry
    there = _living(species, group, one.chance.choice(("Q-01", "Q-02")))
    known = replace(entry.ground, animals=(*entry.ground.animals, there))
    reached = (*entry.truth.reached, (species, group))
    return _with(entry, dose=entry.asked, known=known, reached=reached)


def _conditions(one: Scene, *, name: str, value: float, hours_ago: int = 2) -> Entry:
    """The water is out of range, and was read so; or was read too long ago to be known."""
    stale = hours_ago > 24  # noqa: PLR2004  hours
    entry = plain(one, slip=f"{name.lower()} {'not read' if stale else 'out of range'}")
    told = condition(2.4 if stale else value, AT - hours_ago * HOUR)
    known = replace(entry.ground, conditions=dict(entry.ground.conditions) | {name: told})
    true = {
        "ALKALINITY": "alkalinity_meq_l",
        "OXYGEN": "oxygen_mg_l",
        "TEMPERATURE": "temperature_c",
    }
    return _with(entry, dose=entry.asked, known=known, **{true[name]: value})


def _too_long(one: Scene) -> Entry:
    minutes = one.chance.choice((61, 75, 90, 120))
    entry = plain(one, slip="bath too long")
    return _with(entry, dose=replace(entry.asked, minutes=minutes), minutes=minutes)


def _too_soon(one: Scene) -> Entry:
    hours = one.chance.uniform(12.5, 19)
    entry = plain(one, slip="next bath too soon")
    known = replace(entry.ground, earlier=(earlier(one, hours_ago=hours, rise=one.meant),))
    return _with(entry, dose=entry.asked, known=known, hours_since=hours)


def _cold(one: Scene) -> Entry:
    entry = plain(one, slip="stored cold", is_unspoiled=False)
    coldest = one.chance.choice((None, -4.0, 1.0, 4.0))
    return _with(entry, dose=_drum(entry, coldest_c=coldest))


def _carbon(one: Scene) -> Entry:
    entry = plain(one, slip="carbon left on", is_taken_out=True)
    known = replace(entry.ground, running={"Carbon 1": "CARBON"})
    return _with(entry, dose=entry.asked, known=known)


def _no_order(one: Scene) -> Entry:
    entry = plain(one, slip="no order in force", is_ordered=False)
    order = entry.ground.order
    run_out = replace(order, until=AT - HOUR) if order and one.chance.random() < 0.5 else None  # noqa: PLR2004  half
    return _with(entry, dose=entry.asked, known=replace(entry.ground, order=run_out))


def _salmon_warm(one: Scene) -> Entry:
    """200 µL/L, allowed in the cold, in water of 50 °F and more."""
    entry = plain(replace(one, meant=200.0), slip="salmonids in warm formalin")
    temperature_c = one.chance.choice((10.0, 12.0, 16.0))
    told = condition(temperature_c, AT - HOUR)
    known = replace(entry.ground, conditions=dict(entry.ground.conditions) | {"TEMPERATURE": told})
    return _with(entry, dose=entry.asked, known=known, temperature_c=temperature_c)


def _ratio(one: Scene) -> float:
    return one.system_litres / one.litres


def _living(species: str, group: str, vessel: str) -> Animals:
    return Animals(lot="L-0099", species=species, group=group, vessel=vessel)


def _drum(entry: Entry, **changes: Any) -> Asked:
    return replace(entry.asked, drum=replace(entry.asked.drum, **changes))


def _times(one: Scene, *, slip: str, times: float) -> Entry:
    return plain(one, slip=slip, times=times)


def _aimed(one: Scene, *, slip: str, times: float) -> Entry:
    """The target itself is wrong, and the amount is right for it."""
    entry = plain(one, slip=slip, times=times)
    return _with(entry, dose=replace(entry.asked, rise=one.rise * times))


_COPPER: Final = ("COPPER_FREE",)
_BATHS: Final = ("FORMALIN", "HYDROGEN_PEROXIDE", "CHLORAMINE_T")
_ALL: Final = ("COPPER_FREE", *_BATHS, "PRAZIQUANTEL", "METHYLENE_BLUE", "SODIUM_CHLORIDE")
_BY_LAW: Final = ("COPPER_FREE", *_BATHS, "PRAZIQUANTEL", "METHYLENE_BLUE")
_CARBON: Final = ("COPPER_FREE", "CHLORAMINE_T", "PRAZIQUANTEL", "METHYLENE_BLUE")
_SNAIL: Final = ("COPPER_FREE", "FORMALIN", "HYDROGEN_PEROXIDE", "CHLORAMINE_T")

# The slip, and the agents it is made with.
SLIPS: Final[tuple[tuple[Slip, tuple[str, ...]], ...]] = (
    (_system_seen, _ALL),
    (_system_by_hand, _ALL),
    (_valve_open, _ALL),
    (_remeasured, _ALL),
    (partial(_times, slip="brochure's litres", times=1.4), _ALL),
    (partial(_times, slip="tenfold", times=10.0), _ALL),
    (partial(_times, slip="a tenth", times=0.1), _ALL),
    (partial(_times, slip="milligrams read as grams", times=1000.0), _ALL),
    (partial(_aimed, slip="target tenfold", times=10.0), _ALL),
    (partial(_aimed, slip="target a tenth", times=0.1), _ALL),
    (partial(_times, slip="US gallons taken for litres", times=1 / 3.785), _ALL),
    (partial(_times, slip="litres taken for US gallons", times=3.785), _ALL),
    (partial(_times, slip="imperial for US gallons", times=1.2), _ALL),
    (partial(_times, slip="teaspoon for millilitre", times=5.0), _ALL),
    (partial(_times, slip="salt weighed as copper", times=0.2545), _COPPER),
    (partial(_times, slip="copper's share counted twice", times=3.93), _COPPER),
    (partial(_times, slip="crystals for dry salt", times=1.56), _COPPER),
    (partial(_aimed, slip="bound copper's target", times=11.0), _COPPER),
    (partial(_times, slip="per cent corrected twice", times=2.7), ("FORMALIN",)),
    (_full_after_change, ("COPPER_FREE", "METHYLENE_BLUE", "SODIUM_CHLORIDE")),
    (_twice, _ALL),
    (_expired, _ALL),
    (_other_agent, _ALL),
    (_other_drum, _ALL),
    (
        partial(_living_there, species="Turbo fluctuosus", group="MOLLUSC", agents=_SNAIL),
        _SNAIL,
    ),
    (
        partial(_living_there, species="Lysmata debelius", group="CRUSTACEAN", agents=_COPPER),
        _COPPER,
    ),
    (
        partial(_living_there, species="Taeniura lymma", group="ELASMOBRANCH", agents=_COPPER),
        _COPPER,
    ),
    (
        partial(_living_there, species="Esox lucius", group="FISH", agents=("HYDROGEN_PEROXIDE",)),
        ("HYDROGEN_PEROXIDE",),
    ),
    (partial(_conditions, name="ALKALINITY", value=0.5), _COPPER),
    (partial(_conditions, name="ALKALINITY", value=0.5, hours_ago=40), _COPPER),
    (partial(_conditions, name="OXYGEN", value=4.1), ("FORMALIN",)),
    (partial(_conditions, name="TEMPERATURE", value=29.0), ("FORMALIN",)),
    (_salmon_warm, ("FORMALIN",)),
    (_too_long, _BATHS),
    (_too_soon, _BATHS),
    (_cold, ("FORMALIN",)),
    (_carbon, _CARBON),
    (_no_order, _BY_LAW),
)
