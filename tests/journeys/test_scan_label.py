"""Three ways from a label to its tank with a phone: held before the camera, photographed, typed."""

import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from facility.models import Entry
from facility.rules.codes import printed
from tanks.commands.vessels import Relabel, RenameVessel, relabel, rename_vessel
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.journeys.browser import FLAGS, PHONE, Opener, opened, signed_in
from tests.journeys.phones import carried_by, keeps
from tests.journeys.test_pages import faults_of
from tests.tanks.estate import a_label, vessel_of
from tests.tanks.photographs import jpeg, photographed, printed_label, square

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def test_a_label_held_before_the_camera_opens_its_tank(
    browser: Browser, house: House, tank: Vessel, live_server: LiveServer, tmp_path: Path
) -> None:
    """Chromium plays a film of the printed label as if it were the camera, allowed before."""
    rename_vessel(RenameVessel(vessel_id=tank.pk, code="Z-7", name=""), by=house.mo, at=NOON)
    label = printed_label(tank, tmp_path)
    with a_phone_that_films(browser, live_server, film_of(label, tmp_path)) as phone:
        signed_in(phone, house.ana).goto("/t/")
        before = Entry.objects.count()

        phone.wait_for_url(f"**/tanks/{tank.pk}/")

        phone.get_by_role("heading", level=1, name="Z-7").wait_for()
        assert Entry.objects.count() == before


def test_a_foreign_square_before_the_camera_opens_nothing(
    browser: Browser, house: House, tank: Vessel, live_server: LiveServer, tmp_path: Path
) -> None:
    film = film_of(square("https://menu.example/today"), tmp_path)
    with a_phone_that_films(browser, live_server, film) as phone:
        signed_in(phone, house.ana).goto("/t/")

        expect(phone.get_by_role("alert")).to_contain_text(
            "no tank label of ours: it says “https://menu.example/today”", timeout=20_000
        )
        assert "/t?code=" in phone.url


def test_a_photo_of_a_label_opens_its_tank_as_soon_as_it_is_taken(
    phone: Page, house: House, tank: Vessel, tmp_path: Path
) -> None:
    (tmp_path / "photo.jpg").write_bytes(
        photographed(printed_label(tank, tmp_path), turned=8, tilted=15, blur_px=1.5)
    )
    signed_in(phone, house.ana).goto("/t/")

    phone.get_by_label("Photo", exact=True).set_input_files(tmp_path / "photo.jpg")

    phone.wait_for_url(f"**/tanks/{tank.pk}/")
    phone.get_by_role("heading", level=1, name="A-01").wait_for()


def test_a_photo_without_a_label_says_how_to_take_a_better_one(
    phone: Page, house: House, tank: Vessel, tmp_path: Path
) -> None:
    (tmp_path / "wall.jpg").write_bytes(jpeg(Image.new("L", (1200, 900), 140)))
    signed_in(phone, house.ana).goto("/t/")

    phone.get_by_label("Photo", exact=True).set_input_files(tmp_path / "wall.jpg")

    expect(phone.get_by_role("alert")).to_contain_text("No label was found in the photo. Go closer")


def test_a_retired_label_typed_or_scanned_opens_no_tank_and_the_new_one_does(
    phone: Page, house: House, tank: Vessel
) -> None:
    old = tank.labels.get().pk
    new = a_label()
    relabel(Relabel(vessel_id=tank.pk, label=new), by=house.mo, at=NOON)
    signed_in(phone, house.ana).goto("/t/")

    typed(phone, printed(old).lower())
    expect(phone.get_by_role("heading", level=1)).to_have_text("This label is out of use")
    expect(phone.get_by_role("alert")).to_contain_text(f"Label {printed(old)} was retired")
    expect(phone.get_by_role("link", name="A-01")).to_have_count(0)

    typed(phone, f"{new[:3]}-{new[3]}{new[3:]}")
    expect(phone.get_by_role("alert")).to_contain_text("is not a complete label code")
    typed(phone, new)
    phone.get_by_role("heading", level=1, name="A-01").wait_for()


def test_over_plain_http_the_page_says_what_is_missing_and_a_photo_still_serves(
    browser: Browser,
    house: House,
    tank: Vessel,
    live_server: LiveServer,
    settings: Settings,
    tmp_path: Path,
) -> None:
    """A name that is not localhost is not secure, as in a shop without https."""
    settings.ALLOWED_HOSTS = ["shop.lan"]
    settings.CERTIFICATES = tmp_path
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(photographed(printed_label(tank, tmp_path)))
    at = live_server.url.replace("localhost", "shop.lan")
    with a_phone(browser, "--host-resolver-rules=MAP shop.lan 127.0.0.1", at=at) as phone:
        signed_in(phone, house.ana).goto("/t/")

        expect(phone.get_by_role("button", name="Open the camera")).to_be_hidden()
        expect(phone.get_by_text("cannot be opened inside this page over plain")).to_be_visible()
        phone.get_by_role("link", name="How a phone trusts this server").tap()
        phone.get_by_role("heading", level=1, name="Trust this server").wait_for()
        for missing in ("plain http", "missing: take a photo instead", "missing: needs trusted"):
            expect(phone.get_by_text(missing).first).to_be_visible()
        assert list(faults_of(phone)) == []

        phone.go_back()
        phone.get_by_label("Photo", exact=True).set_input_files(photo)
        phone.get_by_role("heading", level=1, name="A-01").wait_for()


def test_without_signal_a_code_typed_opens_the_tank_that_is_on_the_phone(
    browser: Browser, house: House, tank: Vessel, live_server: LiveServer
) -> None:
    with carried_by(browser, live_server.url, house.ana) as carried:
        phone = carried.new_page()
        phone.goto(f"/tanks/{tank.pk}/")
        assert keeps(phone, f"/tanks/{tank.pk}/")
        phone.goto("/t/")
        assert keeps(phone, "/t/")
        carried.set_offline(offline=True)
        phone.reload()

        typed(phone, printed(tank.labels.get().pk).lower())

        phone.get_by_role("heading", level=1, name="A-01").wait_for()
        expect(phone.get_by_text("No signal: this page is as it was")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_the_scan_are_legible_by_day_and_by_night(
    another: Opener, house: House, tank: Vessel, scheme: str
) -> None:
    phone = another(PHONE, color_scheme=scheme)
    signed_in(phone, house.ana)
    faults: list[str] = []
    for address in ("/t/", "/t/?code=A", "/t/?code=https://menu.example/x", "/trust/"):
        phone.goto(address)
        faults += faults_of(phone)

    assert faults == []


@contextmanager
def a_phone(browser: Browser, *flags: str, at: str) -> Iterator[Page]:
    """A phone in a browser of its own, started with more than the usual flags."""
    program = shutil.which("chromium")
    other = browser.browser_type.launch(executable_path=program, args=[*FLAGS, *flags])
    with closing(other), opened(other, PHONE, at=at) as phone:
        # Its first page waits for the second browser to come up.
        phone.set_default_timeout(20_000)
        yield phone


@contextmanager
def a_phone_that_films(browser: Browser, live_server: LiveServer, film: Path) -> Iterator[Page]:
    fake = ("--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream")
    with a_phone(
        browser, *fake, f"--use-file-for-fake-video-capture={film}", at=live_server.url
    ) as phone:
        yield phone


def film_of(label: Image.Image, folder: Path) -> Path:
    """A hand that trembles: the label a little elsewhere in each picture. Motion JPEG."""
    film = folder / "film.mjpeg"
    near = label.convert("L").resize((560, round(560 * label.height / label.width)))
    with film.open("wb") as file:
        for step in range(6):
            scene = Image.new("L", (1280, 720), 110)
            scene.paste(near.rotate(2 * step - 5, expand=True, fillcolor=110), (330 + 4 * step, 60))
            file.write(jpeg(scene))
    return film


def typed(page: Page, code: str) -> None:
    page.get_by_label("Code on the label").fill(code)
    page.get_by_role("button", name="Open the tank").tap()
