"""Who works where, as what; inviting somebody and letting somebody leave."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import people as commands
from facility.forms.people import InviteSheet
from facility.forms.sheets import Sheet
from facility.models import Membership, Site
from facility.queries import people as roles
from facility.queries.memberships import staff_of
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def people(request: SignedRequest) -> HttpResponse:
    """Everybody at the sites this person belongs to."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "held": staff_of(site),
            "may": roles.may(request.user, "facility.invite-person", site),
        }
        for site in sites
    ]
    return render(request, "facility/people.html", {"places": places})


@login_required
@require_http_methods(["GET", "POST"])
def invite_person(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.invite-person", site)
    sheet = InviteSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.invite_person, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "The account is made.", extra_tags="done")
        return see_other(resolve_url("facility:people"))
    return sheet_page(
        request,
        sheet,
        title="Invite a person",
        sub=f"To {site.name}. One account for one person: it is never shared.",
        verb="Make the account",
        cancel=resolve_url("facility:people"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def end_membership(request: SignedRequest, membership_id: UUID) -> HttpResponse:
    here = Membership.objects.filter(site__in=Site.objects.open_to(request.user), until=None)
    held = get_object_or_404(here.select_related("site", "person"), pk=membership_id)
    require(request, "facility.end-membership", held.site)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.EndMembership(membership_id=held.pk)
    if sheet.is_valid() and carry_out(commands.end_membership, command, request=request, on=sheet):
        return see_other(resolve_url("facility:people"))
    return sheet_page(
        request,
        sheet,
        title=f"{held.person.full_name} leaves {held.site.name}",
        sub="They can no longer sign in there from now on. Everything they signed stays.",
        verb="End it now",
        cancel=resolve_url("facility:people"),
    )
