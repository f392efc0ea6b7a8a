"""From a lot's printed code to the lot."""

from django.urls import reverse

from facility.models import Person
from quarantine.models import Lot, LotLabel
from tanks.sockets.labels import Labelled


def lot_labelled(code: str, person: Person | None) -> Labelled | None:
    """Return where the label leads; without a person, whoever may see it."""
    rows = LotLabel.objects.filter(pk=code)
    label = (rows if person is None else rows.filter(lot__in=Lot.objects.open_to(person))).first()
    if label is None:
        return None
    return Labelled(url=reverse("quarantine:lot", args=[label.lot_id]), retired_at=label.retired_at)
