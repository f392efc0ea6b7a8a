"""The sheet for one sample: a row for each parameter, most of them empty most of the time."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final
from uuid import UUID, uuid5

from django.forms import BoundField, CharField, ChoiceField, RadioSelect, Select

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, WallClockField
from facility.rules.wording import unit_and_basis
from tanks.commands.methods import DefineMethod
from tanks.commands.readings import LogReadings, ReadingTaken
from tanks.forms.offers import Offer, offers, spoken, unit_choices
from tanks.models import Method, Reading, Vessel
from tanks.rules.entries import LONGEST
from tanks.rules.plausibility import Fault, judged
from tanks.rules.scales import step_entries
from tanks.rules.values import PARAMETERS

_FIRST: Final = ("TAN", "NITRITE", "PH", "TEMPERATURE")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One parameter on the sheet. ``question`` is asked about ``reading_id`` if it surprised.

    ``methods`` tells a phone without signal what each method reads in, as JSON.
    """

    parameter: str
    label: str
    sign: str
    text: BoundField
    step: BoundField | None
    method: BoundField
    method_label: str
    unit: BoundField
    latest: Reading | None
    question: str
    reading_id: UUID | None
    methods: str

    @property
    def is_wrong(self) -> bool:
        fields = (self.text, self.method, self.unit)
        return bool(self.question) or any(field.errors for field in fields)


class ReadingsSheet(CommandSheet):
    """Fields are made for the site's ``methods``; ``known`` is what the water last read."""

    problem_title: ClassVar[str] = "Not saved yet"
    happened_at = WallClockField(
        label="Measured at", help_text="When the sample was taken; set it back for an earlier one."
    )

    def __init__(
        self,
        *args: Any,
        vessel: Vessel,
        methods: Iterable[Method],
        known: Mapping[str, Reading],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.vessel, self.known = vessel, known
        methods = tuple(methods)
        self.offers = {name: offers(vessel.site, methods, name) for name in PARAMETERS}
        self.questions: dict[UUID, str] = {}
        for parameter in PARAMETERS:
            self._add_row(parameter)

    def usual_rows(self) -> list[Row]:
        """The parameters that this water is read for; of a new water, the first four."""
        return [self.row(parameter) for parameter in PARAMETERS if self._is_usual(parameter)]

    def other_rows(self) -> list[Row]:
        return [self.row(parameter) for parameter in PARAMETERS if not self._is_usual(parameter)]

    def other_is_open(self) -> bool:
        """A folded row that is wrong must not stay hidden."""
        return any(row.is_wrong or row.text.value() for row in self.other_rows())

    def row(self, parameter: str) -> Row:
        name = parameter.lower()
        reading_id = self._reading_id(parameter) if self.questions else None
        return Row(
            parameter=parameter,
            label=PARAMETERS[parameter],
            sign=_sign(self[f"{name}-unit"].value() or self._offer(parameter).measure),
            text=self[f"{name}-text"],
            step=self[f"{name}-step"] if f"{name}-step" in self.fields else None,
            method=self[f"{name}-method"],
            method_label=self._offer(parameter).label,
            unit=self[f"{name}-unit"],
            latest=self.known.get(parameter),
            question=self.questions.get(reading_id, "") if reading_id else "",
            reading_id=reading_id,
            methods=spoken(self.offers[parameter]),
        )

    def clean(self) -> dict[str, Any]:
        """Judge every value where it stands, so that all that is wrong is told at once."""
        values = super().clean() or self.cleaned_data
        for parameter in PARAMETERS:
            self._judge(parameter)
        if not self.errors and not any(self._entry(parameter) for parameter in PARAMETERS):
            self.add_error(None, "Write at least one value.")
        return values

    def command(self, *, confirmed: Iterable[str] = ()) -> LogReadings:
        sure = set(confirmed)
        readings = tuple(self._taken())
        return LogReadings(
            id=self.cleaned_data["id"],
            vessel_id=self.vessel.pk,
            happened_at=self.cleaned_data["happened_at"],
            readings=readings,
            confirmed=frozenset(each.id for each in readings if str(each.id) in sure),
        )

    def new_methods(self) -> Iterator[DefineMethod]:
        """Yield the commands for plain methods that this sheet is the first to use."""
        for parameter in PARAMETERS:
            define = self._offer(parameter).define
            if define and self._entry(parameter):
                yield define

    def ask(self, sentences: Mapping[UUID, str]) -> None:
        """Show what surprised beside its value, with a box to tick."""
        self.questions = dict(sentences)

    def _add_row(self, parameter: str) -> None:
        name = parameter.lower()
        offered = self.offers[parameter]
        self.fields[f"{name}-method"] = ChoiceField(
            label="Method",
            choices=[(offer.value, offer.label) for offer in offered],
            initial=self._initial(parameter).value,
            required=False,
            widget=Select(
                {
                    "hx-post": "",
                    "hx-vals": f'{{"draw": "{parameter}"}}',
                    "hx-target": f"#row-{parameter}",
                    "hx-swap": "outerHTML",
                }
            ),
        )
        self.fields[f"{name}-unit"] = ChoiceField(
            label="Unit",
            choices=[("", "as the method reads"), *unit_choices(parameter)],
            required=False,
        )
        self.fields[f"{name}-text"] = CharField(
            label=PARAMETERS[parameter], max_length=LONGEST, required=False, widget=BigNumber()
        )
        if (offer := self._offer(parameter)).steps:
            self.fields[f"{name}-step"] = _steps(offer)

    def _initial(self, parameter: str) -> Offer:
        """The method used last, if it is still offered."""
        latest = self.known.get(parameter)
        same = (
            one for one in self.offers[parameter] if latest and one.method_id == latest.method_id
        )
        return next(same, self.offers[parameter][0])

    def _offer(self, parameter: str) -> Offer:
        """The method chosen on the sheet, or the first choice."""
        chosen = self[f"{parameter.lower()}-method"].value()
        same = (offer for offer in self.offers[parameter] if offer.value == chosen)
        return next(same, self._initial(parameter))

    def _is_usual(self, parameter: str) -> bool:
        return parameter in (self.known or _FIRST)

    def _entry(self, parameter: str) -> str:
        """What was written, or the step that was chosen instead."""
        name = parameter.lower()
        text: str = self.cleaned_data.get(f"{name}-text") or ""
        return text or self.cleaned_data.get(f"{name}-step") or ""

    def _measure(self, parameter: str) -> tuple[str, str]:
        chosen = self.cleaned_data.get(f"{parameter.lower()}-unit")
        unit, _, basis = (chosen or self._offer(parameter).measure).partition("|")
        return unit, basis

    def _judge(self, parameter: str) -> None:
        name = parameter.lower()
        if self.cleaned_data.get(f"{name}-text") and self.cleaned_data.get(f"{name}-step"):
            self.add_error(f"{name}-text", "Write a value or choose a step, not both.")
        elif entry := self._entry(parameter):
            unit, basis = self._measure(parameter)
            reach = self._offer(parameter).reach
            try:
                judged(parameter=parameter, text=entry, unit=unit, basis=basis, reach=reach)
            except Fault as fault:
                self.add_error(f"{name}-text", fault.sentence)

    def _taken(self) -> Iterator[ReadingTaken]:
        for parameter in PARAMETERS:
            if entry := self._entry(parameter):
                unit, basis = self._measure(parameter)
                yield ReadingTaken(
                    id=self._reading_id(parameter),
                    parameter=parameter,
                    method_id=self._offer(parameter).method_id,
                    text=entry,
                    unit=unit,
                    basis=basis,
                )

    def _reading_id(self, parameter: str) -> UUID:
        """An id of what is written: what was confirmed once is not confirmed when changed."""
        unit, basis = self._measure(parameter)
        said = (parameter, self._offer(parameter).value, self._entry(parameter), unit, basis)
        return uuid5(self.cleaned_data["id"], "|".join(said))


def _sign(measure: str) -> str:
    unit, _, basis = measure.partition("|")
    return "" if unit == "pH" else unit_and_basis(unit, basis)


def _steps(offer: Offer) -> ChoiceField:
    """The steps of a kit as buttons; the first takes a choice back."""
    entries = step_entries(offer.steps, lowest=offer.reach.lowest)
    widget = RadioSelect({"class": "segmented steps"})
    return ChoiceField(
        label=f"Step of {offer.label}",
        choices=[("", "not read"), *entries],
        required=False,
        initial="",
        widget=widget,
    )
