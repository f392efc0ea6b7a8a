"""The day's tasks, and the page a task is answered on."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands.answers import answer_task as give
from facility.forms.work import AnswerSheet
from facility.models import Site, Task
from facility.queries import people
from facility.queries.task_pages import lines_of, page_of
from facility.queries.work import TaskNow, task_now, tasks_of
from facility.rules.calendar import is_on_calendar
from facility.views.answers import onward, see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def tasks(request: SignedRequest) -> HttpResponse:
    """Every task of a day, done and undone, at the sites this person belongs to."""
    now = timezone.now()
    on = _day(request.GET.get("on", ""), now)
    sites = [_day_at(site, on, now, request) for site in _sites(request)]
    step = timedelta(days=1)
    facts = {"sites": sites, "on": on, "before": on - step, "after": on + step, "now": now}
    return render(request, "facility/tasks.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def answer_task(request: SignedRequest, task_id: UUID) -> HttpResponse:
    task = get_object_or_404(Task.objects.open_to(request.user).select_related("site"), pk=task_id)
    require(request, "facility.answer-task", task.site)
    now = timezone.now()
    one = task_now(task, at=now)
    with timezone.override(task.site.zone):
        sheet = AnswerSheet(request.POST or None, initial=_initial(one))
        is_read = sheet.is_valid()
        if is_read and carry_out(give, sheet.command(task), request=request, on=sheet):
            messages.success(request, f"Answered: {task.title}.", extra_tags="done")
            return see_other(onward(request))
        facts = _facts(one, sheet, now)
        status = status_of(is_bound=sheet.is_bound)
        return render(request, "facility/answer_task.html", facts, status=status)


def _sites(request: SignedRequest) -> list[Site]:
    return list(Site.objects.open_to(request.user).order_by("name", "pk"))


def _day(text: str, now: datetime) -> date:
    """The day asked for, by the clock now active; today when it cannot be read."""
    today = timezone.localtime(now).date()
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return today
    return day if is_on_calendar(day.year) else today


def _day_at(site: Site, on: date, now: datetime, request: SignedRequest) -> dict[str, Any]:
    found = tasks_of(site, on, at=now)
    return {
        "site": site,
        "tasks": found,
        "undone": sum(not one.is_answered for one in found),
        "may": people.may(request.user, "facility.answer-task", site),
    }


def _initial(one: TaskNow) -> dict[str, Any]:
    return {"corrects_id": one.answer.pk} if one.answer else {}


def _facts(one: TaskNow, sheet: AnswerSheet, now: datetime) -> dict[str, Any]:
    return {
        "one": one,
        "task": one.task,
        "form": sheet,
        "now": now,
        "page": page_of(one.task),
        "evidence": lines_of(one.answer.evidence) if one.answer else [],
    }
