"""Sign for what passes have proven."""

from typing import Any, Final
from uuid import UUID

from django.forms import BooleanField, CharField, PasswordInput

from facility.forms.sheets import CommandSheet
from facility.models import Person
from tanks.commands.certificates import SignCertificate
from tanks.models import Cycle

MEANING: Final = "I have read both passes and certify the feed rate above for this water."


class SignSheet(CommandSheet):
    """The password is asked again: whoever signs is who they say, not whose screen this is."""

    problem_title = "Not signed yet"
    has_read = BooleanField(label=MEANING, error_messages={"required": "Read them, then tick."})
    password = CharField(
        label="Your password, again",
        strip=False,
        max_length=128,
        widget=PasswordInput({"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, signer: Person, meaning: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.signer, self.meaning = signer, meaning
        self.fields["has_read"].label = meaning

    def command(self, cycle: Cycle, *, pass_ids: tuple[UUID, ...]) -> SignCertificate:
        return SignCertificate(
            id=self.cleaned_data["id"],
            cycle_id=cycle.pk,
            pass_ids=pass_ids,
            meaning=self.meaning,
        )
