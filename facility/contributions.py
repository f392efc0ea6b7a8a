"""What the facility plugs into its own sockets, like everyone else."""

from collections.abc import Callable
from typing import Any

from facility.commands.answers import AnswerTask, answer_task
from facility.commands.documents import IssueDocument, issue_document
from facility.commands.people import (
    EndMembership,
    InvitePerson,
    end_membership,
    invite_person,
)
from facility.commands.places import OpenArea, OpenSite, open_area, open_site
from facility.commands.work import RaiseTask, raise_task
from facility.queries import subjects
from facility.sockets.deeds import KEEPERS, MANAGERS, SIGNERS, Deed, deeds
from facility.sockets.menu import MenuEntry, menu
from facility.sockets.subjects import SubjectSource, subject_sources


def _plug(
    command: type, give: Callable[..., Any], roles: frozenset[str], says: str, **more: bool
) -> None:
    """One name everywhere: the deed is called as its function is."""
    name = f"facility.{give.__name__.replace('_', '-')}"
    deeds.plug(Deed(name=name, command=command, give=give, roles=roles, says=says, **more))


_plug(OpenSite, open_site, MANAGERS, "opened the site")
_plug(OpenArea, open_area, MANAGERS, "added an area")
_plug(EndMembership, end_membership, MANAGERS, "let a person leave")
_plug(InvitePerson, invite_person, MANAGERS, "gave a person an account and a role")
_plug(IssueDocument, issue_document, SIGNERS, "issued a document")
_plug(RaiseTask, raise_task, KEEPERS, "asked for a piece of work")
_plug(AnswerTask, answer_task, KEEPERS, "answered a task")
menu.plug(MenuEntry(name="facility.tasks", label="Tasks", url_name="facility:tasks", order=25))
menu.plug(MenuEntry(name="facility.ledger", label="Ledger", url_name="facility:ledger", order=90))
menu.plug(MenuEntry(name="facility.people", label="People", url_name="facility:people", order=80))
subject_sources.plug(
    SubjectSource(
        name="facility.sites",
        table="facility.site",
        places=subjects.sites_as_places,
        alike=subjects.site_alone,
    )
)
subject_sources.plug(
    SubjectSource(
        name="facility.areas",
        table="facility.area",
        places=subjects.areas_as_places,
        alike=subjects.area_alone,
    )
)
