from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import devices
from tanks.forms.devices import DeviceSheet, RemoveDeviceSheet, SwitchSheet
from tanks.queries.devices import running
from tanks.views.found import device_of, vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def install(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.install-device", vessel.site)
    sheet = DeviceSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        devices.install_device, sheet.command(vessel), request=request, on=sheet
    ):
        return see_other(resolve_url("tanks:set-up", vessel.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Add a device to {vessel.code}",
        sub="It counts as running until somebody turns it off.",
        verb="Add the device",
        cancel=resolve_url("tanks:set-up", vessel.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def switch(request: SignedRequest, device_id: UUID) -> HttpResponse:
    device = device_of(request, device_id)
    require(request, "tanks.switch-device", device.vessel.site)
    latest = running([device.vessel_id], at=timezone.now())
    is_on = all(each.is_on for each in latest if each.device == device)
    sheet = SwitchSheet(
        request.POST or None,
        device=device,
        initial={"is_on": "off" if is_on else "on", "owner": request.user.pk},
    )
    if sheet.is_valid() and carry_out(
        devices.switch_device, sheet.command(), request=request, on=sheet
    ):
        return see_other(resolve_url("tanks:water", device.vessel_id))
    return sheet_page(
        request,
        sheet,
        title=f"{device.name} on {device.vessel.code}",
        sub=f"It is {'running' if is_on else 'off'} now.",
        verb="Record it",
        cancel=resolve_url("tanks:water", device.vessel_id),
    )


@login_required
@require_http_methods(["GET", "POST"])
def remove(request: SignedRequest, device_id: UUID) -> HttpResponse:
    device = device_of(request, device_id)
    require(request, "tanks.remove-device", device.vessel.site)
    sheet = RemoveDeviceSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        devices.remove_device, sheet.command(device), request=request, on=sheet
    ):
        return see_other(resolve_url("tanks:set-up", device.vessel_id))
    return sheet_page(
        request,
        sheet,
        title=f"Take out {device.name}",
        sub=f"From {device.vessel.code}, for good. To turn it off for a while, switch it off.",
        verb="Take it out",
        cancel=resolve_url("tanks:set-up", device.vessel_id),
    )
