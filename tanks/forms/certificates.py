"""Sign for what passes have proven."""

from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.forms import BooleanField, CharField, HiddenInput, PasswordInput, TextInput

from facility.forms.sheets import CommandSheet
from facility.models import Person
from tanks.commands.certificates import SignCertificate
from tanks.models import Cycle


class SignSheet(CommandSheet):
    """The password is asked again: whoever signs is who they say, not whose screen this is.

    ``meaning`` is what the signature stands for; it is refused if it changed since it was shown.
    """

    problem_title = "Not signed yet"
    meaning_shown = CharField(max_length=200, widget=HiddenInput)
    signer = CharField(
        disabled=True,
        widget=TextInput({"autocomplete": "username"}),
    )
    has_read = BooleanField(error_messages={"required": "Read the passes above, then tick this."})
    password = CharField(
        label="Your password, again",
        strip=False,
        max_length=128,
        widget=PasswordInput({"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, signer: Person, meaning: str, **options: Any) -> None:
        shown = {"meaning_shown": meaning, "signer": signer.username}
        super().__init__(*args, initial=shown, **options)
        self.meaning = meaning
        self.fields["signer"].label = f"You sign as {signer.full_name}"
        self.fields["has_read"].label = meaning

    def clean_meaning_shown(self) -> str:
        if self.cleaned_data["meaning_shown"] != self.meaning:
            raise ValidationError("The passes have changed since this page was opened: read again.")
        return self.meaning

    def command(self, cycle: Cycle, *, pass_ids: tuple[UUID, ...]) -> SignCertificate:
        return SignCertificate(
            id=self.cleaned_data["id"], cycle_id=cycle.pk, pass_ids=pass_ids, meaning=self.meaning
        )
