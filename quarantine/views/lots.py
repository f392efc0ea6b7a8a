"""What is done to a lot: sold, sent off, missed, split, merged, counted, put right."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import counts, lots, partings, sales
from quarantine.forms.lots import (
    AmendChangeForm,
    CountForm,
    MergeForm,
    MissingForm,
    OpenLotForm,
    SaleForm,
    SendOffForm,
    SplitForm,
)
from quarantine.models import CountChange, Lot
from quarantine.queries.books import lots_at
from quarantine.queries.lots import holdings, story_of
from quarantine.views.animals import lot_of
from tanks.views.found import site_of


@login_required
@require_http_methods(["GET", "POST"])
def sell_animals(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    """What holds them is told before anything is typed."""
    lot = lot_of(request, lot_id)
    require(request, "quarantine.sell-animals", lot.site)
    now = timezone.now()
    sheet = SaleForm(request.POST or None, lot=lot, held=holdings(lot, at=now))
    if sheet.is_valid() and carry_out(
        sales.sell_animals, sheet.command(), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:lot", lot.pk))
    facts = {
        "form": sheet,
        "lot": lot,
        "story": story_of(lot, at=now),
        "cancel": resolve_url("quarantine:lot", lot.pk),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/sell_animals.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def send_off(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    title, sub = "Send {} off the site", "Unsold: to another site, back to the supplier, on loan."
    return _about_lot(request, lot_id, SendOffForm, sales.send_off, (title, sub, "Send them off"))


@login_required
@require_http_methods(["GET", "POST"])
def report_missing(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    title, sub = "Not found: {}", "Looked for and not found, dead or alive."
    words = (title, sub, "Take them out of the book")
    return _about_lot(request, lot_id, MissingForm, sales.report_missing, words)


@login_required
@require_http_methods(["GET", "POST"])
def split_lot(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    sub = "The new lot keeps species, supplier, consignment and day; it stays in the same tank."
    return _about_lot(
        request, lot_id, SplitForm, partings.split_lot, ("Split {}", sub, "Split the lot")
    )


@login_required
@require_http_methods(["GET", "POST"])
def correct_count(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    sub = "A count that differs is normal. Book and reason are both kept."
    return _about_lot(
        request, lot_id, CountForm, counts.correct_count, ("Count of {}", sub, "Correct the count")
    )


@login_required
@require_http_methods(["GET", "POST"])
def merge_lots(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    lot = lot_of(request, lot_id)
    require(request, "quarantine.merge-lots", lot.site)
    here = [one.lot for one in lots_at(lot.site, at=timezone.now())]
    sheet = MergeForm(request.POST or None, lot=lot, lots=here)
    if sheet.is_valid() and (
        merged := carry_out(partings.merge_lots, sheet.command(), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:lot", merged.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Merge {lot.code}",
        sub="Where each animal came from can no longer be told; the new lot lists its parents.",
        verb="Merge them",
        cancel=resolve_url("quarantine:lot", lot.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def open_lot(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.open-lot", site)
    here = [one.lot for one in lots_at(site, at=timezone.now())]
    sheet = OpenLotForm(request.POST or None, site=site, lots=here)
    if sheet.is_valid() and (
        lot := carry_out(lots.open_lot, sheet.command(), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:lot", lot.pk))
    return sheet_page(
        request,
        sheet,
        title="Open the book of a lot",
        sub="For animals that came in no box: bred here, or here already.",
        verb="Open it",
        cancel=resolve_url("quarantine:animals"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def amend_change(request: SignedRequest, change_id: UUID) -> HttpResponse:
    known = CountChange.objects.filter(from_lot__in=Lot.objects.open_to(request.user))
    change = get_object_or_404(known.select_related("from_lot__site", "from_vessel"), pk=change_id)
    lot = change.from_lot
    timezone.activate(lot.site.zone)
    require(request, "quarantine.amend-change", lot.site)
    sheet = AmendChangeForm(request.POST or None, initial={"count": change.count})
    if sheet.is_valid() and carry_out(
        sales.amend_change, sheet.command(change), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:lot", lot.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Put an entry of {lot.code} right",
        sub=f"{change.get_kind_display()}: {change.count} out of {change.from_vessel}. "
        "What was first written stays to be read.",
        verb="Put it right",
        cancel=resolve_url("quarantine:lot", lot.pk),
    )


def _about_lot(
    request: SignedRequest,
    lot_id: UUID,
    form: Callable[..., Any],
    give: Callable[..., Any],
    words: tuple[str, str, str],
) -> HttpResponse:
    """A sheet about one lot; ``words`` are title, what stands below it, and the verb."""
    lot = lot_of(request, lot_id)
    require(request, f"quarantine.{give.__name__.replace('_', '-')}", lot.site)
    sheet = form(request.POST or None, lot=lot, held=holdings(lot, at=timezone.now()))
    if sheet.is_valid() and (done := carry_out(give, sheet.command(), request=request, on=sheet)):
        onward = done if isinstance(done, Lot) else lot
        return see_other(resolve_url("quarantine:lot", onward.pk))
    title, sub, verb = words
    return sheet_page(
        request,
        sheet,
        title=title.format(lot.code),
        sub=f"{lot.species.scientific_name}. {sub}",
        verb=verb,
        cancel=resolve_url("quarantine:lot", lot.pk),
    )
