"""The sheet for one value of a source water."""

from collections.abc import Iterable, Iterator
from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField, Select
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, WallClockField
from facility.models import Site
from tanks.commands.methods import DefineMethod
from tanks.commands.source_readings import LogSourceReading
from tanks.forms.offers import Offer, offers
from tanks.models import Method, SourceReading
from tanks.rules.entries import LONGEST
from tanks.rules.plausibility import Fault, judged
from tanks.rules.values import PARAMETERS

# What the waterworks may change from one day to the next comes first.
_FIRST = ("CHLORINE", "TAN", "PH", "ALKALINITY", "NITRATE", "SALINITY")


class SourceReadingSheet(CommandSheet):
    """``corrects`` is an earlier reading that this one takes the place of."""

    problem_title: ClassVar[str] = "Not saved yet"
    source = CharField(
        label="Which water",
        max_length=80,
        help_text="By the name it is always called here, such as mains, mixing station, RO.",
    )
    measure = ChoiceField(label="What was read, and how", widget=Select())
    text = CharField(label="What the test shows", max_length=LONGEST, widget=BigNumber())
    happened_at = WallClockField(label="Measured at", initial=timezone.now)

    def __init__(
        self,
        *args: Any,
        site: Site,
        methods: Iterable[Method],
        corrects: SourceReading | None = None,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.site, self.corrects = site, corrects
        methods = list(methods)
        self.offers = {name: offers(site, methods, name) for name in _in_order()}
        field = self.fields["measure"]
        if isinstance(field, ChoiceField):
            field.choices = [
                (PARAMETERS[name], [(f"{name}|{one.value}", _called(one)) for one in offered])
                for name, offered in self.offers.items()
            ]
        if corrects is not None:
            self.fields["reason"] = CharField(label="Why it is corrected", max_length=300)
            self._fill_in(corrects)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if self.errors:
            return given
        parameter, offer = self._chosen()
        try:
            judged(
                parameter=parameter,
                text=given["text"],
                unit=offer.reach.unit,
                basis=offer.reach.basis,
                reach=offer.reach,
            )
        except Fault as fault:
            self.add_error("text", ValidationError(fault.sentence))
        return given

    def command(self) -> LogSourceReading:
        given, (parameter, offer) = self.cleaned_data, self._chosen()
        return LogSourceReading(
            id=given["id"],
            site_id=self.site.pk,
            source=given["source"],
            parameter=parameter,
            method_id=offer.method_id,
            text=given["text"],
            unit=offer.reach.unit,
            basis=offer.reach.basis,
            happened_at=given["happened_at"],
            corrects_id=self.corrects.pk if self.corrects else None,
            reason=given.get("reason", ""),
        )

    def new_method(self) -> DefineMethod | None:
        """The plain method that this sheet is the first to use, if it is one."""
        return self._chosen()[1].define

    def _chosen(self) -> tuple[str, Offer]:
        parameter, _, method = self.cleaned_data["measure"].partition("|")
        return parameter, next(one for one in self.offers[parameter] if one.value == method)

    def _fill_in(self, row: SourceReading) -> None:
        self.initial.update(
            source=row.source,
            measure=f"{row.parameter}|{row.method_id}",
            text=row.as_entered,
            happened_at=row.happened_at,
        )


def _in_order() -> Iterator[str]:
    yield from _FIRST
    yield from (name for name in PARAMETERS if name not in _FIRST)


def _called(offer: Offer) -> str:
    unit = "" if offer.reach.unit == "pH" else f", {offer.reach.unit}"
    return f"{offer.label}{unit}{f' as {offer.reach.basis}' if unit and offer.reach.basis else ''}"
