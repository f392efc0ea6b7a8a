"""Sign for what passes have proven."""

from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.forms import BooleanField, CharField, HiddenInput, TextInput

from facility.forms.signing import SigningSheet
from facility.models import Person
from tanks.commands.certificates import SignCertificate
from tanks.models import Cycle


class CertificateSheet(SigningSheet):
    """``meaning`` says in figures what is certified; it is refused if it changed since shown."""

    meaning = CharField(max_length=200, widget=HiddenInput)
    signer = CharField(disabled=True, widget=TextInput({"autocomplete": "username"}))
    has_read = BooleanField(error_messages={"required": "Read the passes above, then tick this."})
    field_order = ("signer", "has_read", "password")

    def __init__(self, *args: Any, signer: Person, meaning: str, **options: Any) -> None:
        shown = {"meaning": meaning, "signer": signer.username}
        super().__init__(*args, initial=shown, **options)
        self.certified = meaning
        self.fields["signer"].label = f"You sign as {signer.full_name}"
        self.fields["has_read"].label = meaning

    def clean_meaning(self) -> str:
        if self.cleaned_data["meaning"] != self.certified:
            raise ValidationError("The passes have changed since this page was opened: read again.")
        return self.certified

    def command(self, cycle: Cycle, *, pass_ids: tuple[UUID, ...]) -> SignCertificate:
        return SignCertificate(
            id=self.cleaned_data["id"], cycle_id=cycle.pk, pass_ids=pass_ids, meaning=self.certified
        )
