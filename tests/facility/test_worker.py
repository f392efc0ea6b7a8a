"""What lets a phone work without signal is served, and names only what is there."""

import json
import re

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from tests.cast import House

pytestmark = pytest.mark.django_db


def test_the_worker_stands_at_the_root_and_names_files_that_exist(client: Client) -> None:
    answer = client.get("/worker.js")

    assert answer["Content-Type"] == "text/javascript"
    assert answer["Cache-Control"] == "no-cache"
    script = answer.content.decode()
    told = json.loads(script.removeprefix("self.told = ").split(";\n")[0])
    imported = re.findall(r'importScripts\("/static/([^"]+)"\)', script)
    shell = [path.removeprefix("/static/") for path in told["shell"]]
    assert [path for path in [*imported, *shell] if finders.find(path) is None] == []
    assert re.fullmatch(r"[0-9a-f]{16}", told["version"])


def test_every_script_and_sheet_of_the_frame_is_kept_on_the_phone(
    client: Client, house: House
) -> None:
    client.force_login(house.ana)
    frame = client.get("/people/").content.decode()
    wanted = set(re.findall(r'(?:src|href)="(/static/facility/[^"]+\.(?:js|css))"', frame))
    script = client.get("/worker.js").content.decode()

    assert wanted
    assert {path for path in wanted if f'"{path}"' not in script} == set()


def test_the_outbox_is_there_for_whoever_holds_the_phone(client: Client, house: House) -> None:
    """Kept as nobody's page: signed out it names no one."""
    signed_out = client.get("/outbox/").content.decode()
    client.force_login(house.ana)
    signed_in = client.get("/outbox/").content.decode()

    assert "Entries wait here" in signed_out
    assert "data-person" not in signed_out
    assert f'data-person="{house.ana.pk}"' in signed_in
    assert 'data-zone="Europe/Lisbon"' in signed_in
