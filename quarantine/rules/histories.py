"""What each lot has met: the history of animals, water and kit, walked through in order. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Literal, TypeAlias
from uuid import UUID

from quarantine.rules.clocks import Disturbance, Entry, Flow, Freed, Stay, Touch
from tanks.rules.waters import Opening, waters_at

Key: TypeAlias = tuple[UUID, UUID]
How: TypeAlias = Literal["ANIMALS", "VALVE", "KIT"]
Happening: TypeAlias = Flow | Touch | Freed | Disturbance


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Everything that bears on the clocks; ``days`` is how long each lot must stay."""

    flows: tuple[Flow, ...] = ()
    openings: tuple[Opening, ...] = ()
    touches: tuple[Touch, ...] = ()
    disturbances: tuple[Disturbance, ...] = ()
    freed: tuple[Freed, ...] = ()
    days: Mapping[UUID, int] = field(default_factory=dict)
    codes: Mapping[UUID, str] = field(default_factory=dict)


def stays(history: History, *, at: datetime) -> list[Stay]:
    """Return what the animals now here have met, by lot and vessel; empty accounts left out."""
    walk = _Walk(history)
    for moment in _moments(history, at):
        walk.step(moment)
    return [stay for stay in walk.stays.values() if stay.count > 0]


def _moments(history: History, at: datetime) -> list[datetime]:
    """When something happens, in order; what is still to come has not happened."""
    moments = set(_by_moment(history))
    for opening in history.openings:
        moments |= {opening.since} | ({opening.until} if opening.until else set())
    return sorted(moment for moment in moments if moment <= at)


class _Walk:
    """The state of the house as the history goes by."""

    def __init__(self, history: History) -> None:
        self.history = history
        self.stays: dict[Key, Stay] = {}
        self.keys_in: defaultdict[UUID, set[Key]] = defaultdict(set)
        self.waters: dict[UUID, frozenset[UUID]] = {}
        self.turns = _turns(history.openings)
        self.by_moment = _by_moment(history)
        self.lasting: list[Disturbance] = []

    def step(self, at: datetime) -> None:
        """Turn the valves of the moment first, then let animals, kit and events follow."""
        if at in self.turns:
            self._turn(at)
        for fact in self.by_moment[at]:
            match fact:
                case Flow():
                    self._flow(fact)
                case Touch():
                    self._touch(fact)
                case Freed():
                    self._free(fact)
                case Disturbance():
                    self.lasting.append(fact)
        self._disturb(at)

    def _turn(self, at: datetime) -> None:
        """What valves joined has entered each other, where there are animals on both sides."""
        vessels = {vessel for _, vessel in self.stays} | set(self.waters)
        before, self.waters = self.waters, {}
        for group in waters_at(vessels, self.history.openings, at=at):
            self.waters |= dict.fromkeys(group, group)
        for group in dict.fromkeys(self.waters.values()):
            parts = {before.get(vessel, frozenset([vessel])) & group for vessel in group}
            sides = [keys for part in parts if (keys := self._met_in(part, at))]
            if len(sides) > 1:
                told = f"a valve joined {' and '.join(sorted(map(self._names, parts)))}"
                self._enter(at, "VALVE", told, group, set().union(*sides))

    def _flow(self, flow: Flow) -> None:
        source = self._leave(flow)
        if flow.to_lot is None or flow.to_vessel is None:
            return
        key = (flow.to_lot, flow.to_vessel)
        self.stays[key] = self._joined(key, flow, source)
        self.keys_in[flow.to_vessel].add(key)
        water = self._water(flow.to_vessel)
        if flow.is_arrival or (flow.from_vessel is not None and flow.from_vessel not in water):
            # Who comes from outside has met nothing here, and is not settled for that.
            is_new = flow.is_arrival
            self._enter(flow.at, "ANIMALS", flow.told, water, {key}, is_new=is_new)
        elif flow.from_vessel is None:
            self._born(key, water)

    def _leave(self, flow: Flow) -> Stay | None:
        if flow.from_lot is None or flow.from_vessel is None:
            return None
        key = (flow.from_lot, flow.from_vessel)
        source = self.stays.get(key) or Stay(lot=key[0], vessel=key[1], count=0)
        left = source.count - flow.count
        self.stays[key] = replace(source, count=left, emptied_at=None if left > 0 else flow.at)
        return source

    def _joined(self, key: Key, flow: Flow, source: Stay | None) -> Stay:
        """Who joins others brings along what they have met, and shares what those have met."""
        there = self.stays.get(key) or Stay(lot=key[0], vessel=key[1], count=0)
        met = [one for one in (there if there.count > 0 else None, source) if one]
        return _meeting(replace(there, count=there.count + flow.count, emptied_at=None), met)

    def _born(self, key: Key, water: frozenset[UUID]) -> None:
        """Who is born or found in a water has met what those in it have met."""
        self.stays[key] = _meeting(self.stays[key], list(self._present(water).values()))

    def _touch(self, touch: Touch) -> None:
        target, source = self._water(touch.to_vessel), self._water(touch.from_vessel)
        met = self._met_in(source, touch.at)
        if target != source and met:
            self._enter(touch.at, "KIT", touch.told, target, met)

    def _free(self, freed: Freed) -> None:
        key = (freed.lot, freed.vessel)
        if key in self.stays:
            self.stays[key] = replace(self.stays[key], freed_at=freed.at)

    def _disturb(self, at: datetime) -> None:
        """Mark who is in a disturbed water now; what is over when it begins marks them once."""
        for one in self.lasting:
            for key, stay in self._present(self._water(one.vessel)).items():
                self.stays[key] = replace(stay, disturbances=stay.disturbances | {one})
        self.lasting = [one for one in self.lasting if one.until is None or one.until > at]

    def _enter(
        self,
        at: datetime,
        how: How,
        told: str,
        water: frozenset[UUID],
        entrants: set[Key],
        *,
        is_new: bool = False,
    ) -> None:
        """Set the clock of everybody in the water, unless all of them are released."""
        present = self._present(water)
        if not is_new and all(self.stays[key].is_settled for key in {*present, *entrants}):
            return
        lots = frozenset(lot for lot, _ in {*present, *entrants})
        days = max(self.history.days.get(lot, 0) for lot in lots)
        entry = Entry(at=at, how=how, told=told, lots=lots, days=days)
        for key, stay in present.items():
            self.stays[key] = replace(stay, entries=stay.entries | {entry})

    def _met_in(self, vessels: Iterable[UUID], at: datetime) -> set[Key]:
        """Whose water this is: animals in it, or in it until too few days ago."""
        return {
            key
            for vessel in vessels
            for key in self.keys_in[vessel]
            if self.stays[key].count > 0 or self._left_lately(key, at)
        }

    def _left_lately(self, key: Key, at: datetime) -> bool:
        emptied_at = self.stays[key].emptied_at
        days = timedelta(days=self.history.days.get(key[0], 0))
        return emptied_at is not None and emptied_at + days > at

    def _present(self, vessels: frozenset[UUID]) -> dict[Key, Stay]:
        return {
            key: self.stays[key]
            for vessel in vessels
            for key in self.keys_in[vessel]
            if self.stays[key].count > 0
        }

    def _water(self, vessel: UUID) -> frozenset[UUID]:
        return self.waters.get(vessel, frozenset([vessel]))

    def _names(self, vessels: Iterable[UUID]) -> str:
        return min((self.history.codes.get(one, "?") for one in vessels), default="?")


def _turns(openings: Iterable[Opening]) -> set[datetime]:
    found = {opening.since for opening in openings}
    return found | {opening.until for opening in openings if opening.until}


def _by_moment(
    history: History,
) -> defaultdict[datetime, list[Happening]]:
    """At one moment lots are released first, then animals come in, then others go, then kit."""
    coming = [flow for flow in history.flows if flow.from_lot is None]
    going = [flow for flow in history.flows if flow.from_lot is not None]
    found: defaultdict[datetime, list[Happening]] = defaultdict(list)
    in_order: tuple[Happening, ...] = (
        *history.freed,
        *history.disturbances,
        *coming,
        *going,
        *history.touches,
    )
    for fact in in_order:
        found[fact.at].append(fact)
    return found


def _meeting(stay: Stay, met: list[Stay]) -> Stay:
    """Give ``stay`` all that ``met`` have met; released together only if each of them is."""
    freed = [one.freed_at for one in met if one.freed_at is not None]
    return replace(
        stay,
        entries=frozenset().union(*(one.entries for one in met)),
        disturbances=frozenset().union(*(one.disturbances for one in met)),
        freed_at=max(freed) if freed and all(one.is_settled for one in met) else None,
    )
