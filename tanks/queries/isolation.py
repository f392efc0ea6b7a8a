"""Tanks behind valves that are closed on loan, and what their ammonia does meanwhile."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Exists, OuterRef, Q

from facility.models import Site
from tanks.models import Connection, Device, Feeding, Limit, Reading, ValveLoan
from tanks.queries.cycles import open_cycles_in
from tanks.queries.meanings import kind_by, without_animals
from tanks.queries.policies import limits_at
from tanks.queries.readings import latest_in_waters
from tanks.queries.waters import Water, waters
from tanks.rules.isolation import LOOK_BACK, Isolated, Meal, rise_mg_l_n_day
from tanks.rules.values import canonical


def loans_at(site_id: UUID, at: datetime) -> list[ValveLoan]:
    """The loan that holds of each valve that is closed on loan at that moment."""
    opened_again = Connection.objects.filter(
        vessel=OuterRef("connection__vessel"),
        period__startswith__gte=OuterRef("connection__period__endswith"),
        period__startswith__lte=at,
    )
    rows = ValveLoan.objects.current().filter(
        connection__vessel__site=site_id, happened_at__lte=at, connection__period__endswith__lte=at
    )
    rows = rows.filter(Q(connection__vessel__retired_at=None) & ~Exists(opened_again))
    rows = rows.select_related("owner", "connection__vessel__area", "connection__system")
    rows = rows.order_by("connection_id", "-happened_at", "-recorded_at")
    return list(rows.distinct("connection_id"))


def outlooks(site: Site, loans: Sequence[ValveLoan], *, at: datetime) -> dict[UUID, Isolated]:
    """What TAN does behind each of these valves, by loan; the queries do not grow with them."""
    if not loans:
        return {}
    by_vessel = {pk: water for water in waters(site, at=at) for pk in water.member_ids}
    shut = {loan.pk: by_vessel[loan.connection.vessel_id] for loan in loans}
    ground = _ground(site, loans, list(shut.values()), at)
    return {loan.pk: _isolated(loan, shut[loan.pk], ground) for loan in loans}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """What is known of all these waters, by anchor or by vessel."""

    at: datetime
    latest: Mapping[UUID, Mapping[str, Reading]]
    limits: Sequence[Limit]
    cycling: frozenset[UUID]
    filtered: frozenset[UUID]
    feedings: Sequence[Feeding]


def _ground(site: Site, loans: Sequence[ValveLoan], shut: Sequence[Water], at: datetime) -> _Ground:
    members = {pk for water in shut for pk in water.member_ids}
    systems = {loan.connection.system_id for loan in loans}
    begun = min(loan.connection.period.upper for loan in loans) - LOOK_BACK
    fed = Feeding.objects.current().filter(vessel__in=members | systems, happened_at__lte=at)
    filters = Device.objects.filter(vessel__in=members, kind="BIOFILTER", removed_at=None)
    return _Ground(
        at=at,
        latest=latest_in_waters(shut),
        limits=list(limits_at(site, at=at).filter(parameter="TAN", high__isnull=False)),
        cycling=frozenset(without_animals(open_cycles_in(shut), at)),
        filtered=frozenset(filters.values_list("vessel_id", flat=True)),
        feedings=list(fed.filter(happened_at__gt=begun).order_by("happened_at", "pk")),
    )


def _isolated(loan: ValveLoan, water: Water, ground: _Ground) -> Isolated:
    latest = ground.latest.get(water.anchor.pk, {})
    tan = latest.get("TAN")
    closed_at: datetime = loan.connection.period.upper
    return Isolated(
        at=ground.at,
        since=max(closed_at, tan.happened_at) if tan else closed_at,
        tan_mg_l_n=_most(tan) if tan else None,
        rise_mg_l_n_day=rise_mg_l_n_day(_meals(loan, water, ground)),
        limit_mg_l_n=_limit(water, latest, ground),
        has_biofilter=bool(water.member_ids & ground.filtered),
    )


def _most(tan: Reading) -> float:
    """The upper edge, as far as it is known."""
    interval = tan.interval
    return interval.low if interval.high is None else interval.high


def _meals(loan: ValveLoan, water: Water, ground: _Ground) -> Iterable[Meal]:
    """What was given to the tank itself of late, and its share of the system's feed before.

    Feed of a system counts as spread evenly over the water it was given to.
    """
    closed_at = loan.connection.period.upper
    for row in ground.feedings:
        is_own = row.vessel_id in water.member_ids
        litres = water.litres if is_own else float(row.water_litres)
        last = ground.at if is_own else closed_at
        is_theirs = is_own or row.vessel_id == loan.connection.system_id
        if litres and is_theirs and last - LOOK_BACK < row.happened_at <= last:
            yield Meal(
                grams=float(row.grams), protein_share=float(row.protein_share), litres=litres
            )


def _limit(water: Water, latest: Mapping[str, Reading], ground: _Ground) -> float | None:
    kind = kind_by(latest["SALINITY"].interval if "SALINITY" in latest else None)
    stage = Limit.Stage.CYCLING if water.anchor.pk in ground.cycling else Limit.Stage.STOCKED
    mine = (one for one in ground.limits if (one.water_kind, one.stage) == (kind, stage))
    edges = [
        canonical("TAN", "EQUAL", one.high, None, one.unit, one.basis).low
        for one in mine
        if one.high is not None
    ]
    return min(edges, default=None)
