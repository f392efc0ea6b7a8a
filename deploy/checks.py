"""Every check in order, stopping at the first that fails."""

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from deploy import browser

_CONTRACTS: Final = "from importlinter.cli import lint_imports_command as check; check()"
_MOST_PROCESSES: Final = 4
_PRODUCTION: Final = {
    "DEBUG": "no",
    "ALLOWED_HOSTS": "penstock.example",
    "SECRET_KEY": "a-key-for-this-check-only-with-enough-different-letters-0123456789",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    heading: str
    command: Sequence[str]
    environ: Mapping[str, str] = field(default_factory=dict)

    def run(self) -> tuple[int, str]:
        """Show its output as it comes; return its status and the last line it wrote."""
        print(f"\n== {self.heading} ==", flush=True)
        latest = ""
        with subprocess.Popen(
            [sys.executable, *self.command],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env=os.environ | self.environ,
        ) as process:
            for line in process.stdout or ():
                print(line, end="", flush=True)
                latest = line.strip() or latest
        return process.returncode, latest


def main(pytest_options: Sequence[str]) -> int:
    missing = browser.have_programs()
    if missing and os.environ.get("CI"):
        print(f"{missing} In CI that is a failure.", file=sys.stderr)
        return 1
    status = run(_checks([*pytest_options, *(("-m", "not journey") if missing else ())]))
    if missing:
        print(missing)
    return status


def run(checks: Sequence[Check]) -> int:
    """Run one after the other; the first failure ends it and is the answer."""
    latest = ""
    for check in checks:
        status, latest = check.run()
        if status != 0:
            print(f"\n{check.heading}: failed. {latest}", file=sys.stderr)
            return status
    print(f"\nEverything holds. {latest}")
    return 0


def together(environ: Mapping[str, str]) -> list[str]:
    """Run the tests in one process per processor, each with servers of its own.

    Servers that were named are one for all: then the tests run in one process.
    """
    processes = min(os.cpu_count() or 1, _MOST_PROCESSES)
    if processes == 1 or {"DATABASE_URL", "REDIS_URL"} & environ.keys():
        return []
    return ["-n", str(processes), "--dist", "loadfile"]


def _checks(pytest_options: Sequence[str]) -> list[Check]:
    deployable = ("manage.py", "check", "--deploy", "--fail-level", "WARNING")
    schema = ("manage.py", "spectacular", "--validate", "--fail-on-warn", "--file", os.devnull)
    migrations = ("manage.py", "makemigrations", "--check", "--dry-run")
    return [
        Check(heading="Format", command=("-m", "ruff", "format", "--check")),
        Check(heading="Lint", command=("-m", "ruff", "check")),
        Check(heading="Types", command=("-m", "mypy", ".")),
        Check(heading="Import contracts", command=("-c", _CONTRACTS)),
        Check(heading="Migrations", command=migrations),
        Check(heading="Production settings", command=deployable, environ=_PRODUCTION),
        Check(heading="API schema", command=schema),
        Check(heading="Tests", command=("-m", "pytest", *together(os.environ), *pytest_options)),
    ]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
