"""Boxes opened with wet hands: photo, counts, tank; then the next one."""

from http import HTTPStatus
from uuid import UUID, uuid5

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands.photos import keep_photo
from facility.rules.pictures import Unusable
from facility.views.answers import see_other, sheet_page
from facility.views.photos import photo_command
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import arrivals, box_corrections
from quarantine.forms.arrivals import BoxCorrectionForm, BoxForm
from quarantine.models import Box, Consignment
from quarantine.queries.consignments import next_number, tank_water, unionised_bound
from quarantine.rules.opening import ADVICE, Jump, is_warning, jump_of
from quarantine.views.consignments import consignment_of
from tanks.models import Cycle
from tanks.rules.limits import Bound


@login_required
@require_http_methods(["GET", "POST"])
def receive_box(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    row = consignment_of(request, consignment_id)
    require(request, "quarantine.receive-box", row.site)
    sheet = BoxForm(
        request.POST or None, request.FILES or None, consignment=row, initial=_initial(request, row)
    )
    if sheet.is_valid() and (box := _received(request, sheet)):
        messages.success(request, _told(box), extra_tags="done")
        onward = resolve_url("quarantine:receive-box", row.pk)
        return see_other(f"{onward}?species={box.species_id}&tank={box.vessel or ''}")
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    facts = {"form": sheet, "consignment": row, "tanks": _tanks(sheet)}
    return render(request, "quarantine/receive_box.html", facts, status=status)


@login_required
@require_GET
def opening(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    """What opening this bag does, before anything is saved; a part of the sheet."""
    row = consignment_of(request, consignment_id)
    sheet = BoxForm(request.GET, consignment=row)
    sheet.is_valid()
    jump, bound = _jump(sheet)
    facts = {"jump": jump, "bound": bound, "advice": ADVICE}
    return render(request, "quarantine/_opening.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def correct_box(request: SignedRequest, box_id: UUID) -> HttpResponse:
    known = Box.objects.filter(consignment__in=Consignment.objects.open_to(request.user))
    box = get_object_or_404(known.select_related("consignment__site", "species"), pk=box_id)
    site = box.consignment.site
    timezone.activate(site.zone)
    require(request, "quarantine.correct-box", site)
    counts = ("invoiced", "alive", "dead_on_arrival", "weak")
    sheet = BoxCorrectionForm(
        request.POST or None, initial={name: getattr(box, name) for name in counts}
    )
    if sheet.is_valid() and carry_out(
        box_corrections.correct_box, sheet.command(box), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:consignment", box.consignment_id))
    return sheet_page(
        request,
        sheet,
        title=f"Correct box {box.number} {box.bag}".strip(),
        sub=f"{box.species.scientific_name}. What was first written stays to be read, and the "
        "book of the lot follows.",
        verb="Correct it",
        cancel=resolve_url("quarantine:consignment", box.consignment_id),
    )


def _received(request: SignedRequest, sheet: BoxForm) -> Box | None:
    """Keep the photo, then the box; sent again, what was kept is found."""
    photos: tuple[UUID, ...] = ()
    if file := sheet.cleaned_data["photo"]:
        try:
            command = photo_command(
                file,
                photo_id=uuid5(sheet.cleaned_data["id"], "photo"),
                site=sheet.consignment.site,
                about=f"quarantine.consignment:{sheet.consignment.pk}",
                happened_at=sheet.cleaned_data["happened_at"],
            )
        except Unusable as error:
            sheet.add_error("photo", str(error))
            return None
        kept = carry_out(keep_photo, command, request=request, on=sheet)
        if kept is None:
            return None
        photos = (kept.pk,)
    return carry_out(arrivals.receive_box, sheet.command(photos), request=request, on=sheet)


def _initial(request: SignedRequest, row: Consignment) -> dict[str, object]:
    """The next number, and species and tank of the box before: hands are wet."""
    given = request.GET
    boxes = list(Box.objects.current().filter(consignment=row).order_by("happened_at"))
    used = [box.protocol_id for box in boxes if box.protocol_id]
    return {
        "number": next_number(boxes),
        "species": given.get("species"),
        "tank": given.get("tank", ""),
        "protocol": used[-1] if used else None,
    }


def _tanks(sheet: BoxForm) -> dict[str, str]:
    """Codes and labels of tanks with their ids, for a sheet that waits on the phone."""
    labels = sheet.consignment.site.vessels.filter(labels__retired_at=None)
    codes = {code.upper(): str(vessel.pk) for code, vessel in sheet.tanks.items()}
    return codes | {code: str(pk) for pk, code in labels.values_list("pk", "labels__code") if code}


def _jump(sheet: BoxForm) -> tuple[Jump | None, Bound | None]:
    """A jump worth a warning, and the site's own limit it is held against."""
    tank, species = (sheet.cleaned_data.get(name) for name in ("tank", "species"))
    if tank is None:
        return None, None
    now = timezone.now()
    kind = species.water_kind if species else Cycle.WaterKind.FRESH
    bound = unionised_bound(tank.site, kind, at=now)
    try:
        jump = jump_of([one for _, one in sheet.sampled()], tank_water(tank, at=now))
    except ValueError:
        return None, None
    limit_mg_l_n = bound.high if bound and bound.high is not None else 0.0
    return (jump, bound) if jump and is_warning(jump, limit_mg_l_n=limit_mg_l_n) else (None, None)


def _told(box: Box) -> str:
    where = f" into {box.vessel} as {box.lot}" if box.vessel and box.lot else ""
    return f"Box {box.number}: {box.alive} alive{where}, {box.dead_on_arrival} DOA."
