from django.forms import ChoiceField, HiddenInput, IntegerField
from django.utils import timezone

from facility.commands.breaks import TakeBreak
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.models import Site
from facility.rules.hygiene import ANSWERS, CLEANEST, DIRTIEST


class BreakSheet(CommandSheet):
    """One question; the ranks come with it."""

    from_rank = IntegerField(
        label="Hygiene rank left", min_value=CLEANEST, max_value=DIRTIEST, initial=DIRTIEST
    )
    to_rank = IntegerField(
        label="Hygiene rank entered", min_value=CLEANEST, max_value=DIRTIEST, initial=CLEANEST
    )
    # To the second and beyond: what was done in the same minute before is before.
    happened_at = WallClockField(
        widget=HiddenInput, initial=lambda: timezone.now().isoformat(), label="When"
    )
    said = ChoiceField(
        label="Before the step",
        choices=[(code, words) for code, (words, _, _) in ANSWERS.items()],
        widget=Segmented({"class": "segmented rows"}),
    )

    def command(self, site: Site) -> TakeBreak:
        given = self.cleaned_data
        _, kit_changed, hands_disinfected = ANSWERS[given["said"]]
        return TakeBreak(
            id=given["id"],
            site_id=site.pk,
            from_rank=given["from_rank"],
            to_rank=given["to_rank"],
            kit_changed=kit_changed,
            hands_disinfected=hands_disinfected,
            happened_at=given["happened_at"],
        )
