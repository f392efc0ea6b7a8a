"""Moments and days on the wire: always with their offset, and within living memory."""

from datetime import UTC, date, datetime
from typing import Any

from rest_framework import serializers

from facility.rules.calendar import OFF_CALENDAR, is_on_calendar


class ZonedDateTimeField(serializers.DateTimeField):
    """A moment; without its UTC offset it could be any of two dozen, so it is refused.

    Told in UTC, wherever the person who asks may be.
    """

    default_error_messages = {
        "no_zone": "Give the time with its offset from UTC, such as 2026-03-29T13:05:00+01:00.",
        "off_calendar": OFF_CALENDAR,
    }

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"default_timezone": UTC} | options)

    def enforce_timezone(self, value: datetime) -> datetime:
        if value.tzinfo is None:
            self.fail("no_zone")
        if not is_on_calendar(value.year):
            self.fail("off_calendar")
        return super().enforce_timezone(value)


class AskedMomentField(ZonedDateTimeField):
    """The same in an address, where an unescaped plus sign arrives as a space."""

    def to_internal_value(self, value: Any) -> datetime:
        is_split = isinstance(value, str) and "T" in value
        return super().to_internal_value(value.replace(" ", "+") if is_split else value)


class DayField(serializers.DateField):
    default_error_messages = {"off_calendar": OFF_CALENDAR}

    def to_internal_value(self, value: Any) -> date:
        day = super().to_internal_value(value)
        if not is_on_calendar(day.year):
            self.fail("off_calendar")
        return day
