"""Browsers ask for the icon by an old name where no page has told them its address."""

from django.http import HttpResponse
from django.shortcuts import redirect
from django.templatetags.static import static
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe


@require_safe
@cache_control(public=True, max_age=86400)
def show(_: object) -> HttpResponse:
    return redirect(static("facility/icon.svg"))
