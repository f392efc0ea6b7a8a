"""One sheet for all tanks of an area: what is not well, and one value for many."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final
from uuid import UUID, uuid5

from django.forms import BoundField, CharField, ChoiceField, TextInput
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, WallClockField
from facility.models import Area
from tanks.commands.methods import DefineMethod
from tanks.commands.readings import LogReadings, ReadingTaken
from tanks.commands.walks import LogWalk, SignSeen
from tanks.forms.offers import Offer, offers, spelled, spoken
from tanks.models import Method, Vessel, WalkSign
from tanks.rules.entries import LONGEST
from tanks.rules.plausibility import Fault, judged
from tanks.rules.values import PARAMETERS

WELL, UNSEEN = "", "UNSEEN"
_OTHER: Final = WalkSign.Sign.OTHER.value
_STATES: Final = [(WELL, "well"), (UNSEEN, "not looked at"), *WalkSign.Sign.choices]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One tank on the sheet; ``question`` is asked about ``reading_id`` if its value surprised."""

    vessel: Vessel
    state: BoundField
    note: BoundField
    text: BoundField
    question: str
    reading_id: UUID | None

    @property
    def fields(self) -> tuple[BoundField, ...]:
        return self.state, self.note, self.text

    @property
    def is_wrong(self) -> bool:
        return bool(self.question) or any(field.errors for field in self.fields)


class WalkSheet(CommandSheet):
    """Fields are made for the ``vessels`` on the way, in their order."""

    problem_title: ClassVar[str] = "Not saved yet"
    happened_at = WallClockField(label="Walked at", initial=timezone.now)
    measure = ChoiceField(label="Read on the way", required=False)
    value = CharField(
        label="The same for all",
        max_length=LONGEST,
        required=False,
        widget=BigNumber(),
        help_text="Kept for every tank looked at that has no value of its own below.",
    )

    def __init__(
        self,
        *args: Any,
        area: Area,
        vessels: Iterable[Vessel],
        methods: Iterable[Method],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.area, self.vessels = area, tuple(vessels)
        known = tuple(methods)
        self.offers = {name: offers(area.site, known, name) for name in PARAMETERS}
        self.questions: dict[UUID, str] = {}
        measure = self.fields["measure"]
        if isinstance(measure, ChoiceField):
            measure.choices = self._measures()
        for vessel in self.vessels:
            self._add(vessel)

    def rows(self) -> list[Row]:
        return [self._row(vessel) for vessel in self.vessels]

    def clean(self) -> dict[str, Any]:
        """Judge every value where it stands, so that all that is wrong is told at once."""
        values = super().clean() or self.cleaned_data
        offer = self._offer()
        typed = [name for name in self.fields if _is_value(name) and values.get(name)]
        if typed and offer is None:
            self.add_error("measure", "Choose what was read, or leave the values empty.")
        for name in typed if offer else ():
            self._judge(name, values[name])
        for vessel in self.vessels:
            if values.get(f"state-{vessel.pk}") == _OTHER and not values.get(f"note-{vessel.pk}"):
                self.add_error(f"note-{vessel.pk}", "Say in a few words what else is not well.")
        if not self._seen():
            self.add_error(None, "Nothing was looked at; mark at least one tank as seen.")
        return values

    def command(self) -> LogWalk:
        return LogWalk(
            id=self.cleaned_data["id"],
            area_id=self.area.pk,
            seen=tuple(vessel.pk for vessel in self._seen()),
            signs=tuple(self._signs()),
            happened_at=self.cleaned_data["happened_at"],
        )

    def samples(self, *, confirmed: Iterable[str] = ()) -> Iterator[LogReadings]:
        """Yield a sample for each tank with a value; what is written makes its id."""
        offer, sure = self._offer(), set(confirmed)
        for vessel in self._seen() if offer else ():
            if taken := self._taken(vessel):
                is_sure = str(taken.id) in sure
                yield LogReadings(
                    id=self._id("sample", vessel, taken.text),
                    vessel_id=vessel.pk,
                    happened_at=self.cleaned_data["happened_at"],
                    readings=(taken,),
                    confirmed=frozenset([taken.id] if is_sure else []),
                )

    def methods(self) -> str:
        return spoken(offer for found in self.offers.values() for offer in found)

    def new_method(self) -> DefineMethod | None:
        """Return the command for a plain method that this sheet is the first to use."""
        offer = self._offer()
        return offer.define if offer and any(self._taken(one) for one in self._seen()) else None

    def ask(self, sentences: Mapping[UUID, str]) -> None:
        """Show what surprised beside its value, with a box to tick."""
        self.questions |= sentences

    def _measures(self) -> list[Any]:
        groups = [
            (PARAMETERS[name], [(f"{name}|{one.value}", _told(one)) for one in found])
            for name, found in self.offers.items()
        ]
        return [("", "nothing"), *groups]

    def _add(self, vessel: Vessel) -> None:
        key = vessel.pk
        self.fields[f"state-{key}"] = ChoiceField(
            label=f"How {vessel.code} was", choices=_STATES, required=False
        )
        self.fields[f"note-{key}"] = CharField(
            label=f"What exactly, {vessel.code}",
            max_length=200,
            required=False,
            widget=TextInput({"placeholder": "what exactly"}),
        )
        self.fields[f"text-{key}"] = CharField(
            label=f"Value of {vessel.code}",
            max_length=LONGEST,
            required=False,
            widget=BigNumber(),
        )

    def _row(self, vessel: Vessel) -> Row:
        taken = self._taken(vessel) if self.questions else None
        return Row(
            vessel=vessel,
            state=self[f"state-{vessel.pk}"],
            note=self[f"note-{vessel.pk}"],
            text=self[f"text-{vessel.pk}"],
            question=self.questions.get(taken.id, "") if taken else "",
            reading_id=taken.id if taken else None,
        )

    def _offer(self) -> Offer | None:
        parameter, _, method = self.cleaned_data.get("measure", "").partition("|")
        return next((one for one in self.offers.get(parameter, ()) if one.value == method), None)

    def _judge(self, name: str, text: str) -> None:
        parameter = self.cleaned_data["measure"].partition("|")[0]
        offer = self._offer()
        if offer is None:
            return
        unit, basis = offer.reach.unit, offer.reach.basis
        try:
            judged(parameter=parameter, text=text, unit=unit, basis=basis, reach=offer.reach)
        except Fault as fault:
            self.add_error(name, fault.sentence)

    def _seen(self) -> list[Vessel]:
        """A tank put up since the page was opened was not on it, and so was not looked at."""
        keys = {one.pk: f"state-{one.pk}" for one in self.vessels}
        return [
            one
            for one in self.vessels
            if keys[one.pk] in self.data and self.cleaned_data.get(keys[one.pk]) != UNSEEN
        ]

    def _signs(self) -> Iterator[SignSeen]:
        for vessel in self._seen():
            sign, note = (self.cleaned_data.get(f"{name}-{vessel.pk}") for name in _ASKED)
            if sign:
                key = self._id("sign", vessel, f"{sign}|{note}")
                yield SignSeen(id=key, vessel_id=vessel.pk, sign=sign, note=note or "")

    def _taken(self, vessel: Vessel) -> ReadingTaken | None:
        own = self.cleaned_data.get(f"text-{vessel.pk}")
        text, offer = own or self.cleaned_data.get("value"), self._offer()
        if not text or offer is None:
            return None
        return ReadingTaken(
            id=self._id("reading", vessel, text),
            parameter=self.cleaned_data["measure"].partition("|")[0],
            method_id=offer.method_id,
            text=text,
            unit=offer.reach.unit,
            basis=offer.reach.basis,
        )

    def _id(self, what: str, vessel: Vessel, said: str) -> UUID:
        """Sent again unchanged it is the same row; what was changed is another."""
        given = self.cleaned_data
        parts = (what, str(vessel.pk), said, str(given.get("measure")), str(given["happened_at"]))
        return uuid5(given["id"], "|".join(parts))


_ASKED: Final = ("state", "note")


def _is_value(name: str) -> bool:
    return name == "value" or name.startswith("text-")


def _told(offer: Offer) -> str:
    unit = spelled(offer.reach.unit, offer.reach.basis)
    return f"{offer.label}, {unit}" if unit else offer.label
