"""One alert for each subject, whatever its signs; it stands until a person clears it."""

from datetime import timedelta

import pytest

from facility.commands.alerts import raise_alert
from facility.commands.ledger import key_of
from facility.models import Alert, Entry, Shift, Sign
from facility.queries.alerts import signs_now
from facility.queries.proof import first_breach
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, cleared, raised, told_of

HOUR = timedelta(hours=1)


def test_the_first_sign_raises_an_alert_with_its_own_level_and_owner(house: House) -> None:
    alert = raised(house, a_sign(), a_sign("ph-fall", level=1))

    assert (alert.level, alert.name, alert.area) == (1, "A-01", house.area)
    assert (alert.owner, alert.backup) == (house.mo, None)
    assert [sign.rule for sign in alert.signs.order_by("rule")] == ["ph-fall", "tan-limit"]
    line = Entry.objects.get(kind="facility.raise-alert")
    assert (line.about, line.by) == (key_of(alert), None)
    assert first_breach(house.site) is None


def test_nothing_seen_raises_nothing(house: House) -> None:
    assert raise_alert(told_of(house), by=None, at=NOON) is None
    assert not Alert.objects.exists()


def test_the_same_again_changes_nothing(house: House) -> None:
    first = raised(house)
    before = Entry.objects.count()

    again = raised(house, at=NOON + HOUR)

    assert again == first
    assert (Entry.objects.count(), Sign.objects.count()) == (before, 1)


def test_another_sign_joins_the_alert_that_stands(house: House) -> None:
    first = raised(house)

    again = raised(house, a_sign(), a_sign("nitrite-limit"), at=NOON + HOUR)

    assert again == first
    assert Alert.objects.count() == 1
    assert {sign.rule for sign in signs_now(first)} == {"tan-limit", "nitrite-limit"}
    assert first_breach(house.site) is None


def test_a_sign_that_goes_on_says_what_was_read_last(house: House) -> None:
    raised(house)

    raised(house, a_sign(sentence="TAN 0.8.", evidence=("tanks.reading:2",)), at=NOON + HOUR)

    sign = Sign.objects.get()
    assert (sign.sentence, sign.evidence, sign.seen_at) == ("TAN 0.8.", ["tanks.reading:2"], NOON)
    assert first_breach(house.site) is None


def test_a_sign_that_passes_leaves_the_alert_standing(house: House) -> None:
    alert = raised(house)

    raise_alert(told_of(house), by=None, at=NOON + HOUR)

    alert.refresh_from_db()
    assert alert.cleared_at is None
    assert alert.level == 2
    assert alert.signs.get().passed_at == NOON + HOUR


def test_a_sign_that_comes_back_is_a_sign_of_its_own(house: House) -> None:
    alert = raised(house)
    raise_alert(told_of(house), by=None, at=NOON + HOUR)

    raised(house, at=NOON + 2 * HOUR)

    assert [sign.passed_at for sign in alert.signs.order_by("seen_at")] == [NOON + HOUR, None]


def test_a_worse_sign_must_be_accepted_anew(house: House) -> None:
    alert = raised(house)
    Alert.objects.filter(pk=alert.pk).update(accepted_at=NOON, accepted_by=house.ana)

    raised(house, a_sign(), a_sign("ph-rising-with-tan", level=1), at=NOON + HOUR)

    alert.refresh_from_db()
    assert (alert.level, alert.accepted_at, alert.accepted_by) == (1, None, None)


def test_a_lesser_sign_takes_no_acceptance_back(house: House) -> None:
    alert = raised(house, a_sign(level=1))
    Alert.objects.filter(pk=alert.pk).update(accepted_at=NOON, accepted_by=house.ana)

    raised(house, a_sign(level=2), at=NOON + HOUR)

    alert.refresh_from_db()
    assert (alert.level, alert.accepted_by) == (2, house.ana)


def test_a_cause_once_told_covers_the_same_readings(house: House) -> None:
    cleared(house, raised(house))

    again = raise_alert(told_of(house, a_sign()), by=None, at=NOON + 20 * 24 * HOUR)
    other = raise_alert(
        told_of(house, a_sign(evidence=("tanks.reading:2",))), by=None, at=NOON + HOUR
    )

    assert again is None
    assert other is not None


def test_it_covers_nothing_worse(house: House) -> None:
    cleared(house, raised(house))

    assert raise_alert(told_of(house, a_sign(level=1)), by=None, at=NOON + HOUR) is not None


@pytest.mark.parametrize(("hours", "sounds"), [(11, False), (12, True)])
def test_what_goes_on_being_so_is_said_again_after_its_time(
    house: House, hours: int, *, sounds: bool
) -> None:
    late = a_sign("past-return", again_after_hours=12)
    cleared(house, raised(house, late))

    again = raise_alert(told_of(house, late), by=None, at=NOON + hours * HOUR)

    assert (again is not None) is sounds


def test_whoever_is_on_answers_and_whoever_is_on_call_stands_behind(house: House) -> None:
    _on(house, "ana")
    _on(house, "mo", is_on_call=True)

    alert = raised(house)

    assert (alert.owner, alert.backup) == (house.ana, house.mo)


def _on(house: House, name: str, *, is_on_call: bool = False) -> Shift:
    return Shift.objects.create(
        site=house.site,
        person=getattr(house, name),
        period=(NOON - HOUR, NOON + 4 * HOUR),
        is_on_call=is_on_call,
    )
