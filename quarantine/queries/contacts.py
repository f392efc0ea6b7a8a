"""Everything by which one tank may have reached another, as edges with their evidence.

Animals by the book; water by open valves; kits used without cleaning; people between tanks
without a break; batches of feed. Node names are ledger keys, `rules.carriers` adds the cuts.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Final

from facility.models import Entry, HygieneBreak, Site
from facility.sockets.deeds import deeds
from quarantine.models import CountChange, Kit, KitCleaning, KitUse, ResetStep
from quarantine.rules.carriers import Carriers, Cut, off_work
from quarantine.rules.tracing import Edge, Kind
from tanks.models import Connection

VESSEL, KIT, PERSON = "tanks.vessel", "quarantine.kit", "facility.person"
CONSIGNMENT, GONE, OUTSIDE = "quarantine.consignment", "quarantine.countchange", "outside"
_BETWEEN: Final = ("MOVED", "SPLIT", "MERGED")
_AWAY: Final = ("SOLD", "LEFT")
# With hands in disinfectant nothing is carried along; the beginning of a reset still counts.
_IN_DISINFECTANT: Final = frozenset({"quarantine.take-reset-step"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Contacts:
    """Edges of a site over a period, and how its tanks, kits and people are named."""

    edges: tuple[Edge, ...]
    tanks: Carriers
    kits: Carriers
    people: Carriers

    def less(self, kinds: Collection[Kind]) -> "Contacts":
        """The same without some kinds of contact."""
        kept = tuple(edge for edge in self.edges if edge.kind not in kinds)
        return replace(self, edges=kept)


@dataclass(frozen=True, slots=True)
class Touch:
    """A person or a kit was at a vessel."""

    carrier: str
    vessel: str
    at: datetime
    recorded_at: datetime
    told: str


def contacts_at(site: Site, *, since: datetime, until: datetime) -> Contacts:
    """Gather the edges of a period in a fixed number of queries."""
    tanks = Carriers(_resets(site, until))
    kits = Carriers(_cleanings(site, until))
    uses = list(_uses(site, since, until))
    acts = list(_acts(site, since, until))
    people = Carriers(_breaks(site, acts, until))
    tied = partial(_tied, tanks=tanks)
    edges = (
        *_animals(site, since, until, tanks),
        *_waters(site, since, until, tanks),
        *(edge for use in uses if use[1] for edge in _fed(use[0], tanks)),
        *(edge for use in uses if not use[1] for edge in tied(use[0], kits, Kind.EQUIPMENT)),
        *(edge for act in acts for edge in tied(act, people, Kind.PEOPLE)),
        *tanks.barriers(Kind.WATER),
        *kits.barriers(Kind.EQUIPMENT),
        *people.barriers(Kind.PEOPLE),
    )
    return Contacts(edges=edges, tanks=tanks, kits=kits, people=people)


def _resets(site: Site, until: datetime) -> dict[str, list[Cut]]:
    rows = ResetStep.objects.current().filter(
        reset__vessel__site=site, step=ResetStep.Step.RINSED, happened_at__lte=until
    )
    found = defaultdict(list)
    for row in rows.select_related("reset__vessel"):
        reset = row.reset
        told = (
            f"{reset.vessel.code} was reset: {reset.chlorine_mg_l.normalize():f} mg/L chlorine for "
            f"{reset.contact_minutes} min"
        )
        cut = Cut(at=row.happened_at, recorded_at=row.recorded_at, told=told)
        found[f"{VESSEL}:{reset.vessel_id}"].append(cut)
    return found


def _cleanings(site: Site, until: datetime) -> dict[str, list[Cut]]:
    rows = KitCleaning.objects.current().filter(kit__site=site, happened_at__lte=until)
    found = defaultdict(list)
    for row in rows.exclude(means=KitCleaning.Means.RINSED).select_related("kit", "by"):
        how = f"{row.disinfectant}, {row.minutes} min" if row.disinfectant else "dried through"
        told = f"{row.kit.code} was cleaned: {how} ({row.by.full_name})"
        cut = Cut(at=row.happened_at, recorded_at=row.recorded_at, told=told)
        found[f"{KIT}:{row.kit_id}"].append(cut)
    return found


def _breaks(site: Site, acts: Iterable[Touch], until: datetime) -> dict[str, list[Cut]]:
    """Breaks with both kit and hands, and the hours off work between two days."""
    rows = HygieneBreak.objects.current().filter(
        site=site, kit_changed=True, hands_disinfected=True, happened_at__lte=until
    )
    found = defaultdict(list)
    for row in rows.select_related("by"):
        told = f"{row.by.full_name} changed kit and disinfected hands"
        cut = Cut(at=row.happened_at, recorded_at=row.recorded_at, told=told)
        found[f"{PERSON}:{row.by_id}"].append(cut)
    moments = defaultdict(list)
    for act in acts:
        moments[act.carrier].append((act.at, act.recorded_at))
    for carrier, known in moments.items():
        found[carrier].extend(off_work(sorted(known)))
    return found


def _uses(site: Site, since: datetime, until: datetime) -> Iterator[tuple[Touch, bool]]:
    """Each with whether it was feed that was given."""
    rows = KitUse.objects.current().filter(
        kit__site=site, happened_at__gte=since, happened_at__lte=until
    )
    for row in rows.select_related("kit", "vessel", "by"):
        is_feed = row.kit.kind == Kit.Kind.FEED_BATCH
        verb = "was fed in" if is_feed else "was used in"
        touch = Touch(
            carrier=f"{KIT}:{row.kit_id}",
            vessel=f"{VESSEL}:{row.vessel_id}",
            at=row.happened_at,
            recorded_at=row.recorded_at,
            told=f"{row.kit.code} {verb} {row.vessel.code} ({row.by.full_name})",
        )
        yield touch, is_feed


def _acts(site: Site, since: datetime, until: datetime) -> Iterator[Touch]:
    """What people did hands-on at a tank, by the ledger."""
    hands_on = {deed.name: deed.says for deed in deeds if deed.is_hands_on}
    kinds = {name: says for name, says in hands_on.items() if name not in _IN_DISINFECTANT}
    lines = Entry.objects.filter(site=site, kind__in=kinds, about__startswith=f"{VESSEL}:")
    lines = lines.filter(happened_at__gte=since, happened_at__lte=until, by__isnull=False)
    columns = ("by_id", "by__full_name", "about", "happened_at", "recorded_at", "kind")
    for by_id, name, about, at, recorded_at, kind in lines.values_list(*columns):
        yield Touch(
            carrier=f"{PERSON}:{by_id}",
            vessel=about,
            at=at,
            recorded_at=recorded_at,
            told=f"{name} {kinds[kind]}",
        )


def _animals(site: Site, since: datetime, until: datetime, tanks: Carriers) -> Iterator[Edge]:
    rows = CountChange.objects.current().filter(
        kind__in=(*_BETWEEN, *_AWAY, "ARRIVED"), happened_at__gte=since, happened_at__lte=until
    )
    here = rows.filter(to_lot__site=site) | rows.filter(from_lot__site=site)
    known = here.select_related("from_lot", "to_lot", "from_vessel", "to_vessel")
    for row in known.select_related("to_lot__consignment__supplier"):
        if row.from_vessel_id != row.to_vessel_id:
            yield _carried(row, tanks)


def _carried(row: CountChange, tanks: Carriers) -> Edge:
    def at_tank(vessel_id: object) -> str:
        return tanks.name(f"{VESSEL}:{vessel_id}", row.happened_at, row.recorded_at)

    source = at_tank(row.from_vessel_id) if row.from_vessel_id else _came_from(row)
    target = at_tank(row.to_vessel_id) if row.to_vessel_id else f"{GONE}:{row.pk}"
    return Edge(
        source=source,
        target=target,
        start=row.happened_at,
        end=row.happened_at,
        kind=Kind.ANIMALS,
        evidence=_moved(row),
    )


def _came_from(row: CountChange) -> str:
    lot = row.to_lot
    return f"{CONSIGNMENT}:{lot.consignment_id}" if lot and lot.consignment_id else OUTSIDE


def _moved(row: CountChange) -> str:
    lot = row.from_lot or row.to_lot
    code = lot.code if lot else ""
    if row.to_vessel is None:
        return f"{row.count} of {code}: {row.get_kind_display().lower()}"
    if row.from_vessel is None:
        return f"{row.count} of {code} arrived in {row.to_vessel.code}"
    into = f" as {row.to_lot.code}" if row.to_lot and row.to_lot != row.from_lot else ""
    return f"{row.count} of {code} moved from {row.from_vessel.code} to {row.to_vessel.code}{into}"


def _waters(site: Site, since: datetime, until: datetime, tanks: Carriers) -> Iterator[Edge]:
    """A valve stands open: water passes both ways as long as it does."""
    rows = Connection.objects.filter(vessel__site=site, period__overlap=(since, until))
    for row in rows.select_related("vessel", "system"):
        start = max(row.period.lower, since)
        end = min(row.period.upper or until, until)
        told = f"{row.vessel.code} stood open to {row.system.code}"
        told += f" by {row.valve}" if row.valve else ""
        for one in tanks.stretches(f"{VESSEL}:{row.vessel_id}", start, end):
            for other in tanks.stretches(f"{VESSEL}:{row.system_id}", one.start, one.end):
                for source, target in ((one.name, other.name), (other.name, one.name)):
                    yield Edge(
                        source=source,
                        target=target,
                        start=other.start,
                        end=other.end,
                        kind=Kind.WATER,
                        evidence=told,
                    )


def _tied(touch: Touch, carriers: Carriers, kind: Kind, *, tanks: Carriers) -> Iterator[Edge]:
    """From the tank to what touched it, and back."""
    carrier = carriers.name(touch.carrier, touch.at, touch.recorded_at)
    vessel = tanks.name(touch.vessel, touch.at, touch.recorded_at)
    for source, target in ((vessel, carrier), (carrier, vessel)):
        yield Edge(
            source=source,
            target=target,
            start=touch.at,
            end=touch.at,
            kind=kind,
            evidence=touch.told,
        )


def _fed(touch: Touch, tanks: Carriers) -> Iterator[Edge]:
    """Feed carries into a tank, and nothing out of it."""
    yield Edge(
        source=touch.carrier,
        target=tanks.name(touch.vessel, touch.at, touch.recorded_at),
        start=touch.at,
        end=touch.at,
        kind=Kind.FEED,
        evidence=touch.told,
    )
