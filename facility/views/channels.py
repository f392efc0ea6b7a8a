"""Ways to be reached: one's own and the site's, a trial of each, and what was sent."""

from secrets import token_urlsafe
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from facility.commands import channels as commands
from facility.commands.push_keys import application_server_key
from facility.commands.sending import try_channel as send_trial
from facility.forms.channels import AddressSheet, PhoneSheet, WebhookSheet
from facility.forms.sheets import Sheet
from facility.models import Channel, Site
from facility.queries import notices as queries
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require

_SHOWN: Final = 100
_HOME: Final = "facility:channels"


@login_required
@require_GET
def channels(request: SignedRequest) -> HttpResponse:
    """How this person is reached at each site, and which machines the site tells."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "places": [_place(request, site) for site in sites],
        "mail_stays_here": "smtp" not in settings.EMAIL_BACKEND,
    }
    return render(request, "facility/channels.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def add_channel(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?by=phone`` is for the very phone that shows this page; else an e-mail address."""
    site = _site_for(request, site_id, "facility.add-channel")
    if request.GET.get("by") == "phone":
        return _add_phone(request, site)
    sheet = AddressSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.add_channel, sheet.command(site), request=request, on=sheet
    ):
        return _done(request, "Added: try it now, so that you know it when it counts.")
    return sheet_page(
        request,
        sheet,
        title="E-mail",
        sub=f"Alerts of {site.name} that call you are sent there. E-mail is read late: for what "
        "asks for action now, have a phone called too.",
        verb="Add it",
        cancel=resolve_url(_HOME),
    )


@login_required
@never_cache
@require_http_methods(["GET", "POST"])
def add_webhook(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The secret is shown once."""
    site = _site_for(request, site_id, "facility.add-webhook")
    sheet, secret = WebhookSheet(request.POST or None), token_urlsafe(32)
    if sheet.is_valid():
        channel = carry_out(
            commands.add_webhook, sheet.command(site, secret), request=request, on=sheet
        )
        if channel:
            return render(request, "facility/webhook.html", {"channel": channel, "secret": secret})
    return sheet_page(
        request,
        sheet,
        title="Signed webhook",
        sub=f"Each alert of {site.name} is posted there when it is raised, becomes worse, calls "
        "the next person, is accepted and is cleared.",
        verb="Add it",
        cancel=resolve_url(_HOME),
    )


@login_required
@require_http_methods(["GET", "POST"])
def end_channel(request: SignedRequest, channel_id: UUID) -> HttpResponse:
    channel = _channel_of(request, channel_id)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.EndChannel(channel_id=channel.pk)
    if sheet.is_valid() and carry_out(commands.end_channel, command, request=request, on=sheet):
        return _done(request, f"Ended: {channel.name}.")
    return sheet_page(
        request,
        sheet,
        title=f"End {channel.name}",
        sub="Nothing more is sent this way. It can be added again.",
        verb="End it now",
        cancel=resolve_url(_HOME),
    )


@login_required
@require_POST
def try_channel(request: SignedRequest, channel_id: UUID) -> HttpResponse:
    channel = _channel_of(request, channel_id)
    if channel.ended_at is not None:
        raise Http404("This channel has been ended.")
    fault = send_trial(channel, at=timezone.now())
    if fault:
        messages.error(request, f"{channel.name}: {fault}", extra_tags="not-met")
    else:
        messages.success(
            request, f"{channel.name} took a trial message: see that it arrives.", extra_tags="done"
        )
    return see_other(resolve_url(_HOME))


@login_required
@require_GET
def notices(request: SignedRequest) -> HttpResponse:
    """What was sent, what waits and what was given up, with the reason."""
    rows = queries.notices_seen_by(request.user)[:_SHOWN]
    return render(request, "facility/notices.html", {"notices": rows, "shown": _SHOWN})


@login_required
@require_GET
def calling(request: SignedRequest) -> HttpResponse:
    """What stands on every page while nobody has accepted it, asked for again now and then."""
    return render(request, "facility/_calling.html", {"calling": queries.calling(request.user)})


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    may = people.deeds_of(request.user, site)
    return {
        "site": site,
        "own": queries.channels_at(site, request.user),
        "machines": queries.webhooks_at(site) if "facility.add-webhook" in may else [],
        "may": may,
    }


def _add_phone(request: SignedRequest, site: Site) -> HttpResponse:
    """The phone's browser subscribes and fills the sheet in."""
    sheet = PhoneSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.add_channel, sheet.command(site), request=request, on=sheet
    ):
        return _done(request, "This phone is called from now on: try it.")
    facts = {"form": sheet, "site": site, "server_key": application_server_key()}
    facts |= {"cancel": resolve_url(_HOME)}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "facility/add_phone.html", facts, status=status)


def _site_for(request: SignedRequest, site_id: UUID, deed: str) -> Site:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, deed, site)
    return site


def _channel_of(request: SignedRequest, channel_id: UUID) -> Channel:
    """One's own; a manager also finds the site's.

    Raises:
        Http404, PermissionDenied
    """
    here = Channel.objects.filter(site__in=Site.objects.open_to(request.user))
    channel = get_object_or_404(here.select_related("site"), pk=channel_id)
    require(request, "facility.end-channel", channel.site)
    if channel.person_id is None:
        require(request, "facility.add-webhook", channel.site)
    elif channel.person_id != request.user.pk:
        raise Http404("This channel is somebody else's.")
    return channel


def _done(request: SignedRequest, sentence: str) -> HttpResponse:
    messages.success(request, sentence, extra_tags="done")
    return see_other(resolve_url(_HOME))
