"""What the facility plugs into its own sockets, like everyone else."""

from collections.abc import Callable
from typing import Any

from facility import jobs
from facility.commands.alerts import (
    AcceptAlert,
    ClearAlert,
    RaiseAlert,
    accept_alert,
    clear_alert,
    raise_alert,
)
from facility.commands.answers import AnswerTask, answer_task
from facility.commands.breaks import TakeBreak, take_break
from facility.commands.calendars import (
    CloseCalendar,
    OpenCalendar,
    close_calendar,
    open_calendar,
)
from facility.commands.call_policies import SetCallPolicy, set_call_policy
from facility.commands.channels import (
    AddChannel,
    AddWebhook,
    EndChannel,
    add_channel,
    add_webhook,
    end_channel,
)
from facility.commands.documents import IssueDocument, issue_document
from facility.commands.duties import EndDuty, SetDuty, end_duty, set_duty
from facility.commands.escalation import EscalateAlert, escalate_alert
from facility.commands.follow_ups import RaiseFollowUps, raise_follow_ups
from facility.commands.hand_overs import HandOver, hand_over
from facility.commands.handsets import (
    PairHandset,
    RevokeHandset,
    SetPin,
    pair_handset,
    revoke_handset,
    set_pin,
)
from facility.commands.loose_ends import (
    ExtendLooseEnd,
    LeaveLooseEnd,
    ReturnLooseEnd,
    extend_loose_end,
    leave_loose_end,
    return_loose_end,
)
from facility.commands.maintenance import SetMaintenance, set_maintenance
from facility.commands.notices import call
from facility.commands.people import (
    EndMembership,
    InvitePerson,
    end_membership,
    invite_person,
)
from facility.commands.photos import KeepPhoto, keep_photo
from facility.commands.places import OpenArea, OpenSite, open_area, open_site
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.commands.reports import KeepReport, keep_report
from facility.commands.rounds import DrawUpRounds, draw_up_rounds
from facility.commands.shifts import CancelShift, SetShift, cancel_shift, set_shift
from facility.commands.skills import EndSkill, GrantSkill, end_skill, grant_skill
from facility.commands.work import RaiseTask, raise_task
from facility.queries import loose_ends, stop_list, subjects
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.callers import Caller, callers
from facility.sockets.deeds import KEEPERS, MANAGERS, SIGNERS, Deed, deeds
from facility.sockets.loose_ends import LooseEndSource, loose_end_sources
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.stop_list import StopSource, stop_sources
from facility.sockets.subjects import SubjectSource, subject_sources
from facility.sockets.work import TaskSource, task_sources


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
_plug(KeepPhoto, keep_photo, SIGNERS, "kept a photo")
_plug(PairHandset, pair_handset, MANAGERS, "paired a phone")
_plug(RevokeHandset, revoke_handset, MANAGERS, "ended a phone's pairing")
_plug(SetPin, set_pin, SIGNERS, "set a PIN", is_signature=True)
_plug(RaiseTask, raise_task, KEEPERS, "asked for a piece of work")
_plug(SetDuty, set_duty, MANAGERS, "set what recurs")
_plug(EndDuty, end_duty, MANAGERS, "ended what recurred")
# The house asks for its duties and for what events make necessary itself; no role may.
_plug(RaiseFollowUps, raise_follow_ups, frozenset(), "asked for what must follow")
_plug(RaiseTasks, raise_tasks, frozenset(), "asked for what its duties bring round")
_plug(AnswerTask, answer_task, KEEPERS, "answered a task")
_plug(LeaveLooseEnd, leave_loose_end, KEEPERS, "left something for a while")
_plug(ExtendLooseEnd, extend_loose_end, KEEPERS, "gave a loose end more time or another owner")
_plug(ReturnLooseEnd, return_loose_end, KEEPERS, "put something right")
_plug(TakeBreak, take_break, KEEPERS, "answered about a step from dirty to clean")
# The house raises alerts itself; no role may.
_plug(RaiseAlert, raise_alert, frozenset(), "raised an alert, or saw it change")
_plug(EscalateAlert, escalate_alert, frozenset(), "called the next about an alert")
_plug(AddChannel, add_channel, SIGNERS, "added a way to be reached")
_plug(AddWebhook, add_webhook, MANAGERS, "added a webhook")
_plug(EndChannel, end_channel, SIGNERS, "ended a way to be reached")
_plug(SetCallPolicy, set_call_policy, MANAGERS, "set when the next is called")
_plug(AcceptAlert, accept_alert, KEEPERS, "accepted an alert")
_plug(ClearAlert, clear_alert, KEEPERS, "cleared an alert")
_plug(SetMaintenance, set_maintenance, KEEPERS, "set planned work")
_plug(HandOver, hand_over, SIGNERS, "wrote a hand-over")
_plug(KeepReport, keep_report, SIGNERS, "kept a report")
_plug(SetShift, set_shift, MANAGERS, "put a person on")
_plug(CancelShift, cancel_shift, MANAGERS, "cancelled a shift")
_plug(GrantSkill, grant_skill, MANAGERS, "granted a skill")
_plug(EndSkill, end_skill, MANAGERS, "ended a skill")
_plug(DrawUpRounds, draw_up_rounds, MANAGERS, "drew up the rounds of a day")
_plug(OpenCalendar, open_calendar, KEEPERS, "opened a calendar of their rounds")
_plug(CloseCalendar, close_calendar, KEEPERS, "closed a calendar of their rounds")
menu.plug(
    MenuEntry(
        name="facility.round",
        label="Your round",
        url_name="facility:round",
        order=22,
        group=Group.NOW,
    )
)
menu.plug(
    MenuEntry(
        name="facility.rounds",
        label="Rounds",
        url_name="facility:rounds",
        order=27,
        group=Group.SHIFT,
    )
)
menu.plug(
    MenuEntry(
        name="facility.duties",
        label="Duties",
        url_name="facility:duties",
        order=72,
        roles=MANAGERS,
    )
)
menu.plug(
    MenuEntry(
        name="facility.tasks", label="Tasks", url_name="facility:tasks", order=25, group=Group.SHIFT
    )
)
menu.plug(
    MenuEntry(
        name="facility.hand-overs",
        label="Hand-over",
        url_name="facility:hand-overs",
        order=30,
        group=Group.SHIFT,
    )
)
menu.plug(
    MenuEntry(
        name="facility.closing-list",
        label="Closing list",
        url_name="facility:closing-list",
        order=35,
        group=Group.SHIFT,
    )
)
menu.plug(
    MenuEntry(
        name="facility.reports",
        label="Reports",
        url_name="facility:reports",
        order=43,
        group=Group.PROOF,
    )
)
menu.plug(
    MenuEntry(
        name="facility.alerts",
        label="Alerts",
        url_name="facility:alerts",
        order=12,
        group=Group.NOW,
    )
)
menu.plug(
    MenuEntry(
        name="facility.channels",
        label="Channels",
        url_name="facility:channels",
        order=79,
    )
)
menu.plug(
    MenuEntry(
        name="facility.ledger",
        label="Ledger",
        url_name="facility:ledger",
        order=90,
        group=Group.PROOF,
    )
)
menu.plug(
    MenuEntry(name="facility.handsets", label="Phones", url_name="facility:handsets", order=78)
)
menu.plug(MenuEntry(name="facility.people", label="People", url_name="facility:people", order=80))
loose_end_sources.plug(LooseEndSource(name="facility.loose-ends", loose=loose_ends.own))
task_sources.plug(TaskSource("facility.loose-ends", loose_ends.own_duties))
stop_sources.plug(StopSource(name="facility.house", stops=stop_list.house_stops))
aftermaths.plug(Aftermath("facility.answer-tasks", frozenset({"facility.hand-over"}), jobs.follow))
aftermaths.plug(
    Aftermath("facility.answer-next", frozenset({"facility.answer-task"}), jobs.follow_answer)
)
callers.plug(Caller(name="facility.notices", call=call))
aftermaths.plug(
    Aftermath(
        "facility.send-notices",
        frozenset(f"facility.{verb}-alert" for verb in ("raise", "escalate", "accept", "clear")),
        jobs.send_soon,
    )
)
subject_sources.plug(
    SubjectSource(
        name="facility.sites",
        table="facility.site",
        places=subjects.sites_as_places,
        alike=subjects.site_alone,
        at_site=subjects.the_site,
    )
)
subject_sources.plug(
    SubjectSource(
        name="facility.areas",
        table="facility.area",
        places=subjects.areas_as_places,
        alike=subjects.area_alone,
        at_site=subjects.areas_at,
    )
)
