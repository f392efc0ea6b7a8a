"""The one question between a dirty area and a cleaner one, above whatever page comes next."""

from datetime import datetime
from typing import Any, Final
from uuid import uuid4

from django.http import HttpRequest  # noqa: TID251  the answer leads back to the page it is asked on
from django.template import Library
from django.template.context import Context
from django.urls import reverse

from facility.models import Area, Person
from facility.queries import hygiene, people
from facility.rules.hygiene import ANSWERS

register: Final = Library()


@register.inclusion_tag("facility/_break.html", takes_context=True)
def ask_break(context: Context, area: Area, at: datetime) -> dict[str, Any]:
    """Ask about the step into this area, unless it was answered or there is nothing to ask."""
    request = context.get("request")
    person = getattr(request, "user", None)
    if not isinstance(request, HttpRequest) or not isinstance(person, Person):
        return {}
    if not people.may(person, "facility.take-break", area.site):
        return {}
    step = hygiene.step_asked(person, site=area.site, to_rank=area.hygiene_rank, at=at)
    return {
        "step": step,
        "area": area,
        "answers": [(code, words) for code, (words, _, _) in ANSWERS.items()],
        "id": uuid4(),
        "at": at.isoformat(),
        "action": reverse("facility:take-break", args=[area.site_id]),
        "here": request.get_full_path(),
        "csrf_token": context.get("csrf_token"),
    }
