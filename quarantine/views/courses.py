"""Courses of treatment: all of them, those of a water, and one with all that belongs to it."""

from http import HTTPStatus
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views import signing
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import courses as commands
from quarantine.commands.treatment_orders import order_treatment
from quarantine.forms.treatment import CourseSheet, OrderSheet, plain
from quarantine.models import Agent, Course, TreatmentOrder
from quarantine.queries.agents import agent_at, agents_at
from quarantine.queries.books import lots_in
from quarantine.queries.course_events import related
from quarantine.queries.course_pages import course_page, forbidden_in
from quarantine.queries.courses import courses_in, courses_open_to, standing
from quarantine.queries.guarding import regime_of
from quarantine.rules.hazards import cards_named
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of
from tanks.views.found import vessel_of

_PAST = 20


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Courses not cleared yet first, then the latest that are."""
    now = timezone.now()
    known = [standing(course, at=now) for course in courses_open_to(request.user)[:200]]
    facts = {
        "binding": [one for one in known if one.binds],
        "past": [one for one in known if not one.binds][:_PAST],
        "sites": Site.objects.open_to(request.user).order_by("name", "pk"),
        "now": now,
    }
    return render(request, "quarantine/courses.html", facts)


@login_required
@never_cache
@require_GET
def treatment(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """What the water of a tank is and was treated with, and who lives in it."""
    vessel = vessel_of(request, vessel_id)
    now = timezone.now()
    water = water_of(vessel, at=now)
    facts = {
        "vessel": vessel,
        "water": water,
        "courses": courses_in(water.member_ids, now),
        "orders": _orders(water),
        "held": lots_in(water.member_ids, at=now),
        "agents": agents_at(vessel.site, at=now),
        "may": people.deeds_of(request.user, vessel.site),
        "now": now,
    }
    return render(request, "quarantine/treatment.html", facts)


@login_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def order(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``?agent=`` is its code; without it one chooses."""
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.order-treatment", vessel.site)
    agent = _agent(request, vessel)
    if agent is None:
        return _choose(request, vessel, "Which agent is ordered?")
    water = water_of(vessel, at=timezone.now())
    sheet = OrderSheet(request.POST or None, agent=agent, initial=_animals(water))
    if (
        sheet.is_bound
        and signing.is_signed(sheet, by=request.user)
        and carry_out(order_treatment, sheet.command(vessel), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:treatment", vessel.pk))
    return _page(request, sheet, agent, water, vessel, verb="Sign the order")


@login_required
@require_http_methods(["GET", "POST"])
def open_course(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.open-course", vessel.site)
    agent = _agent(request, vessel)
    if agent is None:
        return _choose(request, vessel, "What is it treated with?")
    water = water_of(vessel, at=timezone.now())
    orders = [one for one in _orders(water) if one.agent.code == agent.code]
    target = orders[0].low if orders else agent.low
    sheet = CourseSheet(
        request.POST or None, agent=agent, orders=orders, initial={"target": plain(target)}
    )
    if sheet.is_valid() and (
        course := carry_out(commands.open_course, sheet.command(vessel), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:course", course.pk))
    return _page(request, sheet, agent, water, vessel, verb="Open the course")


@login_required
@never_cache
@require_GET
def show(request: SignedRequest, course_id: UUID) -> HttpResponse:
    course = course_of(request, course_id)
    now = timezone.now()
    facts = {
        "page": course_page(course, at=now),
        "course": course,
        "may": people.deeds_of(request.user, course.vessel.site),
        "now": now,
    }
    return render(request, "quarantine/course.html", facts)


def course_of(request: SignedRequest, course_id: UUID) -> Course:
    """Return the course, for those who may see its tank; its site's clock is put on."""
    rows = Course.objects.current().filter(vessel__in=Vessel.objects.open_to(request.user))
    course: Course = get_object_or_404(related(rows).prefetch_related("steps__by"), pk=course_id)
    timezone.activate(course.vessel.site.zone)
    return course


def _orders(water: Water) -> list[TreatmentOrder]:
    """Orders for this water that still hold, latest first."""
    rows = TreatmentOrder.objects.current().filter(
        vessel__in=water.member_ids, valid_until__gt=water.at, happened_at__lte=water.at
    )
    return list(rows.select_related("agent", "by", "vessel").order_by("-happened_at", "pk"))


def _agent(request: SignedRequest, vessel: Vessel) -> Agent | None:
    return agent_at(vessel.site, request.GET.get("agent", ""), at=timezone.now())


def _choose(request: SignedRequest, vessel: Vessel, what: str) -> HttpResponse:
    if request.method == "POST":
        raise Http404
    facts = {
        "site": vessel.site,
        "vessel": vessel,
        "agents": agents_at(vessel.site, at=timezone.now()),
        "what": what,
    }
    return render(request, "quarantine/choose_agent.html", facts)


def _animals(water: Water) -> dict[str, object]:
    """Who lives in the water, to be read and mended by whoever orders."""
    held = lots_in(water.member_ids, at=water.at)
    species = sorted({one.lot.species.scientific_name for one in held})
    count = sum(one.count for one in held)
    return {"species": ", ".join(species)[:200], "count": count or None}


def _page(
    request: SignedRequest,
    sheet: OrderSheet | CourseSheet,
    agent: Agent,
    water: Water,
    vessel: Vessel,
    *,
    verb: str,
) -> HttpResponse:
    facts = {
        "form": sheet,
        "agent": agent,
        "stops": agent.stops.order_by("kind", "pk"),
        "water": water,
        "vessel": vessel,
        "verb": verb,
        "forbidden": forbidden_in(water, regime_of(agent)),
        "held": lots_in(water.member_ids, at=water.at),
        "cards": cards_named([*agent.cards, "vet"]),
        "cancel": resolve_url("quarantine:treatment", vessel.pk),
    }
    status: HTTPStatus = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/treat_with.html", facts, status=status)
