"""Sheets that add a way to be reached."""

from typing import Final

from django.forms import CharField, ChoiceField, HiddenInput

from facility.commands.channels import AddChannel, AddWebhook
from facility.forms.sheets import CommandSheet, Segmented
from facility.models import Site

_LEVELS: Final = [("1", "Only what asks for action now"), ("2", "Also what is due today")]


class _ChannelSheet(CommandSheet):
    """``name`` tells one channel from another in the list and in the log."""

    problem_title = "Not added yet"
    name = CharField(label="Name", max_length=80)
    up_to_level = ChoiceField(
        label="What it carries", choices=_LEVELS, initial="2", widget=Segmented()
    )


class AddressSheet(_ChannelSheet):
    address = CharField(
        label="E-mail address",
        max_length=254,
        widget=CharField.widget({"inputmode": "email", "autocomplete": "email"}),
    )
    field_order = ("address", "name", "up_to_level")

    def command(self, site: Site) -> AddChannel:
        given = self.cleaned_data
        return AddChannel(
            id=given["id"],
            site_id=site.pk,
            name=given["name"],
            up_to_level=int(given["up_to_level"]),
            address=given["address"],
        )


class PhoneSheet(_ChannelSheet):
    """The phone's browser fills the hidden fields in once it is allowed to show messages."""

    name = CharField(label="Name of this phone", max_length=80, initial="My phone")
    endpoint = CharField(required=False, max_length=500, widget=HiddenInput)
    p256dh = CharField(required=False, max_length=200, widget=HiddenInput)
    auth = CharField(required=False, max_length=200, widget=HiddenInput)

    def command(self, site: Site) -> AddChannel:
        given = self.cleaned_data
        return AddChannel(
            id=given["id"],
            site_id=site.pk,
            name=given["name"],
            up_to_level=int(given["up_to_level"]),
            endpoint=given["endpoint"] or "none",
            p256dh=given["p256dh"],
            auth=given["auth"],
        )


class WebhookSheet(_ChannelSheet):
    url = CharField(
        label="Address of the receiver",
        max_length=400,
        help_text="With https. Plain http is only for a machine on the site's own network.",
        widget=CharField.widget({"inputmode": "url"}),
    )
    field_order = ("url", "name", "up_to_level")

    def command(self, site: Site, secret: str) -> AddWebhook:
        given = self.cleaned_data
        return AddWebhook(
            id=given["id"],
            site_id=site.pk,
            name=given["name"],
            up_to_level=int(given["up_to_level"]),
            url=given["url"],
            secret=secret,
        )
