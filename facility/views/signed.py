"""Requests of people who are signed in, and commands carried out for them."""

from collections.abc import Callable
from typing import Any, TypeVar

from django.core.exceptions import PermissionDenied
from django.db import models
from django.forms import Form
from django.http import Http404, HttpRequest
from django.utils import timezone

from facility.models import Person, Site
from facility.queries import people
from facility.refusals import NotAllowed, NotFound, Refusal
from facility.views.refusals import show

Done = TypeVar("Done", bound=models.Model | list[Any])


class SignedRequest(HttpRequest):
    """What a view behind ``login_required`` gets."""

    user: Person


def carry_out(
    give: Callable[..., Done], command: Any, *, request: SignedRequest, on: Form
) -> Done | None:
    """Give the command now; a refusal is put on the sheet, and None comes back.

    Raises:
        Http404: the command names what is not there for this person.
        PermissionDenied: it is there, but they may not do this to it.
    """
    try:
        return give(command, by=request.user, at=timezone.now())
    except NotFound as refusal:
        raise Http404(refusal.sentence) from refusal
    except NotAllowed as refusal:
        raise PermissionDenied(refusal.sentence) from refusal
    except Refusal as refusal:
        show(refusal, on=on)
        return None


def require(request: SignedRequest, deed: str, site: Site) -> None:
    """Show no sheet to somebody who may not send it.

    Raises:
        PermissionDenied
    """
    try:
        people.require(request.user, deed, site)
    except NotAllowed as refusal:
        raise PermissionDenied(refusal.sentence) from refusal
