"""A source water is read before it is used, and calls when it is not as usual.

How far is far: common practice, no source.
"""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.models import Alert, Entry
from facility.queries.alerts import signs_now
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.entering import CorrectedBefore, ImpossibleValue
from tanks.commands.source_readings import LogSourceReading, SourceUnnamed, log_source_reading
from tanks.commands.watching import watch
from tanks.models import Method, SourceReading
from tests.cast import NOON, House
from tests.tanks.samples import kit

DAY = timedelta(days=1)


@pytest.fixture
def photometer(house: House) -> Method:
    return kit(house, "CHLORINE", kind="PHOTOMETER")


def _asked(house: House, method: Method, text: str, **changes: Any) -> LogSourceReading:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "source": "Mains",
        "parameter": method.parameter,
        "method_id": method.pk,
        "text": text,
        "unit": method.unit,
        "basis": method.basis,
        "happened_at": NOON,
    }
    return LogSourceReading(**(told | changes))


def _read(house: House, method: Method, text: str, *, days: int, **changes: Any) -> SourceReading:
    at = NOON + days * DAY
    return log_source_reading(
        _asked(house, method, text, happened_at=at, **changes), by=house.ana, at=at
    )


def _usual(house: House, method: Method, *texts: str) -> None:
    for day, text in enumerate(texts):
        _read(house, method, text, days=day)


def test_chlorine_of_1_4_against_a_median_of_0_6_calls_today(
    house: House, photometer: Method
) -> None:
    _usual(house, photometer, "0.5", "0.6", "0.7", "0.6")
    quiet = watch(house.site, at=NOON + 3 * DAY)
    _read(house, photometer, "1.4", days=4)

    [alert] = watch(house.site, at=NOON + 4 * DAY)

    assert quiet == []
    assert (alert.about, alert.level) == (f"facility.site:{house.site.pk}", 2)
    assert alert.url == "/source-water/"
    [sign] = signs_now(alert)
    assert sign.rule == "source-chlorine:Mains"
    assert sign.sentence == (
        "Total chlorine of Mains reads 1.4 mg/L as Cl₂; the median of 4 readings before is "
        "0.6 mg/L as Cl₂."
    )
    assert sign.advice.startswith("Hold this water.")


def test_it_passes_once_the_water_reads_as_usual_again(house: House, photometer: Method) -> None:
    _usual(house, photometer, "0.6", "0.6", "0.6", "1.4")
    watch(house.site, at=NOON + 3 * DAY)
    _read(house, photometer, "0.6", days=4)
    watch(house.site, at=NOON + 4 * DAY)

    assert signs_now(Alert.objects.get()) == []


def test_another_source_has_a_median_of_its_own_and_few_readings_have_none(
    house: House, photometer: Method
) -> None:
    _usual(house, photometer, "0.6", "0.6", "0.6")
    for day in (3, 4):
        _read(house, photometer, "3.0", days=day, source="Well")

    assert watch(house.site, at=NOON + 4 * DAY) == []


def test_a_correction_takes_the_place_of_what_was_misread(house: House, photometer: Method) -> None:
    first = _read(house, photometer, "14", days=0, source="RO")
    change = _asked(house, photometer, "1.4", source="RO", corrects_id=first.pk, reason="The dot")
    second = log_source_reading(change, by=house.ana, at=NOON + DAY)

    assert list(SourceReading.objects.current()) == [second]
    assert log_source_reading(change, by=house.ana, at=NOON + DAY) == second
    with pytest.raises(CorrectedBefore):
        _read(house, photometer, "2", days=1, corrects_id=first.pk, reason="Again")
    assert first_breach(house.site) is None


def test_delivered_twice_it_is_kept_once(house: House, photometer: Method) -> None:
    command = _asked(house, photometer, "0.6")
    log_source_reading(command, by=house.ana, at=NOON)
    log_source_reading(command, by=house.ana, at=NOON + DAY)

    assert Entry.objects.filter(kind="tanks.log-source-reading").count() == 1
    with pytest.raises(IdTaken):
        log_source_reading(_asked(house, photometer, "0.7", id=command.id), by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("text", "changes", "refusal"),
    [("0.6", {"source": " "}, SourceUnnamed), ("-1", {}, ImpossibleValue)],
)
def test_what_it_may_not_be(
    house: House, photometer: Method, text: str, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        log_source_reading(_asked(house, photometer, text, **changes), by=house.ana, at=NOON)


def test_only_who_works_at_the_site(house: House, photometer: Method) -> None:
    with pytest.raises(NotAllowed):
        log_source_reading(_asked(house, photometer, "0.6"), by=house.hale, at=NOON)
    with pytest.raises(NotFound):
        log_source_reading(_asked(house, photometer, "0.6"), by=house.bo, at=NOON)


def test_on_the_page_it_is_read_listed_and_corrected(
    house: House, photometer: Method, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    client.force_login(house.ana)
    address = f"/sites/{house.site.pk}/source-water/"
    typed = {
        "source": "Mains",
        "measure": f"CHLORINE|{photometer.pk}",
        "happened_at": "2026-03-29T13:00",
    }

    refused = client.post(address, typed | {"id": str(uuid4()), "text": "lots"})
    saved = client.post(address, typed | {"id": str(uuid4()), "text": "14"})
    row = SourceReading.objects.get()
    sheet = client.get(f"{address}?corrects={row.pk}").content.decode()
    mended = client.post(
        f"{address}?corrects={row.pk}",
        typed | {"id": str(uuid4()), "text": "1.4", "reason": "The decimal point"},
    )
    page = client.get("/source-water/").content.decode()

    assert (refused.status_code, saved.status_code, mended.status_code) == (422, 303, 303)
    assert 'value="lots"' in refused.content.decode()
    assert 'value="14"' in sheet
    assert "1.4 mg/L as Cl₂" in page
    assert ">14 mg/L" not in page
