"""Builders of shared phones: paired ones, PINs, and what a phone sends."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from facility.commands.handsets import PairHandset, SetPin, pair_handset, set_pin
from facility.models import Handset, Person, Pin
from facility.queries.handsets import COOKIE, digest_of
from tests.cast import NOON, House

TOKEN: Final = "a token only the phone keeps"
PIN: Final = "7294"


def pairing_of(house: House, *, token: str = TOKEN, name: str = "Phone 2") -> PairHandset:
    return PairHandset(id=uuid4(), site_id=house.site.pk, name=name, token_sha256=digest_of(token))


def paired(house: House, *, token: str = TOKEN) -> Handset:
    return pair_handset(pairing_of(house, token=token), by=house.mo, at=NOON)


def pin_for(house: House, person: Person, pin: str = PIN, *, at: datetime = NOON) -> Pin:
    return set_pin(SetPin(id=uuid4(), site_id=house.site.pk, pin=pin), by=person, at=at)


def carrying(client: Client, token: str = TOKEN) -> Client:
    """Let the client be the phone that keeps the token."""
    client.cookies[COOKIE] = token
    return client


def entry(deed: str, command: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """One entry as a phone sends it; its id is the command's."""
    told = {
        "id": command["id"],
        "deed": deed,
        "command": command,
        "made_at": timezone.now().isoformat(),
    }
    return told | changes


def synced(
    *entries: dict[str, Any], by: Person | None = None, token: str = "", ahead_s: float = 0
) -> Any:
    """Send entries as ``by``'s phone, or as the shared one that keeps ``token``."""
    client = APIClient(raise_request_exception=False)
    if by is not None:
        client.force_authenticate(by)
    if token:
        client.cookies[COOKIE] = token
    now = timezone.now() + timedelta(seconds=ahead_s)
    body = {"device_now": now.isoformat(), "entries": list(entries)}
    return client.post("/api/sync/", body, format="json")
