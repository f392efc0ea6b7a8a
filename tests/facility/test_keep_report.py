"""Reports are kept once for each content, by the house at its hours or by a person."""

from datetime import UTC, date, datetime, timedelta
from typing import Any, Final
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility import jobs
from facility.commands import reports
from facility.commands.reports import keep_report
from facility.models import Entry, KeptReport, Site
from facility.queries.proof import first_breach
from facility.queries.reports import digest_now, not_kept
from facility.refusals import NotAllowed, NotFound
from facility.rules.canonical import digest
from tests.cast import NOON, House
from tests.facility.reporting import keeping_of, kept
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
DAY: Final = timedelta(days=1)
# The week of NOON ends at midnight after it, when the clocks have just gone forward.
THIS_WEEK: Final = date(2026, 3, 23)
MONDAY: Final = datetime(2026, 3, 30, 2, tzinfo=UTC)


def test_the_house_keeps_the_week_on_monday_at_three_by_its_clock(house: House) -> None:
    jobs.keep_reports_of(house.site, at=MONDAY - timedelta(seconds=1))
    assert not KeptReport.objects.exists()

    jobs.keep_reports_of(house.site, at=MONDAY)

    report = KeptReport.objects.get()
    assert (report.kind, report.begins_on, report.ends_on) == (
        "WEEK",
        THIS_WEEK,
        date(2026, 3, 29),
    )
    assert (report.by, report.made_at) == (None, MONDAY)
    assert report.digest == digest(report.content)
    assert Entry.objects.latest("pk").kind == "facility.keep-report"
    assert first_breach(house.site) is None


def test_asked_again_and_again_it_is_kept_once(house: House) -> None:
    for minutes in range(0, 60, 15):
        jobs.keep_reports_of(house.site, at=MONDAY + timedelta(minutes=minutes))

    assert KeptReport.objects.count() == 1


def test_what_was_missed_is_kept_when_the_house_is_back(house: House) -> None:
    jobs.keep_reports_of(house.site, at=MONDAY + 20 * DAY)

    told = KeptReport.objects.order_by("begins_on").values_list("kind", "begins_on")
    assert list(told) == [
        ("MONTH", date(2026, 3, 1)),
        ("WEEK", date(2026, 3, 23)),
        ("WEEK", date(2026, 3, 30)),
        ("WEEK", date(2026, 4, 6)),
    ]
    assert not_kept(house.site, at=MONDAY + 20 * DAY) == []


def test_the_job_goes_round_every_site(house: House) -> None:
    """By the real clock, long after the house was opened."""
    jobs.keep_reports()

    kinds = KeptReport.objects.filter(site=house.site).values_list("kind", flat=True)
    assert {*kinds} == {"WEEK", "MONTH"}


def test_corrections_leave_what_was_kept_and_make_another(house: House) -> None:
    jobs.keep_reports_of(house.site, at=MONDAY)
    first = KeptReport.objects.get()
    assert digest_now(first) == first.digest

    logged(house, vessel_of(house), kit(house), "0.05", at=NOON)

    assert digest_now(first) != first.digest
    again = kept(house, at=MONDAY + DAY, begins_on=THIS_WEEK)
    assert again.digest == digest_now(first)
    assert {one.digest for one in KeptReport.objects.all()} == {first.digest, again.digest}


def test_kept_by_a_person_while_nothing_has_changed_it_stays_the_one_there_is(
    house: House,
) -> None:
    jobs.keep_reports_of(house.site, at=MONDAY)
    lines = Entry.objects.count()

    again = kept(house, at=MONDAY + DAY, begins_on=THIS_WEEK)

    assert again == KeptReport.objects.get()
    assert Entry.objects.count() == lines


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"kind": "YEAR"}, reports.UnknownReport),
        ({"begins_on": date(2026, 3, 24)}, reports.PeriodAskew),
        ({"kind": "MONTH"}, reports.PeriodAskew),
        ({"begins_on": date(9999, 12, 27)}, reports.PeriodAskew),
        ({"begins_on": THIS_WEEK}, reports.PeriodNotOver),
    ],
)
def test_a_report_is_of_a_whole_period_that_is_over(
    house: House, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        keep_report(keeping_of(house, **changes), by=house.mo, at=NOON)


def test_stranger_finds_no_site_and_auditor_may_not(house: House) -> None:
    with pytest.raises(NotFound):
        keep_report(keeping_of(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        keep_report(keeping_of(house), by=house.hale, at=NOON)


def test_a_report_of_nothing_says_so(house: House, client: Client) -> None:
    vessel_of(house)
    report = kept(house, at=NOON)
    client.force_login(house.hale)

    page = client.get(reverse("facility:report", args=[report.pk])).content.decode()

    assert "No reading was taken here in this week" in page
    assert "16 to 22 March 2026, Kestrel Yard" in page


@pytest.fixture
def report(house: House, monkeypatch: pytest.MonkeyPatch) -> KeptReport:
    monkeypatch.setattr(timezone, "now", lambda: MONDAY + DAY)
    logged(house, vessel_of(house), kit(house), "0.5", at=NOON)
    logged(house, vessel_of(house, code="A-02"), kit(house, "NITRATE"), "1", at=NOON)
    return kept(house, at=MONDAY, begins_on=THIS_WEEK)


def test_it_is_read_as_page_pdf_and_csv(house: House, report: KeptReport, client: Client) -> None:
    client.force_login(house.hale)

    page = client.get(reverse("facility:report", args=[report.pk])).content.decode()
    pdf = client.get(reverse("facility:report-paper", args=[report.pk]))
    tables = [
        client.get(reverse("facility:report-csv", args=[report.pk]), {"table": table})
        for table in range(1, 4)
    ]

    assert "Made of today's entries, it would be the same." in page
    assert report.digest in page
    assert pdf.content.startswith(b"%PDF-")
    assert pdf["Content-Disposition"] == 'inline; filename="report-week-2026-03-23.pdf"'
    out, passed_by, read = (table.content.decode().split("\r\n") for table in tables)
    assert passed_by[0] == "Tank passed by,Last read in full"
    assert out[0] == "Water,What was read,Open for,What was done,Read inside again"
    assert read[0].startswith("Water,Parameter,Unit,n,Least,Median,Greatest,Out")
    assert read[1].startswith("A-01,Nitrite,mg/L as N,1,0.5,0.5,0.5,1,")


@pytest.mark.parametrize("table", ["0", "99", "x", "-1", "9" * 9999])
def test_a_table_that_is_not_there_is_not_found(
    house: House, report: KeptReport, client: Client, table: str
) -> None:
    client.force_login(house.mo)

    answer = client.get(reverse("facility:report-csv", args=[report.pk]), {"table": table})

    assert answer.status_code == 404


def test_one_system_is_told_alone(house: House, report: KeptReport, client: Client) -> None:
    client.force_login(house.mo)
    part = str(house.site.vessels.get(code="A-02").pk)

    page = client.get(reverse("facility:report", args=[report.pk]), {"part": part})
    read = page.content.decode().partition('<h2 id="section-4">Readings</h2>')[2]

    assert "A-02" in read
    assert "A-01" not in read


def test_after_a_correction_the_page_offers_to_keep_it_as_it_stands(
    house: House, report: KeptReport, client: Client
) -> None:
    logged(house, vessel_of(house, code="A-03"), kit(house, "PH"), "7.4", at=NOON)
    client.force_login(house.ana)
    url = reverse("facility:keep-report", args=[house.site.pk])

    page = client.get(reverse("facility:report", args=[report.pk])).content.decode()
    sheet = client.get(url, {"period": "WEEK 2026-03-23"}).content.decode()
    sent = client.post(url, {"id": str(uuid4()), "period": "WEEK 2026-03-23"})

    assert "it would differ" in page
    assert '<option value="WEEK 2026-03-23" selected>' in sheet
    assert sent.status_code == 303
    assert KeptReport.objects.filter(by=house.ana).count() == 1


def test_a_period_that_is_not_offered_is_refused_in_a_sentence(
    house: House, report: KeptReport, client: Client
) -> None:
    client.force_login(house.ana)
    url = reverse("facility:keep-report", args=[house.site.pk])

    sent = client.post(url, {"id": str(uuid4()), "period": "WEEK 2026-03-24"})

    assert sent.status_code == 422
    assert "Choose one of the answers offered." in sent.content.decode()


def test_the_list_says_what_waits(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: MONDAY)
    client.force_login(house.hale)

    before = client.get(reverse("facility:reports")).content.decode()
    jobs.keep_reports_of(Site.objects.get(), at=MONDAY)
    after = client.get(reverse("facility:reports")).content.decode()

    assert "Not kept yet: 23 to 29 March 2026." in before
    assert "Not kept yet" not in after
    assert "Keep a report now" not in after
