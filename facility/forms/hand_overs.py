from django.forms import CharField, Textarea
from django.utils import timezone

from facility.commands.hand_overs import HandOver
from facility.forms.sheets import CommandSheet, WallClockField
from facility.models import Site


class HandOverSheet(CommandSheet):
    text = CharField(
        label="For the next shift",
        max_length=4000,
        widget=Textarea({"rows": 8}),
        help_text="What they must know, and who does what next. What was recorded today, and "
        "what is still open, stands on their page already.",
    )
    happened_at = WallClockField(label="Handed over at", initial=timezone.now)

    def command(self, site: Site) -> HandOver:
        return HandOver(site_id=site.pk, **self.cleaned_data)
