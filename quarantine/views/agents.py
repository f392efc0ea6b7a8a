"""Agents and their containers: figures with their sources, the shelf, trials."""

from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import agents as commands
from quarantine.commands import containers
from quarantine.forms.agents import (
    AdoptSheet,
    AgentSheet,
    ContainerSheet,
    RetireContainerSheet,
    TrialSheet,
)
from quarantine.models import Agent, Container
from quarantine.queries.agents import (
    agent_at,
    agents_at,
    form_told,
    is_expired,
    missing_agents,
    shelf_of_agents,
)
from quarantine.rules.hazards import cards_named
from tanks.views.found import site_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """What each site treats with, by which figures, and what stands on its shelf."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(site, request) for site in sites]}
    return render(request, "quarantine/agents.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def adopt_agents(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.adopt-agents", site)
    sheet = AdoptSheet(request.POST or None)
    if sheet.is_valid():
        command = commands.AdoptAgents(id=sheet.cleaned_data["id"], site_id=site.pk)
        adopted = carry_out(commands.adopt_agents, command, request=request, on=sheet)
        if adopted is not None:
            text = (
                f"{len(adopted)} agents adopted. Check what is not verified before relying on it."
            )
            messages.success(request, text, extra_tags="done")
            return see_other(resolve_url("quarantine:agents"))
    facts = {"site": site, "form": sheet, "missing": missing_agents(site)}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "quarantine/adopt_agents.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def set_agent(request: SignedRequest, agent_id: UUID) -> HttpResponse:
    known = Agent.objects.open_to(request.user).select_related("site")
    agent = get_object_or_404(known, pk=agent_id)
    timezone.activate(agent.site.zone)
    require(request, "quarantine.set-agent", agent.site)
    sheet = AgentSheet(request.POST or None, agent=agent)
    if sheet.is_valid() and carry_out(
        commands.set_agent, sheet.command(), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:agents"))
    return sheet_page(
        request,
        sheet,
        title=f"{agent.name}: figures of {agent.site.name}",
        sub=f"In {agent.unit}, counted as {agent.counted_as}. Courses already opened keep theirs; "
        "maxima and stops stay as they are.",
        verb="Set from now on",
        cancel=resolve_url("quarantine:agents"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def shelve_container(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?agent=`` is its code; without it one chooses."""
    site = site_of(request, site_id)
    require(request, "quarantine.shelve-container", site)
    now = timezone.now()
    agent = agent_at(site, request.GET.get("agent", ""), at=now)
    if agent is None:
        facts = {"site": site, "agents": agents_at(site, at=now), "what": "Which agent is in it?"}
        return render(request, "quarantine/choose_agent.html", facts, status=_asked(request))
    sheet = ContainerSheet(request.POST or None, agent=agent)
    if sheet.is_valid() and carry_out(
        containers.shelve_container, sheet.command(), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:agents"))
    return sheet_page(
        request,
        sheet,
        title=f"A container of {agent.name}",
        sub=f"Counted as {agent.counted_as}. Each bottle, tub or drum has a line of its own: a "
        "trial belongs to one container.",
        verb="Put it on the shelf",
        cancel=resolve_url("quarantine:agents"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def retire_container(request: SignedRequest, container_id: UUID) -> HttpResponse:
    container = _container(request, container_id)
    require(request, "quarantine.retire-container", container.site)
    sheet = RetireContainerSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        containers.retire_container, sheet.command(container), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:agents"))
    return sheet_page(
        request,
        sheet,
        title=f"Take {container.name} off the shelf",
        sub=f"Batch {container.batch}. It is not to be used again.",
        verb="Take it off",
        cancel=resolve_url("quarantine:agents"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def record_trial(request: SignedRequest, container_id: UUID) -> HttpResponse:
    container = _container(request, container_id)
    require(request, "quarantine.record-trial", container.site)
    known = Agent.objects.filter(site=container.site, code=container.agent_code)
    unit = known.values_list("unit", flat=True).first() or "mg/L"
    sheet = TrialSheet(request.POST or None, unit=unit)
    if sheet.is_valid() and carry_out(
        containers.record_trial, sheet.command(container), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:agents"))
    return sheet_page(
        request,
        sheet,
        title=f"Tried on a few: {container.name}",
        sub=f"Batch {container.batch}. A few animals, in little water, watched. It counts for this "
        "very container: another with the same label is tried anew.",
        verb="Record the trial",
        cancel=resolve_url("quarantine:agents"),
    )


def _place(site: Site, request: SignedRequest) -> dict[str, Any]:
    now = timezone.now()
    today = now.astimezone(site.zone).date()
    return {
        "site": site,
        "may": people.deeds_of(request.user, site),
        "missing": missing_agents(site),
        "agents": [
            {"row": agent, "cards": cards_named(agent.cards)} for agent in agents_at(site, at=now)
        ],
        "shelf": [
            {
                "row": row,
                "form": form_told(row),
                "is_expired": is_expired(row, on=today),
                "trials": [one for one in row.trials.all() if not one.withdrawn],
            }
            for row in shelf_of_agents(site, at=now)
        ],
    }


def _asked(request: SignedRequest) -> HTTPStatus:
    if request.method == "POST":
        raise Http404
    return HTTPStatus.OK


def _container(request: SignedRequest, container_id: UUID) -> Container:
    known = Container.objects.open_to(request.user).select_related("site")
    container = get_object_or_404(known, pk=container_id)
    timezone.activate(container.site.zone)
    return container
