"""The web server over its own https, met as a phone meets it; and the page that explains it."""

import os
import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPSConnection
from io import StringIO
from pathlib import Path

import pytest
from cryptography import x509
from django.core.management import CommandError, call_command
from django.test import Client
from pytest_django.fixtures import Settings

from deploy import processes
from deploy.addresses import ROOT
from deploy.arguments import HOST, hindrance, parse
from deploy.certificates import fingerprint
from deploy.certified import Certified
from deploy.serve import web_servers


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    port: int
    https_port: int
    kept: Certified

    def plain(self, path: str) -> tuple[int, str | None]:
        web = HTTPConnection(HOST, self.port, timeout=10)
        return _asked(web, path)

    def secure(self, path: str, *, trusting: bool) -> tuple[int, str | None]:
        trusted = self.kept.authority_file if trusting else None
        context = ssl.create_default_context(cafile=trusted)
        return _asked(HTTPSConnection(HOST, self.https_port, timeout=10, context=context), path)


def _asked(web: HTTPConnection, path: str) -> tuple[int, str | None]:
    try:
        web.request("GET", path)
        answer = web.getresponse()
        answer.read()
        return answer.status, answer.headers["Location"]
    finally:
        web.close()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    kept = Certified(folder=tmp_path_factory.mktemp("https"))
    kept.certify(at=datetime.now(UTC))
    port, https_port = _free_port(), _free_port()
    demo = parse(["--https", "--port", str(port), "--https-port", str(https_port)])
    environ = os.environ | {
        "DEBUG": "yes",
        "HTTPS": "yes",
        "HSTS": "no",
        "HTTPS_PORT": str(https_port),
    }
    running = [
        subprocess.Popen(child.command, cwd=ROOT, env=environ, start_new_session=True)
        for child in web_servers(demo, kept)
    ]
    known = Served(port=port, https_port=https_port, kept=kept)
    try:
        assert processes.wait_until(lambda: _is_up(known), seconds=60, poll_s=0.2)
        yield known
    finally:
        for process in running:
            process.terminate()
        for process in running:
            process.wait(timeout=20)


def _is_up(known: Served) -> bool:
    try:
        return known.plain("/alive/")[0] == 200 and known.secure("/alive/", trusting=True)[0] == 200
    except OSError:
        return False


def test_a_phone_that_trusts_the_authority_gets_in_and_another_does_not(served: Served) -> None:
    assert served.secure("/sign-in/", trusting=True)[0] == 200
    with pytest.raises(ssl.SSLCertVerificationError):
        served.secure("/sign-in/", trusting=False)


def test_a_label_printed_over_http_still_arrives(served: Served) -> None:
    status, where = served.plain("/T/ABCDEFG?next=1")

    assert status == 307
    assert where == f"https://{HOST}:{served.https_port}/T/ABCDEFG?next=1"


@pytest.mark.parametrize("path", ["/alive/", "/trust/", "/static/facility/shell.css"])
def test_what_a_phone_needs_first_it_gets_over_http(served: Served, path: str) -> None:
    assert served.plain(path) == (200, None)


def test_trust_page_shows_the_fingerprint_and_hands_out_the_certificate_alone(
    client: Client, settings: Settings, tmp_path: Path
) -> None:
    settings.CERTIFICATES = tmp_path
    kept = Certified(folder=tmp_path)
    kept.certify(at=datetime.now(UTC))
    authority = kept.authority()
    assert authority is not None

    shown = client.get("/trust/").content.decode()
    file = client.get("/trust/penstock-authority.crt")

    assert fingerprint(authority.certificate) in shown
    assert file["Content-Type"] == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(file.content) == authority.certificate
    assert b"PRIVATE" not in file.content


def test_without_a_certificate_the_page_says_what_to_type(
    client: Client, settings: Settings, tmp_path: Path
) -> None:
    settings.CERTIFICATES = tmp_path / "nothing"

    assert "manage.py certify-network" in client.get("/trust/").content.decode()
    assert client.get("/trust/penstock-authority.crt").status_code == 404


def test_damaged_files_are_a_sentence_and_no_crash(
    client: Client, settings: Settings, tmp_path: Path
) -> None:
    settings.CERTIFICATES = tmp_path
    Certified(folder=tmp_path).certify(at=datetime.now(UTC))
    (tmp_path / "authority.pem").write_text("half a fi")

    page = client.get("/trust/")

    assert page.status_code == 200
    assert "cannot be used" in page.content.decode()
    assert str(tmp_path) not in page.content.decode()
    assert client.get("/trust/penstock-authority.crt").status_code == 404


def test_https_in_front_of_us_leads_nowhere_else(client: Client, settings: Settings) -> None:
    assert client.get("/sign-in/").status_code == 200
    settings.HTTPS_PORT = 8443

    assert client.get("/sign-in/", secure=True).status_code == 200
    lead = client.get("/sign-in/", headers={"host": "testserver:8000"})
    assert (lead.status_code, lead["Location"]) == (307, "https://testserver:8443/sign-in/")


def test_command_certifies_and_says_what_to_compare(settings: Settings, tmp_path: Path) -> None:
    settings.CERTIFICATES = tmp_path
    said = StringIO()

    call_command(
        "certify-network", "--name", "penstock.local", "--address", "192.168.1.20", stdout=said
    )

    authority = Certified(folder=tmp_path).authority()
    assert authority is not None
    assert fingerprint(authority.certificate) in said.getvalue()
    assert "penstock.local" in said.getvalue()
    assert "192.168.1.20" in said.getvalue()
    with pytest.raises(CommandError, match=r"ends in \.local"):
        call_command("certify-network", "--name", "shop.example.com")


def test_one_port_cannot_serve_both() -> None:
    sentence = hindrance(parse(["--https", "--port", "8443"]))

    assert sentence == "Port 8443 cannot serve http and https at once: choose another --https-port."


def test_a_taken_https_port_names_its_own_option() -> None:
    with socket.socket() as listener:
        listener.bind((HOST, 0))
        listener.listen()
        taken = listener.getsockname()[1]

        said = hindrance(
            parse(["--https", "--https-port", str(taken), "--port", str(_free_port())])
        )

    assert said.endswith("choose another with --https-port N.")


def test_without_https_one_server_answers_on_plain_http() -> None:
    (alone,) = web_servers(parse(["--port", "8001"]), Certified())

    assert alone.command[0] == sys.executable
    assert "8001" in alone.command
    assert "--ssl-certificate" not in alone.command
