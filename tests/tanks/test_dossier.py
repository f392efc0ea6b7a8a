"""The dossier: the whole history for an auditor, byte for byte the same for the same history.

First value, new value, reason: EU GMP Annex 11 (2011) 9, as quoted; printed name, date and time,
meaning: 21 CFR 11.50. Text is read back from the PDF with pypdf, which had no part in drawing it.
"""

import os
import subprocess
import sys
from datetime import timedelta
from hashlib import sha256
from io import BytesIO
from typing import Any, Final
from unittest.mock import Mock
from urllib.parse import quote, urlencode
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from pypdf import PdfReader

from facility.models import Document, Entry
from facility.paper.draw import draw
from tanks.commands.readings import CorrectReading, correct_reading, log_readings
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Cycle, Dose, Reading, Verdict
from tanks.paper.charts import png
from tanks.paper.dossier import dossier
from tanks.queries.dossiers import record_of
from tests.cast import NOON, House, build_house
from tests.quarantine.ready import AT, ready, stocked
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.samples import sample, taken

_PRINT: Final = """
import sys, django
from datetime import datetime
from hashlib import sha256
django.setup()
from facility.paper.draw import draw
from tanks.models import Cycle
from tanks.paper.charts import png
from tanks.paper.dossier import dossier
from tanks.queries.cycles import related
from tanks.queries.dossiers import record_of
cycle = related(Cycle.objects.all()).get()
at = datetime.fromisoformat(sys.argv[1])
print(sha256(draw(dossier(record_of(cycle, at=at)))).hexdigest())
"""


def printed(told: Proving, *, days_on: int = 1) -> bytes:
    cycle = Cycle.objects.get(pk=told.cycle.pk)
    return draw(dossier(record_of(cycle, at=AT + days_on * DAY)))


def text_of(pdf: bytes) -> str:
    pages = (page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(" ".join(pages).split())


def corrected(house: House, reading: Reading, text: str) -> Reading:
    command = CorrectReading(
        id=uuid4(),
        reading_id=reading.pk,
        text=text,
        unit=reading.unit,
        basis=reading.basis,
        method_id=reading.method_id,
        reason="Misread the second digit",
    )
    return correct_reading(command, by=house.mo, at=AT)


def test_it_tells_where_what_and_how_it_stands(house: House) -> None:
    text = text_of(printed(ready(house)))

    for said in (
        "Kestrel Yard (PT)",
        "Europe/Lisbon, with their offset from UTC",
        "begun 2026-03-29",
        "Declared feed 10 g/day, 45 % protein",
        "common practice, no source (not verified)",
        "Metered fill: 400 L run in through the meter",
        "Challenge, at least 2 mg/L as N",
        "It does not diagnose, prescribe or license",
    ):
        assert said in text


def test_every_reading_stands_there_as_entered_with_person_and_both_times(house: House) -> None:
    told = proving(house)
    told.read("NITRITE", "<0.05", at=NOON + HOUR)
    told.read("ALKALINITY", "10-20", at=NOON + 2 * HOUR)

    text = text_of(printed(told))

    assert "Nitrite <0.05 mg/L as N Photometer" in text
    assert "Alkalinity 10-20 meq/L Photometer" in text
    # One hour past noon UTC is two in the afternoon in Lisbon, on summer time since that morning.
    assert "2026-03-29 14:00+01:00" in text
    assert "Ana Quill at once" in text


def test_a_corrected_value_keeps_its_first_value_and_the_reason(house: House) -> None:
    told = proving(house)
    corrected(house, told.read("TAN", "1.7", at=NOON + HOUR), "2.7")

    text = text_of(printed(told))

    assert "1.7 mg/L as N" in text
    assert "2.7 mg/L as N" in text
    assert "First value, replaced below." in text
    assert "Replaces 1.7 mg/L as N: Misread the second digit" in text
    assert "Mo Tarrant" in text
    assert text.index("First value, replaced below.") < text.index("Replaces 1.7")


def test_what_was_withdrawn_stays_in_its_place(house: House) -> None:
    told = proving(house)
    told.dose(at=NOON + HOUR, purpose="AMMONIA")
    command = WithdrawEntry(
        id=uuid4(), model="tanks.dose", fact_id=Dose.objects.get().pk, reason="Never went in"
    )
    withdraw_entry(command, by=house.ana, at=AT)

    text = text_of(printed(told))

    assert "Withdrawn, see below." in text
    assert "Withdraws 3.06 g: Never went in" in text


def test_a_dose_shows_batch_target_computed_given_and_what_it_makes(house: House) -> None:
    told = proving(house)
    told.dose(at=NOON + HOUR)

    text = text_of(printed(told))

    # 2 mg/L-N in 400 L take 3.06 g of pure NH4Cl: molar masses 53.491 and 14.007 (CIAAW).
    assert "batch B7" in text
    assert "Challenge: 2 mg/L-N 3.055 g 3.06 g 2 mg/L as N 400" in text


def test_late_entries_are_marked(house: House) -> None:
    told = proving(house)
    reading = taken(told.method("TAN"), "1.7")
    command = sample(told.vessel, reading, at=NOON + HOUR)
    log_readings(command, by=house.ana, at=NOON + timedelta(hours=4, minutes=12))

    text = text_of(printed(told))

    assert "Ana Quill 2026-03-29 17:12+01:00 late by 3 h 12 min" in text
    assert "late by" not in text.replace("late by 3 h 12 min", "")


def test_the_certificate_shows_its_working_and_who_signed_when_meaning_what(house: House) -> None:
    text = text_of(printed(ready(house)))

    # Timmons & Ebeling 2013: 2 mg/L × 400 L / (1000 × 0.45 × 0.092) = 19.3 g/day.
    assert "2 mg/L × 400 L / (1000 × 0.45 × 0.092) = 19.3 g/day, rounded down" in text
    assert "Vera Lund 2026-03-31 15:00+01:00 I checked both passes against the kit's sheet." in text
    assert "Printed name Date and time Meaning of the signature" in text
    assert "In force; lapses 2026-04-02 14:05+01:00 if the filter is not fed." in text


def test_a_pass_undone_by_a_correction_is_told_with_what_it_was_first(house: House) -> None:
    told = ready(house)
    corrected(house, Verdict.objects.earliest("happened_at").nitrite, "1.5")

    text = text_of(printed(told))

    assert "not passed, judged again after a correction; passed when first judged" in text
    assert "Void since" in text


def test_gate_and_animals_are_part_of_the_story(house: House) -> None:
    told = ready(house)
    stocked(told)

    text = text_of(printed(told))

    assert "Mo Tarrant 2026-03-31 17:00+01:00 I have read every requirement" in text
    assert "12 Banded rasbora, 3 cm Ana Quill" in text


def test_it_is_tied_to_the_ledger_by_line_and_digest(house: House) -> None:
    told = ready(house)
    head = Entry.objects.filter(kind="tanks.log-readings").latest("number")

    text = text_of(printed(told))

    assert f"As of line {head.number} of the ledger" in text
    assert text.count(head.digest) >= 2


def test_neither_the_clock_nor_another_water_nor_its_own_issue_changes_a_byte(
    client: Client, house: House
) -> None:
    told = ready(house)
    first = printed(told)

    client.force_login(house.vera)
    client.post(f"/cycles/{told.cycle.pk}/dossier/issue/", {"id": str(uuid4())})

    assert printed(told, days_on=300) == first
    told.read("TAN", "<0.1", at=AT + HOUR)
    assert printed(told) != first


@pytest.mark.django_db(transaction=True)
def test_two_processes_print_the_same_bytes() -> None:
    told = ready(build_house())

    digests = {_printed_elsewhere(seed=seed) for seed in (1, 2)}

    assert digests == {sha256(printed(told)).hexdigest()}


def test_on_screen_it_says_the_same_as_on_paper(client: Client, house: House) -> None:
    told = ready(house)
    corrected(house, told.read("TAN", "1.7", at=AT - HOUR), "2.7")
    client.force_login(house.hale)

    html = client.get(f"/cycles/{told.cycle.pk}/dossier/").content.decode()

    for said in ("Replaces 1.7 mg/L as N: Misread the second digit", "Vera Lund"):
        assert said in html
    assert html.count("<h2") >= 16


def test_reading_leaves_no_trace_and_issuing_keeps_the_hash_of_the_very_file(
    client: Client, house: House
) -> None:
    told = ready(house)
    url = f"/cycles/{told.cycle.pk}/dossier"
    client.force_login(house.vera)

    file = client.get(f"{url}.pdf")
    client.get(f"{url}/")
    assert not Document.objects.exists()
    issued = client.post(f"{url}/issue/", {"id": str(uuid4())})

    document = Document.objects.get()
    assert issued.status_code == 303
    assert document.sha256 == sha256(file.content).hexdigest()
    assert (document.kind, document.about) == ("tanks.dossier", f"tanks.cycle:{told.cycle.pk}")
    assert document.sha256 in client.get(f"{url}/").content.decode()


def test_an_auditor_reads_but_issues_nothing_and_a_stranger_finds_nothing(
    client: Client, house: House
) -> None:
    told = proving(house)
    url = f"/cycles/{told.cycle.pk}/dossier"

    assert client.get(f"{url}.pdf").status_code == 302
    client.force_login(house.hale)
    assert client.get(f"{url}.pdf")["Content-Type"] == "application/pdf"
    assert "Issue as it is now" not in client.get(f"{url}/").content.decode()
    assert client.post(f"{url}/issue/", {"id": str(uuid4())}).status_code == 403
    client.force_login(house.bo)
    for answer in (client.get(f"{url}.pdf"), client.get(f"{url}/"), client.post(f"{url}/issue/")):
        assert answer.status_code == 404


def _printed_elsewhere(*, seed: int) -> str:
    told: dict[str, Any] = connection.settings_dict
    host = urlencode({"host": told["HOST"], "port": told["PORT"], "user": told["USER"]})
    url = f"postgresql:///{quote(told['NAME'])}?{host}"
    environment = os.environ | {
        "DATABASE_URL": url,
        "PYTHONHASHSEED": str(seed),
        "DJANGO_SETTINGS_MODULE": "deploy.settings",
    }
    at = (AT + seed * DAY).isoformat()
    ran = subprocess.run(
        [sys.executable, "-c", _PRINT, at],
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    )
    return ran.stdout.strip()


def test_the_chart_ends_at_the_day_of_its_ledger_line_and_not_at_now(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = ready(house)
    kept = Mock(side_effect=png)
    monkeypatch.setattr("tanks.paper.dossier.png", kept)
    record = record_of(Cycle.objects.get(pk=told.cycle.pk), at=AT + DAY)
    dossier(record)

    zone = told.vessel.site.zone
    assert (
        kept.call_args.args[0].now_word
        == record.head.recorded_at.astimezone(zone).date().isoformat()
    )
