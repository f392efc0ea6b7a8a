"""One entry from a phone: whose it is, whether it came before, and what became of it."""

import logging
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import DataError
from django.utils import timezone
from rest_framework.exceptions import ErrorDetail

from facility.api.columns import kept_by
from facility.api.fields import serializer_of
from facility.commands.deliveries import CLOCKS_DIFFER_BY, SAVED_OTHERWISE, InTheFuture
from facility.models import Handset, Person, Sent
from facility.queries.handsets import hands_in
from facility.refusals import Refusal
from facility.sockets.deeds import Deed, deeds

_LONGEST_KEPT: Final = 10_000
_log: Final = logging.getLogger(__name__)
_SECRET: Final = frozenset({"password", "pin"})
_FAULT: Final = "Something went wrong at Penstock; it is sent again by itself."
_TOO_MUCH: Final = "A text is too long, or a number too large, to be kept; shorten it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """One request of a phone. ``before`` holds what came in earlier ones, by entry."""

    signer: Person | None
    handset: Handset | None
    skew_s: float
    at: datetime
    before: dict[UUID, Sent]
    hands: dict[str, Person | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """``sent`` is what is to be kept of it, if anything is new."""

    id: UUID
    answer: str
    field: str = ""
    says: str = ""
    asks: tuple[str, ...] = ()
    sent: Sent | None = None


def deliver(parcel: Parcel, entry: dict[str, Any]) -> Delivery:
    """Carry the entry out, or say what became of it when it came before."""
    by = _hands(parcel, entry)
    if by is None:
        return _waits(entry, "Whoever made it must sign in on this device to send it.")
    entry = entry | {"person": by.pk}
    before = parcel.before.get(entry["id"])
    if before is not None:
        return _again(parcel, entry, before)
    done = _dropped(entry) if entry["dropped"] else _given(parcel, entry, by)
    return _kept(parcel, entry, done) if done.answer != "waits" and not _is_secret(entry) else done


def _hands(parcel: Parcel, entry: dict[str, Any]) -> Person | None:
    """Return whose entry it is: by the token of a shared phone, else the signer's own."""
    person = _by_token(parcel, entry["token"])
    if person is not None and entry["person"] in (None, person.pk):
        return person
    signer = parcel.signer
    return signer if signer is not None and entry["person"] in (None, signer.pk) else None


def _by_token(parcel: Parcel, token: str) -> Person | None:
    if not token or parcel.handset is None:
        return None
    if token not in parcel.hands:
        parcel.hands[token] = hands_in(parcel.handset, token)
    return parcel.hands[token]


def _again(parcel: Parcel, entry: dict[str, Any], before: Sent) -> Delivery:
    """Answer as before; what was refused may be dropped after all."""
    said = (entry["person"], entry["deed"], _lean(entry["command"]))
    if said != (before.by_id, before.deed, before.command):
        return _refused(entry, SAVED_OTHERWISE, at="id")
    if before.answer == Sent.Answer.SAVED:
        return Delivery(id=entry["id"], answer="saved")
    if entry["dropped"]:
        beside = uuid5(entry["id"], "dropped")
        kept = _kept(parcel, entry | {"id": beside}, _dropped(entry))
        return replace(kept, id=entry["id"])
    return _refused(entry, before.sentence, at=before.field, asks=tuple(before.asks))


def _dropped(entry: dict[str, Any]) -> Delivery:
    return Delivery(id=entry["id"], answer="dropped", says=f"Dropped: {entry['dropped']}")


def _given(parcel: Parcel, entry: dict[str, Any], by: Person) -> Delivery:
    deed = next((one for one in deeds if one.name == entry["deed"] and one.roles), None)
    if deed is None:
        return _refused(entry, "Penstock knows no such entry; load the page again.", at="deed")
    if deed.is_signature or _is_secret(entry):
        return _refused(entry, "This needs the person and signal at once; do it on its page.")
    try:
        return _carried_out(entry, deed, by)
    except Refusal as refusal:
        return _refused(
            entry, _sentence(refusal, parcel.skew_s), at=refusal.field, asks=refusal.asks
        )
    except DataError:
        return _refused(entry, _TOO_MUCH)
    except Exception:  # noqa: BLE001  one that we cannot take must not hold back all behind it
        _log.exception("An entry from a phone could not be taken.")
        return _waits(entry, _FAULT)


def _carried_out(entry: dict[str, Any], deed: Deed, by: Person) -> Delivery:
    sheet = serializer_of(deed.command, kept_by(deed))(data=entry["command"])
    if not sheet.is_valid():
        name, says = _first_fault(sheet.errors)
        return _refused(entry, says, at=name)
    command = sheet.asked()
    if getattr(command, "id", entry["id"]) != entry["id"]:
        return _refused(entry, "The entry and its command bear different ids.", at="id")
    deed.give(command, by=by, at=timezone.now())
    return Delivery(id=entry["id"], answer="saved")


def _sentence(refusal: Refusal, skew_s: float) -> str:
    """A moment ahead of us, from a phone ahead of us, is the phone's clock and no prophecy."""
    skew = timedelta(seconds=skew_s)
    if not isinstance(refusal, InTheFuture) or skew <= CLOCKS_DIFFER_BY:
        return refusal.sentence
    minutes = round(skew / timedelta(minutes=1))
    return (
        f"This phone's clock is {minutes} min ahead of Penstock's: set the clock, "
        "then mend the time of this entry."
    )


def _first_fault(errors: Any, name: str = "") -> tuple[str, str]:
    """Return the first field that cannot be read, by its path, and what is wrong with it."""
    if isinstance(errors, ErrorDetail | str):
        return name, str(errors)
    steps = errors.items() if isinstance(errors, dict) else enumerate(errors)
    for step, inner in steps:
        if inner:
            is_sentence = isinstance(inner, ErrorDetail | str)
            return _first_fault(inner, name if is_sentence else f"{name}.{step}".lstrip("."))
    return name, "It cannot be read."


def _is_secret(entry: dict[str, Any]) -> bool:
    return not _SECRET.isdisjoint(entry["command"])


def _lean(command: dict[str, Any]) -> dict[str, Any]:
    """What is remembered of a command: of a picture, only what tells it from every other."""
    return {
        name: f"sha256:{sha256(value.encode()).hexdigest()}"
        if isinstance(value, str) and len(value) > _LONGEST_KEPT
        else value
        for name, value in command.items()
    }


def _refused(
    entry: dict[str, Any], says: str, *, at: str = "", asks: tuple[str, ...] = ()
) -> Delivery:
    return Delivery(id=entry["id"], answer="refused", field=at[:80], says=says, asks=asks)


def _waits(entry: dict[str, Any], says: str) -> Delivery:
    return Delivery(id=entry["id"], answer="waits", says=says)


def _kept(parcel: Parcel, entry: dict[str, Any], done: Delivery) -> Delivery:
    sent = Sent(
        id=entry["id"],
        handset=parcel.handset,
        site=parcel.handset.site if parcel.handset else None,
        by_id=entry["person"],
        deed=entry["deed"],
        command=_lean(entry["command"]),
        made_at=entry["made_at"],
        received_at=parcel.at,
        skew_s=parcel.skew_s,
        answer=Sent.Answer.SAVED if done.answer == "saved" else Sent.Answer.REFUSED,
        field=done.field,
        sentence=done.says,
        asks=list(done.asks),
    )
    parcel.before.setdefault(sent.pk, sent)
    return replace(done, sent=sent)
