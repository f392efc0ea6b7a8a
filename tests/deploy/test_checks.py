from pathlib import Path

import pytest

from deploy import browser, checks
from deploy.checks import Check

PASSES = Check(heading="First", command=("-c", "print('all is well')"))
FAILS = Check(heading="Second", command=("-c", "print('the reason'); raise SystemExit(3)"))


def _writes(note: Path) -> Check:
    return Check(heading="Third", command=("-c", f"open({str(note)!r}, 'w').write('x')"))


def test_first_failure_ends_the_checks_and_is_named(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert checks.run([PASSES, FAILS, _writes(tmp_path / "note")]) == 3

    shown = capfd.readouterr()
    assert "== First ==\nall is well\n" in shown.out
    assert "Second: failed. the reason" in shown.err
    assert not (tmp_path / "note").exists()


def test_latest_line_is_repeated_when_everything_holds(capfd: pytest.CaptureFixture[str]) -> None:
    assert checks.run([PASSES]) == 0

    assert capfd.readouterr().out.endswith("Everything holds. all is well\n")


def test_check_may_have_an_environment_of_its_own() -> None:
    question = "import os; raise SystemExit(os.environ['DEBUG'] != 'no')"

    assert (
        checks.run([Check(heading="Own", command=("-c", question), environ={"DEBUG": "no"})]) == 0
    )


def test_missing_browser_is_said_and_in_ci_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CI", "true")

    assert browser.have_programs() == (
        "Without chromium and pdftoppm on the PATH the browser journeys are left out."
    )
    assert checks.main([]) == 1
    assert "In CI that is a failure." in capfd.readouterr().err


def test_tests_share_the_processors_but_never_a_server_that_was_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 2)

    assert checks.together({}) == ["-n", "2", "--dist", "loadfile"]
    assert checks.together({"DATABASE_URL": "postgresql://db.example/penstock"}) == []
    assert checks.together({"REDIS_URL": "redis://cache.example"}) == []
