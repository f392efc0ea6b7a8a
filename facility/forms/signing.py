"""A signature: what it stands for is in view, and the password is entered again."""

from typing import ClassVar

from django.forms import CharField, PasswordInput, Textarea

from facility.forms.sheets import CommandSheet


class SigningSheet(CommandSheet):
    """Ends a sheet in a signature; give ``meaning`` as an initial value.

    Later signings in a session need at least the component only the signer knows:
    21 CFR 11.200(a)(1)(i).
    """

    problem_title: ClassVar[str] = "Not signed yet"

    meaning = CharField(
        label="What your signature means",
        max_length=200,
        widget=Textarea({"rows": 2}),
        error_messages={"required": "Write what your signature stands for."},
    )
    # No spaces are cut from a password: they may belong to it.
    password = CharField(
        label="Your password, again",
        strip=False,
        max_length=128,
        widget=PasswordInput({"autocomplete": "current-password"}),
    )
