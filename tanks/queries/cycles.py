"""Start-ups: which are open, and everything their pages, the gate and the board need to say."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from django.db.models import QuerySet

from facility.models import Site
from tanks.models import Cycle, Dose, Forecast, Product, Vessel
from tanks.queries.policies import terms_of
from tanks.queries.preparations import appliances_on, preparation_of
from tanks.queries.proofs import Certified, Tried, certified, fed_at, tried
from tanks.queries.stories import Story, standing, stories, story
from tanks.queries.waters import Water, openings
from tanks.rules.certificates import InForce
from tanks.rules.feeding import Redose, load_to_prove_mg_l_n, redose
from tanks.rules.implied import implied_mg_l_n, substance_g
from tanks.rules.measured import Measured
from tanks.rules.plans import Plan, Stock, plan_of
from tanks.rules.requirements import Requirement
from tanks.rules.stages import Stage, stage
from tanks.rules.terms import Terms
from tanks.rules.waters import members_at


@dataclass(frozen=True, kw_only=True)
class Course:
    """One start-up as it stands; each part is worked out from its story when asked for."""

    story: Story

    @property
    def cycle(self) -> Cycle:
        return self.story.cycle

    @property
    def at(self) -> datetime:
        return self.story.until

    @cached_property
    def terms(self) -> Terms:
        return terms_of(self.cycle.policy)

    @property
    def measures(self) -> tuple[Measured, ...]:
        return self.story.measures

    @cached_property
    def challenges(self) -> tuple[Tried, ...]:
        return tried(self.story)

    @cached_property
    def certificates(self) -> tuple[Certified, ...]:
        return certified(self.story)

    @property
    def certificate(self) -> Certified | None:
        """The one in force, or else the latest, which is void; None before the first."""
        ranked = sorted(self.certificates, key=lambda one: one.is_in_force)
        return ranked[-1] if ranked else None

    @property
    def is_certified(self) -> bool:
        return self.certificate is not None and self.certificate.is_in_force

    @cached_property
    def ammonia_doses(self) -> list[Dose]:
        """Doses of ammonium chloride now held true, oldest first."""
        rows = standing(self.story.doses)
        return [row for row in rows if is_ammonia(row)]

    @cached_property
    def stage(self) -> Stage:
        return stage(
            self.measures,
            doses_at=[row.happened_at for row in self.ammonia_doses],
            changes_at=[row.happened_at for row in standing(self.story.water_changes)],
            certificate=self.certificate.standing if self.certificate else None,
            terms=self.terms,
        )

    @cached_property
    def redose(self) -> Redose:
        doses_at = [row.happened_at for row in self.ammonia_doses]
        return redose(self.measures, terms=self.terms, doses_at=doses_at, at=self.at)

    @property
    def fed_at(self) -> datetime | None:
        return fed_at(self.story)

    @property
    def lapses_at(self) -> datetime | None:
        """When the certificate in force lapses if nobody feeds the filter."""
        held = self.certificate
        return held.standing.lapses_at if held and isinstance(held.standing, InForce) else None

    @cached_property
    def load_mg_l_n(self) -> float | None:
        """The challenge that proves the declared feed, or None while a volume is missing."""
        litres = self.story.water.litres
        if litres is None:
            return None
        return load_to_prove_mg_l_n(
            terms=self.terms,
            feed_g_per_day=float(self.cycle.declared_feed_g_per_day),
            protein_share=float(self.cycle.protein_share),
            volume_l=litres,
        )

    def plan(self) -> Plan | None:
        return plan_in(
            self.story.water,
            product=self.cycle.ammonia,
            seed=self.cycle.seed,
            feed_g_per_day=float(self.cycle.declared_feed_g_per_day),
            protein_share=float(self.cycle.protein_share),
            terms=self.terms,
        )

    def preparation(self) -> list[Requirement]:
        return preparation_of(self.cycle, self.story.water, at=self.at)


def course(cycle: Cycle, *, at: datetime) -> Course:
    return Course(story=story(cycle, at=at))


def courses(site: Site, *, at: datetime) -> list[Course]:
    """Every open start-up of the site; the number of queries does not grow with them."""
    cycles = list(open_cycles(site, at=at))
    told = stories(cycles, at=at)
    return [Course(story=told[cycle.pk]) for cycle in cycles]


def open_cycles(site: Site, *, at: datetime) -> QuerySet[Cycle]:
    """Start-ups begun and not ended at that moment, oldest first."""
    begun = related(Cycle.objects.filter(vessel__site=site, started_at__lte=at))
    return begun.exclude(ended_at__lte=at).order_by("started_at", "pk")


def related(rows: QuerySet[Cycle]) -> QuerySet[Cycle]:
    """Bring along what a story asks of its start-up."""
    return rows.select_related("vessel__site", "vessel__area", "policy", "ammonia", "started_by")


def open_cycle_in(water: Water) -> Cycle | None:
    """Return the open start-up of this water, or None; the oldest if two waters were joined."""
    rows = open_cycles(water.anchor.site, at=water.at)
    return rows.filter(vessel__in=water.member_ids).first()


def open_cycles_in(waters: Iterable[Water]) -> dict[UUID, Cycle]:
    """The same for many waters of one site, by anchor, in one query."""
    known = list(waters)
    if not known:
        return {}
    rows = list(open_cycles(known[0].anchor.site, at=known[0].at))
    found = ((water, _first_in(water, rows)) for water in known)
    return {water.anchor.pk: cycle for water, cycle in found if cycle is not None}


def open_cycle_of(vessel: Vessel, *, at: datetime) -> Cycle | None:
    """Return the open start-up of the water that holds ``vessel`` at that moment."""
    members = members_at(vessel.pk, openings(vessel.site), at=at)
    return open_cycles(vessel.site, at=at).filter(vessel__in=members).first()


def cycles_of(vessel_ids: Iterable[UUID]) -> QuerySet[Cycle]:
    """Every start-up of these vessels, latest first."""
    rows = related(Cycle.objects.filter(vessel__in=list(vessel_ids)))
    return rows.order_by("-started_at", "pk")


def latest_forecast(cycle: Cycle) -> Forecast | None:
    return cycle.forecasts.order_by("-made_at", "pk").first()


def latest_forecasts(cycles: Iterable[Cycle]) -> Mapping[UUID, Forecast]:
    """The latest forecast of each start-up, in one query."""
    rows = Forecast.objects.filter(cycle__in=list(cycles)).order_by("cycle_id", "-made_at", "pk")
    return {row.cycle_id: row for row in rows.distinct("cycle_id")}


def plan_in(
    water: Water,
    *,
    product: Product,
    seed: str,
    feed_g_per_day: float,
    protein_share: float,
    terms: Terms,
) -> Plan | None:
    """Plan a start-up of this water, also one not begun; None while a volume is missing."""
    if water.litres is None:
        return None
    return plan_of(
        litres=water.litres,
        stock=stock_of(product),
        seed=seed,
        feed_g_per_day=feed_g_per_day,
        protein_share=protein_share,
        appliances=appliances_on(water.member_ids, at=water.at),
        terms=terms,
    )


def stock_of(product: Product) -> Stock:
    return Stock(
        name=product.name,
        is_solution=product.form == Product.Form.SOLUTION,
        strength=float(product.strength),
    )


def is_ammonia(dose: Dose) -> bool:
    return dose.product.substance == Product.Substance.AMMONIUM_CHLORIDE


def dosed_mg_l_n(dose: Dose) -> float:
    """Return the TAN that the ammonium chloride really measured out makes."""
    return implied_mg_l_n(ammonium_chloride_g=pure_g(dose), volume_l=float(dose.water_litres))


def pure_g(dose: Dose) -> float:
    return substance_g(
        amount=float(dose.amount), unit=dose.unit, strength=float(dose.product.strength)
    )


def _first_in(water: Water, cycles: Iterable[Cycle]) -> Cycle | None:
    return next((cycle for cycle in cycles if cycle.vessel_id in water.member_ids), None)
