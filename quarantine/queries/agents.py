"""Which agents a site uses, by which figures, and the containers of them."""

from datetime import date, datetime

from django.db.models import F, Q, QuerySet

from facility.models import Site
from facility.rules.wording import written
from quarantine.models import Agent, AgentStop, Container
from quarantine.rules.agent_defaults import AGENTS
from quarantine.rules.agent_forms import FORMS, Form
from quarantine.rules.agent_values import AgentValues
from quarantine.rules.guard_facts import Barrier


def agents_at(site: Site, *, at: datetime) -> QuerySet[Agent]:
    """The agents in force, by name, with their stops."""
    rows = Agent.objects.filter(site=site, period__contains=at)
    return rows.prefetch_related("stops").order_by("name", "pk")


def agent_at(site: Site, code: str, *, at: datetime) -> Agent | None:
    return agents_at(site, at=at).filter(code=code).first()


def missing_agents(site: Site) -> list[AgentValues]:
    """What is shipped and was never adopted here; what the site ended stays ended."""
    known = set(Agent.objects.filter(site=site).values_list("code", flat=True))
    return [one for one in AGENTS if one.code not in known]


def containers_at(site: Site, code: str, *, at: datetime) -> QuerySet[Container]:
    """What is on the shelf of an agent, what expires soonest first, expired ones too."""
    on_shelf = Q(retired_at=None) | Q(retired_at__gt=at)
    rows = Container.objects.filter(on_shelf, site=site, agent_code=code, shelved_at__lte=at)
    return rows.order_by(F("expires_on").asc(), "name", "pk")


def shelf_of_agents(site: Site, *, at: datetime) -> QuerySet[Container]:
    on_shelf = Q(retired_at=None) | Q(retired_at__gt=at)
    rows = Container.objects.filter(on_shelf, site=site, shelved_at__lte=at)
    return rows.prefetch_related("trials").order_by("agent_code", "expires_on", "name", "pk")


def forms_of(agent: Agent) -> list[Form]:
    return [FORMS[code] for code in agent.forms if code in FORMS]


def form_told(container: Container) -> str:
    """Return form and strength as the label has them."""
    form = FORMS[container.form]
    unit = "%" if form.is_solid or form.fixed is not None else "g/L"
    return f"{form.label}, {written(container.label_strength)} {unit}"


def is_expired(container: Container, *, on: date) -> bool:
    """The day printed on the container is the last good one."""
    return container.expires_on < on


def barrier_of(row: AgentStop) -> Barrier:
    parts = [row.source, row.edition, row.jurisdiction, "" if row.is_verified else "not verified"]
    return Barrier(
        kind=row.kind,
        figures=row.figures,
        sentence=row.sentence,
        source=", ".join(part for part in parts if part),
    )
