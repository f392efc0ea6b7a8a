"""Sheets about shared phones and the PINs that change hands."""

from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.forms import CharField, ModelChoiceField, PasswordInput, RadioSelect

from facility.commands.handsets import PairHandset, SetPin
from facility.forms.sheets import CommandSheet, Sheet
from facility.forms.signing import SigningSheet
from facility.models import Handset, Person, Site
from facility.queries.handsets import digest_of, holders_of
from facility.rules.pins import fault_of


def _figures(autocomplete: str) -> PasswordInput:
    return PasswordInput(
        {"inputmode": "numeric", "autocomplete": autocomplete, "class": "big", "maxlength": "8"}
    )


class PairSheet(CommandSheet):
    name = CharField(max_length=80, label="Name of the phone", help_text="Such as Phone 2.")

    def command(self, site: Site, token: str) -> PairHandset:
        return PairHandset(
            id=self.cleaned_data["id"],
            site_id=site.pk,
            name=self.cleaned_data["name"],
            token_sha256=digest_of(token),
        )


class PinSheet(SigningSheet):
    """Signed with the password; what it means needs no words."""

    problem_title: ClassVar[str] = "Not set yet"
    meaning = None  # type: ignore[assignment]  # Django's way to leave an inherited field out
    pin = CharField(
        label="PIN",
        max_length=8,
        widget=_figures("new-password"),
        help_text="4 to 8 figures, known to nobody else: what is entered with it is yours.",
    )
    again = CharField(label="The same PIN again", max_length=8, widget=_figures("new-password"))
    field_order = ("pin", "again", "password")

    def clean_pin(self) -> str:
        pin: str = self.cleaned_data["pin"]
        if fault := fault_of(pin):
            raise ValidationError(fault)
        return pin

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if {"pin", "again"} <= given.keys() and given["pin"] != given["again"]:
            self.add_error("again", "The two differ; enter the same figures twice.")
        return given

    def command(self, site: Site) -> SetPin:
        return SetPin(id=self.cleaned_data["id"], site_id=site.pk, pin=self.cleaned_data["pin"])


class WhoChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    """``AQ Ana Quill``: initials first, as on paper."""

    def label_from_instance(self, someone: Any) -> str:
        return f"{someone.initials} · {someone.full_name}"


class HandsSheet(Sheet):
    """Who holds the phone now; ``token`` stands for a PIN that was checked without signal."""

    problem_title: ClassVar[str] = "Not changed"
    person = WhoChoice(
        queryset=Person.objects.none(),
        label="Who are you?",
        widget=RadioSelect({"class": "segmented"}),
    )
    pin = CharField(label="Your PIN", max_length=8, required=False, widget=_figures("off"))
    token = CharField(max_length=500, required=False)

    def __init__(self, *args: Any, handset: Handset, **options: Any) -> None:
        super().__init__(*args, **{"auto_id": "hands_%s"} | options)
        self.offer("person", holders_of(handset))
