from django.forms import CharField, IntegerField, NumberInput

from facility.commands.places import OpenArea, OpenSite
from facility.forms.sheets import CommandSheet
from facility.models import Site


class SiteSheet(CommandSheet):
    name = CharField(max_length=120)
    time_zone = CharField(
        max_length=60,
        help_text="Of the clock on the wall there, such as Europe/Lisbon or America/Chicago.",
    )
    jurisdiction = CharField(
        max_length=60, help_text="Whose rules apply there, such as PT, GB-SCT or US-TX."
    )

    def command(self) -> OpenSite:
        return OpenSite(**self.cleaned_data)


class AreaSheet(CommandSheet):
    name = CharField(max_length=120, help_text="A room, a row or a rack.")
    hygiene_rank = IntegerField(
        initial=1,
        widget=NumberInput({"inputmode": "numeric", "class": "big"}),
        help_text="1 is the cleanest, 9 the last to be entered. Work goes from low to high.",
    )

    def command(self, site: Site) -> OpenArea:
        return OpenArea(site_id=site.pk, **self.cleaned_data)
