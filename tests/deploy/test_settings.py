"""Each check starts a fresh Python: settings are read once a process."""

import os
import subprocess
import sys

import pytest

from deploy.addresses import ROOT

KEPT = ("PATH", "HOME", "LANG")


def _refusal(**environ: str) -> str:
    """The last line a Python writes that reads the settings in just this environment."""
    clean = {name: os.environ[name] for name in KEPT if name in os.environ}
    read = subprocess.run(
        [sys.executable, "-c", "import deploy.settings"],
        env=clean | environ,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    return read.stderr.strip().rpartition("\n")[2].removeprefix("deploy.env.BadSetting: ")


def test_nothing_needs_to_be_set() -> None:
    assert _refusal() == ""


def test_production_refuses_the_development_key() -> None:
    assert _refusal(DEBUG="no", ALLOWED_HOSTS="tanks.example") == (
        "DEBUG is off: set SECRET_KEY to a long random text of your own."
    )


def test_production_refuses_to_answer_to_any_name() -> None:
    assert _refusal(DEBUG="no", SECRET_KEY="x" * 60) == (
        "DEBUG is off: set ALLOWED_HOSTS to the names this server answers to."
    )


@pytest.mark.parametrize("https", ["yes", "no"])
def test_production_starts_with_both(https: str) -> None:
    production = {"DEBUG": "no", "ALLOWED_HOSTS": "tanks.example", "SECRET_KEY": "x" * 60}

    assert _refusal(HTTPS=https, **production) == ""


def test_manage_says_a_bad_setting_in_one_sentence() -> None:
    said = subprocess.run(
        [sys.executable, "manage.py", "diffsettings"],
        env=os.environ | {"DEBUG": "perhaps"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert (said.returncode, said.stderr) == (1, "DEBUG is “perhaps”: set it to yes or no.\n")
