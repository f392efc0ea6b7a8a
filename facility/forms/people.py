from django.forms import CharField, ChoiceField, PasswordInput

from facility.commands.people import InvitePerson
from facility.forms.sheets import CommandSheet, Segmented
from facility.models import Membership, Site


class InviteSheet(CommandSheet):
    full_name = CharField(max_length=120)
    initials = CharField(max_length=6, help_text="As they would sign a sheet of paper.")
    username = CharField(max_length=60, label="Sign-in name")
    role = ChoiceField(choices=Membership.Role.choices, widget=Segmented())
    password = CharField(
        max_length=128,
        widget=PasswordInput(render_value=True, attrs={"autocomplete": "new-password"}),
        label="First password",
        help_text="Tell it to them in person; it is their signature.",
    )

    def command(self, site: Site) -> InvitePerson:
        return InvitePerson(site_id=site.pk, **self.cleaned_data)
