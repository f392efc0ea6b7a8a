"""Consignments as they are announced, and the papers that travel with them."""

from typing import Any, ClassVar

from django.forms import CharField, ChoiceField, DateInput, ModelChoiceField

from facility.forms.sheets import CalendarField, CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Site
from quarantine.commands.consignments import AddPaper, AmendConsignment, AnnounceConsignment
from quarantine.models import Consignment, Supplier
from quarantine.rules.papers import APPENDICES, KINDS, SOURCE_CODES


class ConsignmentForm(CommandSheet):
    supplier = ModelChoiceField(label="Supplier", queryset=Supplier.objects.none())
    reference = CharField(
        label="Waybill or invoice number", max_length=60, help_text="As it stands on the paper."
    )
    expected_at = WallClockField(label="Expected", required=False)
    departed_at = WallClockField(
        label="Boxes closed", required=False, help_text="Gives the hours on the way."
    )
    origin_country = CharField(
        label="Country of origin",
        max_length=2,
        required=False,
        help_text="Two letters, such as SG.",
    )
    rare = ("departed_at", "origin_country")
    rare_title = "Where it comes from"

    def __init__(self, *args: Any, site: Site, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        rows = Supplier.objects.filter(site=site, retired_at=None).order_by("name")
        self.offer("supplier", rows)

    def command(self) -> AnnounceConsignment:
        given = dict(self.cleaned_data)
        supplier = given.pop("supplier")
        return AnnounceConsignment(site_id=self.site.pk, supplier_id=supplier.pk, **given)


class AmendForm(Sheet):
    expected_at = WallClockField(label="Expected", required=False)
    departed_at = WallClockField(label="Boxes closed", required=False)
    origin_country = CharField(
        label="Country of origin",
        max_length=2,
        required=False,
        help_text="Two letters, such as SG.",
    )

    def command(self, consignment: Consignment) -> AmendConsignment:
        return AmendConsignment(consignment_id=consignment.pk, **self.cleaned_data)


class PaperForm(Sheet):
    """One line of one paper; what a CITES line must say is asked by the rules."""

    problem_title: ClassVar[str] = "Not kept yet"
    kind = ChoiceField(
        label="Paper", choices=list(KINDS.items()), widget=Segmented({"class": "segmented rows"})
    )
    number = CharField(label="Number", max_length=80, help_text="As it stands on the paper.")
    valid_until = CalendarField(
        label="Valid until",
        required=False,
        widget=DateInput({"type": "date"}, format="%Y-%m-%d"),
        help_text="A CITES paper ends at midnight of that day.",
    )
    appendix = ChoiceField(
        label="CITES Appendix",
        choices=[("", "not a CITES paper"), *((one, one) for one in APPENDICES)],
        required=False,
        widget=Segmented(),
    )
    scientific_name = CharField(
        label="Scientific name on it",
        max_length=120,
        required=False,
        help_text="To the species; corals too.",
    )
    quantity = CharField(
        label="Quantity on it",
        max_length=40,
        required=False,
        help_text="In units: 24 specimens, 3.5 kg. “One box” is not accepted.",
    )
    source_code = ChoiceField(
        label="Source code on it",
        choices=[("", "none"), *((code, f"{code}: {word}") for code, word in SOURCE_CODES.items())],
        required=False,
    )

    def command(self, consignment: Consignment) -> AddPaper:
        return AddPaper(consignment_id=consignment.pk, **self.cleaned_data)
