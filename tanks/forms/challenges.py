"""Begin a challenge with a logged dose; choose the readings that judge it."""

from collections.abc import Iterable, Mapping
from typing import Any, Final, TypeAlias
from uuid import UUID

from django.forms import RadioSelect, TypedChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, WallClockField
from tanks.commands.challenges import BeginChallenge, JudgeChallenge
from tanks.models import Challenge, Cycle

# The id of a row, and the row in words.
Offered: TypeAlias = tuple[UUID, str]
_JUDGES: Final = ("start_id", "tan_id", "nitrite_id")


class _Rows(TypedChoiceField):
    def __init__(self, **options: Any) -> None:
        super().__init__(coerce=UUID, widget=RadioSelect({"class": "choices"}), **options)


class BeginChallengeSheet(CommandSheet):
    dose_id = _Rows(label="The challenge dose")

    def __init__(self, *args: Any, doses: Iterable[Offered], **options: Any) -> None:
        super().__init__(*args, **options)
        _offer(self, "dose_id", doses)

    def command(self, cycle: Cycle) -> BeginChallenge:
        return BeginChallenge(cycle_id=cycle.pk, **self.cleaned_data)


class JudgeChallengeSheet(CommandSheet):
    """``offered`` names the readings to choose from for each of the three."""

    start_id = _Rows(label="TAN after mixing")
    tan_id = _Rows(label="TAN at the end")
    nitrite_id = _Rows(label="Nitrite at the end")
    happened_at = WallClockField(label="Judged at", initial=timezone.now)
    rare = ("happened_at",)

    def __init__(
        self, *args: Any, offered: Mapping[str, Iterable[Offered]], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        known = {name: list(rows) for name, rows in offered.items()}
        self.offered = {name: {str(pk) for pk, _ in rows} for name, rows in known.items()}
        for name, rows in known.items():
            _offer(self, name, rows)

    def has_choices(self) -> bool:
        """Whether there is a reading to choose for each of the three."""
        return all(self.offered[name] for name in _JUDGES)

    def chosen(self) -> tuple[UUID, UUID, UUID] | None:
        """Return the three readings as they stand on the sheet, sent or not, if all are chosen."""
        values = [str(self[name].value() or "") for name in _JUDGES]
        if any(
            value not in self.offered[name] for name, value in zip(_JUDGES, values, strict=True)
        ):
            return None
        start, tan, nitrite = (UUID(value) for value in values)
        return start, tan, nitrite

    def command(self, challenge: Challenge) -> JudgeChallenge:
        return JudgeChallenge(challenge_id=challenge.pk, **self.cleaned_data)


def _offer(sheet: CommandSheet, name: str, rows: Iterable[Offered]) -> None:
    field = sheet.fields[name]
    if isinstance(field, _Rows):
        field.choices = [(str(pk), words) for pk, words in rows]
