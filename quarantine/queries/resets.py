"""Resets of tanks: how far each is, and what its bath and its neutraliser weigh."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db.models import QuerySet
from django.urls import reverse

from chemistry.bleach import Label, available_chlorine_g_l, bleach_ml
from chemistry.dechlorination import thiosulfate_pentahydrate_g
from facility.models import Person, Site
from facility.sockets.loose_ends import Loose
from quarantine.models import ResetStep, TankReset
from quarantine.rules.resets import Standing, standing
from tanks.models import Reading, Vessel
from tanks.queries.policies import limits_at

_BLEACH_PERCENT: Final = 5.0
_BLEACH_KG_L: Final = 1.08


@dataclass(frozen=True, slots=True, kw_only=True)
class ResetNow:
    """``bleach_ml`` is of 5 % available chlorine by weight, fresh; None without litres."""

    reset: TankReset
    steps: tuple[ResetStep, ...]
    standing: Standing
    bleach_ml: float | None
    thiosulfate_g: float | None


def resets_at(site: Site) -> list[ResetNow]:
    """Resets of a site that are under way, oldest first."""
    rows = _known(TankReset.objects.current().filter(vessel__site=site))
    return [one for one in map(reset_now, rows) if one.standing.is_running]


def past_resets_at(site: Site, *, most: int = 20) -> list[ResetNow]:
    """The latest resets of a site that came to an end."""
    rows = _known(TankReset.objects.current().filter(vessel__site=site))
    ended = [one for one in map(reset_now, rows) if not one.standing.is_running]
    return ended[::-1][:most]


def reset_now(reset: TankReset) -> ResetNow:
    steps = tuple(sorted(_current(reset.steps.all()), key=lambda step: step.happened_at))
    litres = None if reset.litres is None else float(reset.litres)
    chlorine = float(reset.chlorine_mg_l)
    return ResetNow(
        reset=reset,
        steps=steps,
        standing=standing_of(reset, steps),
        bleach_ml=_bleach_ml(chlorine, litres) if litres else None,
        thiosulfate_g=_thiosulfate_g(chlorine, litres) if litres else None,
    )


def standing_of(reset: TankReset, steps: Iterable[ResetStep]) -> Standing:
    return standing(
        reset.happened_at,
        {step.step: step.happened_at for step in steps},
        contact_minutes=reset.contact_minutes,
    )


def running_reset(vessel: Vessel) -> TankReset | None:
    """Return the reset under way in this tank."""
    rows = _known(TankReset.objects.current().filter(vessel=vessel))
    return next((row for row in rows if reset_now(row).standing.is_running), None)


def chlorine_limit(site: Site, *, at: datetime) -> float | None:
    """Return the strictest limit of total chlorine of the site: the next water is not known."""
    rows = limits_at(site, at=at).filter(parameter="CHLORINE", unit="mg/L", level=1)
    return min((float(row.high) for row in rows if row.high is not None), default=None)


def chlorine_readings(reset: TankReset) -> list[Reading]:
    """Readings of total chlorine in this tank since it was rinsed, latest first."""
    rinsed = next((one for one in _current(reset.steps.all()) if one.step == "RINSED"), None)
    if rinsed is None:
        return []
    rows = Reading.objects.current().filter(vessel=reset.vessel, parameter="CHLORINE")
    rows = rows.filter(happened_at__gte=rinsed.happened_at).select_related("method")
    return list(rows.order_by("-happened_at", "pk"))


def resets_open_to(person: Person) -> list[TankReset]:
    return _known(TankReset.objects.filter(vessel__in=Vessel.objects.open_to(person)))


def contacts(site_id: UUID, at: datetime) -> Iterable[Loose]:
    """Disinfectant that stands in a tank, until it is rinsed off."""
    rows = _known(TankReset.objects.current().filter(vessel__site=site_id))
    for row in rows:
        now = reset_now(row)
        if now.standing.is_in_contact and now.standing.contact_ends_at:
            yield _loose(now, at)


def _loose(now: ResetNow, at: datetime) -> Loose:
    reset, vessel = now.reset, now.reset.vessel
    ends, step = now.standing.contact_ends_at, now.steps[-1]
    if ends is None:
        raise ValueError(f"{reset} is not in contact.")
    page = reverse("quarantine:reset", args=[reset.pk])
    return Loose(
        key=f"quarantine.tankreset:{reset.pk}",
        kind="Disinfectant in contact",
        what=f"{vessel.code} stands with {float(reset.chlorine_mg_l):g} mg/L chlorine",
        why=reset.why,
        owner_id=step.by_id,
        owner_name=step.by.full_name,
        since=now.standing.since,
        due_back_at=ends,
        about=f"tanks.vessel:{vessel.pk}",
        place=vessel.name or vessel.code,
        hygiene_rank=vessel.area.hygiene_rank,
        url=page,
        return_url=page,
        is_overdue=ends <= at,
        note="Neutralise and rinse; keep hands, nets and animals out until chlorine reads none.",
    )


def _known(rows: QuerySet[Any, Any]) -> list[TankReset]:
    return list(
        rows.select_related("vessel__site", "vessel__area", "by", "incident")
        .prefetch_related("steps__by", "steps__reading", "steps__correction")
        .order_by("happened_at", "pk")
    )


def _current(steps: Iterable[ResetStep]) -> list[ResetStep]:
    return [step for step in steps if not step.withdrawn and not hasattr(step, "correction")]


def _bleach_ml(chlorine_mg_l: float, litres: float) -> float:
    strength = available_chlorine_g_l(
        percent=_BLEACH_PERCENT, label=Label.CL2_BY_WEIGHT, density_kg_l=_BLEACH_KG_L
    )
    return float(
        bleach_ml(
            chlorine_mg_l_cl2=chlorine_mg_l, volume_l=litres, available_g_l=strength, kept_share=1.0
        )
    )


def _thiosulfate_g(chlorine_mg_l: float, litres: float) -> float:
    """The whole bath; what was read instead of what was put in takes less."""
    return float(thiosulfate_pentahydrate_g(total_chlorine_mg_l_cl2=chlorine_mg_l, volume_l=litres))
