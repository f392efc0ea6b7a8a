from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from facility.models import Person
from facility.queries import memberships


def on_site_time(
    respond: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Read and write moments by the wall clock of the place where the signed-in person works.

    Somebody who works at several sites gets the first by name; a page of another site says so
    itself, by ``timezone.override`` around its sheet and by ``|moment:site.zone``.
    """

    def respond_on_site_time(request: HttpRequest) -> HttpResponse:
        zone = memberships.zone_of(request.user) if isinstance(request.user, Person) else None
        with timezone.override(zone):
            return respond(request)

    return respond_on_site_time
