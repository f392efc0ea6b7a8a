from django.forms import CharField, PasswordInput, TextInput

from facility.forms.sheets import Sheet


class SignInSheet(Sheet):
    problem_title = "Not signed in"

    username = CharField(
        label="Name",
        max_length=60,
        widget=TextInput(
            {"autocomplete": "username", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    # No spaces are cut from a password: they may belong to it.
    password = CharField(
        strip=False, max_length=128, widget=PasswordInput({"autocomplete": "current-password"})
    )
