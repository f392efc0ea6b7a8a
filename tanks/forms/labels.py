from typing import Any

from django.forms import CheckboxSelectMultiple, ChoiceField, IntegerField, ModelMultipleChoiceField

from facility.forms.numbers import BigNumber
from facility.forms.sheets import Segmented, Sheet
from facility.models import Area, Person
from tanks.models import Vessel


class LabelsSheet(Sheet):
    """Which tanks get a label, and on which sheet of labels."""

    rare = ("used",)
    rare_title = "A sheet that has been begun"
    areas = ModelMultipleChoiceField(
        label="All of an area",
        queryset=Area.objects.none(),
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
    )
    vessels = ModelMultipleChoiceField(
        label="Single tanks and systems",
        queryset=Vessel.objects.none(),
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
    )
    paper = ChoiceField(
        label="Label sheet",
        choices=[("a4", "A4, 21 labels of 63.5 × 38.1 mm"), ("letter", "Letter, 10 of 4 × 2 in")],
        initial="a4",
        widget=Segmented(),
    )
    used = IntegerField(
        label="Labels already used",
        min_value=0,
        max_value=20,
        required=False,
        widget=BigNumber(),
        help_text="Counted row by row from the upper left; the first free one is printed first.",
    )

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        self.person = person
        standing = Vessel.objects.open_to(person).filter(retired_at=None)
        self.offer("vessels", standing.select_related("area").order_by("code", "pk"))
        self.offer("areas", Area.objects.open_to(person).order_by("hygiene_rank", "name"))

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if not values.get("areas") and not values.get("vessels"):
            self.add_error("vessels", "Choose at least one tank, system or area.")
        return values

    def chosen(self) -> list[Vessel]:
        """The vessels in the order of work: clean areas first."""
        standing = Vessel.objects.open_to(self.person).filter(retired_at=None)
        by_area = standing.filter(area__in=self.cleaned_data["areas"])
        rows = (by_area | standing.filter(pk__in=self.cleaned_data["vessels"])).distinct()
        rows = rows.select_related("area", "site")
        return list(rows.order_by("area__hygiene_rank", "area__name", "code", "pk"))
