"""The dose guard: every reason a dose must not go in, all at once. No flag switches it off.

It compares the dose with the water as it is at the moment of saving, the container, what is in
the water already, who and what lives there, the order, and a second person's own computation.
"""

from collections.abc import Iterable, Iterator
from typing import Final

from facility.rules.wording import written
from quarantine.rules.guard_amounts import amount_stops, level_after
from quarantine.rules.guard_animals import animal_stops, condition_stops
from quarantine.rules.guard_drums import drum_stops
from quarantine.rules.guard_facts import Asked, Ground, Regime, Stopped
from quarantine.rules.guard_people import people_stops

# Half a per cent is what rounding litres to the display can make.
_SAME_LITRES: Final = 0.005


def stops(asked: Asked, ground: Ground, regime: Regime) -> tuple[Stopped, ...]:
    """Return every stop, each code once; none means that the dose may be recorded."""
    found = list(_water_stops(asked, ground))
    if ground.litres is not None:
        after = level_after(asked, ground, litres=ground.litres)
        found += drum_stops(asked, ground, regime)
        found += amount_stops(asked, ground, regime, after)
        found += animal_stops(asked, ground, regime, after)
        found += condition_stops(asked, ground, regime)
        found += people_stops(asked, ground, regime, after)
        found += _device_stops(ground, regime)
    return tuple(_once(found))


def _water_stops(asked: Asked, ground: Ground) -> Iterator[Stopped]:
    if ground.litres is None:
        yield Stopped(
            code="volume-unknown",
            sentence="The net volume of this water is not known: measure it first.",
            is_final=True,
        )
        return
    if asked.seen_members != ground.members:
        yield Stopped(
            code="water-changed",
            sentence="The water is not the one the sheet was opened for. Now "
            f"{_named(ground.members, ground)} mix, {written(ground.litres)} L net. "
            "Open the sheet anew.",
            is_final=True,
        )
    elif abs(asked.seen_litres - ground.litres) > _SAME_LITRES * ground.litres:
        yield Stopped(
            code="volume-changed",
            sentence=f"The dose was worked out for {written(asked.seen_litres)} L; this water "
            f"holds {written(ground.litres)} L net. Open the sheet anew.",
            is_final=True,
        )
    if ground.members != ground.course_members:
        yield Stopped(
            code="not-isolated",
            sentence="The course was opened for another water: "
            f"{_named(ground.course_members, ground)}; now {_named(ground.members, ground)} mix. "
            "Put the valves right, or end this course and open one for the water as it is.",
            is_final=True,
        )


def _device_stops(ground: Ground, regime: Regime) -> Iterator[Stopped]:
    on = sorted(name for name, kind in ground.running.items() if kind in regime.devices_off)
    if on:
        yield Stopped(
            code="device-on",
            sentence=f"{', '.join(on)} runs and takes {regime.name} out: turn it off first.",
        )


def _named(members: Iterable[object], ground: Ground) -> str:
    known = {str(pk): code for pk, code in ground.codes.items()}
    return ", ".join(sorted(known.get(str(pk), "a tank no longer there") for pk in members))


def _once(found: Iterable[Stopped]) -> Iterator[Stopped]:
    """What has one code is one stop, with all its sentences."""
    by_code: dict[str, list[Stopped]] = {}
    for one in found:
        by_code.setdefault(one.code, []).append(one)
    for code, same in by_code.items():
        yield Stopped(
            code=code,
            sentence=" ".join(dict.fromkeys(one.sentence for one in same)),
            source="; ".join(dict.fromkeys(one.source for one in same if one.source)),
            is_final=any(one.is_final for one in same),
        )
