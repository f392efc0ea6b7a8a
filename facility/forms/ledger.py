from datetime import datetime, time, timedelta
from typing import Any

from django.forms import CharField, ChoiceField, DateInput, HiddenInput, ModelChoiceField
from django.utils import timezone

from facility.forms.sheets import CalendarField, Sheet
from facility.models import Person, Site
from facility.queries import ledger
from facility.sockets.deeds import deeds


class LedgerSheet(Sheet):
    """What to look for; days are by the clock of the site."""

    problem_title = "This cannot be looked for"

    site = ModelChoiceField(queryset=Site.objects.none(), required=False, empty_label="Every site")
    about = CharField(required=False, max_length=120, widget=HiddenInput)
    kind = ChoiceField(label="What was done", required=False)
    by = ModelChoiceField(
        label="By whom", queryset=Person.objects.none(), required=False, empty_label="Anybody"
    )
    since = CalendarField(label="Written from", required=False, widget=DateInput({"type": "date"}))
    until = CalendarField(label="Written up to", required=False, widget=DateInput({"type": "date"}))

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        kinds = sorted(((deed.name, _capital(deed.says)) for deed in deeds), key=lambda one: one[1])
        self.fields["kind"].choices = [("", "Anything"), *kinds]  # type: ignore[attr-defined]  # a choice field has them
        sites = Site.objects.open_to(person).order_by("name", "pk")
        self.offer("site", sites)
        if len(sites) == 1:
            self.fields["site"].widget = HiddenInput()
        self.offer("by", ledger.writers(person))

    def asked(self) -> dict[str, Any]:
        """Return what ``lines_seen_by`` takes; an unreadable sheet asks for everything."""
        if not self.is_valid():
            return {}
        given = self.cleaned_data
        return {
            "site": given["site"].pk if given["site"] else None,
            "about": given["about"],
            "kind": given["kind"],
            "by": given["by"].pk if given["by"] else None,
            "since": _midnight(given["since"]) if given["since"] else None,
            "until": _midnight(given["until"] + timedelta(days=1)) if given["until"] else None,
        }


def _midnight(day: Any) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.min))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
