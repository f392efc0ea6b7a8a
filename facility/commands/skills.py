"""Who can do what: grant a skill, end it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.commands.shifts import UnknownKeeper
from facility.models import Person, Site, Skill
from facility.queries import people
from facility.queries.memberships import keepers_at
from facility.queries.shifts import skill_names
from facility.refusals import NotFound, Refusal


class SkillUnnamed(Refusal):
    code = "skill-unnamed"
    field = "name"


class SkillHeld(Refusal):
    code = "skill-held"
    field = "name"


@dataclass(frozen=True, slots=True, kw_only=True)
class GrantSkill:
    """The person may do work that asks for ``name`` at this site from now on."""

    id: UUID
    site_id: UUID
    person_id: UUID
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EndSkill:
    skill_id: UUID


@transaction.atomic(durable=True)
def grant_skill(command: GrantSkill, *, by: Person, at: datetime) -> Skill:
    """Write down that somebody can do it.

    Raises:
        NotFound, NotAllowed, IdTaken, SkillUnnamed, UnknownKeeper, SkillHeld
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.grant-skill", site)
    take_turn(site)
    name = _spelled(command.name, site)
    said = {"site_id": site.pk, "person_id": command.person_id, "name": name}
    if skill := earlier(Skill, command.id, said):
        return skill
    if not name:
        raise SkillUnnamed("Name the skill as tasks do, such as photometer.")
    if not keepers_at(site).filter(pk=command.person_id).exists():
        raise UnknownKeeper(f"Choose somebody who works on the tanks of {site.name}.")
    if Skill.objects.filter(until=None, **said).exists():
        raise SkillHeld("This person has that skill already.")
    skill = Skill.objects.create(id=command.id, since=at, **said)
    _record("facility.grant-skill", skill, by=by, at=at)
    return skill


@transaction.atomic(durable=True)
def end_skill(command: EndSkill, *, by: Person, at: datetime) -> Skill:
    """Let somebody no longer do it; ended before, return it as it is.

    Raises:
        NotFound, NotAllowed
    """
    here = Skill.objects.filter(site__in=Site.objects.open_to(by)).select_related("site")
    skill = here.filter(pk=command.skill_id).first()
    if skill is None:
        raise NotFound("There is no such skill.")
    people.require(by, "facility.end-skill", skill.site)
    take_turn(skill.site)
    skill.refresh_from_db(fields=["until"])
    if skill.until is not None:
        return skill
    skill.until = at
    skill.save(update_fields=["until"])
    _record("facility.end-skill", skill, by=by, at=at)
    return skill


def _spelled(name: str, site: Site) -> str:
    """As the site spells it already, if it does: two spellings would be two skills."""
    name = " ".join(name.split())
    known = {each.casefold(): each for each in skill_names(site)}
    return known.get(name.casefold(), name)


def _record(kind: str, skill: Skill, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind, [skill], about=skill.site, site=skill.site, by=by, happened_at=at, recorded_at=at
    )
