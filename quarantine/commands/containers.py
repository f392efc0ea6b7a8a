"""Containers of agents: put one on the shelf, try it on a few animals, take it away."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from quarantine.models import Agent, Container, Trial
from quarantine.queries.agents import agent_at
from quarantine.rules.agent_forms import FORMS, Form, strength
from tanks.commands.finding import site_for


class UnknownAgent(Refusal):
    code = "unknown-agent"
    field = "agent_code"


class UnknownForm(Refusal):
    code = "unknown-form"
    field = "form"


class StrengthOffScale(Refusal):
    code = "strength-off-scale"
    field = "label_strength"


class NameMissing(Refusal):
    code = "name-missing"
    field = "name"


class BatchMissing(Refusal):
    code = "batch-missing"
    field = "batch"


class ContainerTaken(Refusal):
    code = "container-taken"
    field = "batch"


class ContainerExpired(Refusal):
    code = "container-expired"
    field = "expires_on"


class StorageMissing(Refusal):
    code = "storage-missing"
    field = "coldest_c"


class ContainerRetired(Refusal):
    code = "container-retired"
    field = "container_id"


class TrialUntold(Refusal):
    code = "trial-untold"
    field = "note"


class TrialTooSmall(Refusal):
    code = "trial-too-small"
    field = "count"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelveContainer:
    """``label_strength`` as the label has it: per cent of a solid, g/L of a solution.

    ``coldest_c`` is the coldest it was ever stored, where cold spoils the agent.
    """

    id: UUID
    site_id: UUID
    agent_code: str
    name: str
    form: str
    label_strength: Decimal
    batch: str
    expires_on: date
    opened_on: date | None = None
    coldest_c: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireContainer:
    """Empty, spoiled or mixed up: it is not to be used from ``happened_at`` on."""

    container_id: UUID
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordTrial:
    """``count`` animals were treated from this container first and watched for ``watched_h``."""

    id: UUID
    container_id: UUID
    species: str
    count: int
    concentration: Decimal
    watched_h: Decimal
    was_harmed: bool
    happened_at: datetime
    note: str = ""


@transaction.atomic(durable=True)
def shelve_container(command: ShelveContainer, *, by: Person, at: datetime) -> Container:
    """Put a container on the shelf; how much counts in it follows from its form and label.

    Raises:
        NotFound, NotAllowed, IdTaken, UnknownAgent, UnknownForm, StrengthOffScale, NameMissing,
        BatchMissing, ContainerExpired, StorageMissing, ContainerTaken
    """
    site = site_for(by, command.site_id, deed="quarantine.shelve-container")
    columns = _columns(command)
    if container := earlier(Container, command.id, columns):
        return container
    agent = agent_at(site, command.agent_code, at=at)
    if agent is None:
        raise UnknownAgent("Choose an agent this site uses; a manager adopts them.")
    form = _form(command, agent)
    _require_told(command, agent, on=at.astimezone(site.zone).date())
    _require_new(command, site)
    container = Container.objects.create(
        **columns, is_solid=form.is_solid, strength=_strength(command, form), shelved_at=at
    )
    _record("quarantine.shelve-container", container, site, by=by, when=at, at=at)
    return container


@transaction.atomic(durable=True)
def retire_container(command: RetireContainer, *, by: Person, at: datetime) -> Container:
    """Take a container off the shelf for good.

    Raises:
        NotFound, NotAllowed, InTheFuture, ContainerRetired
    """
    container = container_for(by, command.container_id, deed="quarantine.retire-container")
    if container.retired_at == command.happened_at:
        return container
    require_past(command.happened_at, at=at)
    if container.retired_at is not None:
        raise ContainerRetired(f"{container} was taken off the shelf before.")
    container.retired_at = command.happened_at
    container.save(update_fields=["retired_at"])
    when = command.happened_at
    _record("quarantine.retire-container", container, container.site, by=by, when=when, at=at)
    return container


@transaction.atomic(durable=True)
def record_trial(command: RecordTrial, *, by: Person, at: datetime) -> Trial:
    """Keep how a few animals bore what is in this very container.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, TrialTooSmall, TrialUntold, ContainerRetired
    """
    container = container_for(by, command.container_id, deed="quarantine.record-trial")
    columns = asdict(command) | {
        "concentration": command.concentration.quantize(_TEN_THOUSANDTH),
        "watched_h": command.watched_h.quantize(_TENTH),
        "species": command.species.strip(),
        "note": command.note.strip(),
    }
    if trial := earlier(Trial, command.id, columns):
        return trial
    require_past(command.happened_at, at=at)
    if container.retired_at is not None:
        raise ContainerRetired(f"{container} was taken off the shelf.")
    if command.count < 1 or columns["watched_h"] <= 0 or columns["concentration"] <= 0:
        raise TrialTooSmall("Give one animal or more, its level, and the hours it was watched.")
    if not columns["species"] or (command.was_harmed and not columns["note"]):
        raise TrialUntold("Say which animals, and what came of it if any came to harm.")
    trial = Trial.objects.create(**columns, recorded_at=at, by=by)
    when = command.happened_at
    _record("quarantine.record-trial", trial, container.site, by=by, when=when, at=at)
    return trial


def container_for(by: Person, container_id: UUID, *, deed: str) -> Container:
    """Return the container, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    known = Container.objects.open_to(by).select_related("site")
    container = known.filter(pk=container_id).first()
    if container is None:
        raise NotFound("There is no such container here.")
    people.require(by, deed, container.site)
    take_turn(container.site)
    container.refresh_from_db(fields=["retired_at"])
    return container


_TEN_THOUSANDTH: Final = Decimal("0.0001")
_TENTH: Final = Decimal("0.1")
_STRENGTH_STEP: Final = Decimal("0.00001")


def _columns(command: ShelveContainer) -> dict[str, Any]:
    columns = asdict(command)
    columns["name"], columns["batch"] = command.name.strip(), command.batch.strip()
    columns["label_strength"] = command.label_strength.quantize(_TEN_THOUSANDTH)
    if command.coldest_c is not None:
        columns["coldest_c"] = command.coldest_c.quantize(_TENTH)
    return columns


def _form(command: ShelveContainer, agent: Agent) -> Form:
    form = FORMS.get(command.form)
    if form is None or command.form not in agent.forms:
        raise UnknownForm(f"Choose what the container holds, counted as {agent.counted_as}.")
    return form


def _strength(command: ShelveContainer, form: Form) -> Decimal:
    try:
        found = strength(form, float(command.label_strength))
    except ValueError as error:
        raise StrengthOffScale(str(error)) from error
    return Decimal(repr(found)).quantize(_STRENGTH_STEP)


def _require_told(command: ShelveContainer, agent: Agent, *, on: date) -> None:
    if not command.name.strip():
        raise NameMissing("Write the name as it stands on the container.")
    if not command.batch.strip():
        raise BatchMissing("Write the batch number; it is what a trial and a recall go by.")
    if command.expires_on < on:
        raise ContainerExpired("It is out of date already; do not put it on the shelf.")
    if agent.stored_above_c is not None and command.coldest_c is None:
        raise StorageMissing(
            f"Cold spoils {agent.name}: say how cold it was ever stored, here or on its way."
        )


def _require_new(command: ShelveContainer, site: Site) -> None:
    name, batch = command.name.strip(), command.batch.strip()
    if Container.objects.filter(site=site, name=name, batch=batch).exists():
        raise ContainerTaken(
            f"{name}, batch {batch}, is on the shelf: number the containers, such as {name} 2."
        )


def _record(
    kind: str, row: models.Model, site: Site, *, by: Person, when: datetime, at: datetime
) -> None:
    ledger.record(kind, [row], about=site, site=site, by=by, happened_at=when, recorded_at=at)
