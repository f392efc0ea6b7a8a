"""``manage.py forecast CASE.json --json``: forecast a start-up from a case file alone."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, Final

from django.core.management.base import BaseCommand

from chemistry.cycling import BadCase, Forecast, answer, forecast_case, read_case
from tanks.rules.outlooks import FIRST_WEEK_H

_BAD_FILE: Final = 2
_HOURS_A_DAY: Final = 24.0


class Command(BaseCommand):
    help = "Forecast when a biofilter start-up will pass its challenge, from a cycle-case/1 file."
    # Neither database nor settings of an installation are asked for anything.
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("case", metavar="CASE.json", help="the case file, in UTF-8")
        parser.add_argument("--json", action="store_true", help="answer in JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        try:
            case = read_case(_text(Path(options["case"])))
            made = forecast_case(case)
        except BadCase as fault:
            self.stderr.write(str(fault))
            raise SystemExit(_BAD_FILE) from fault
        if options["json"]:
            self.stdout.write(json.dumps(answer(made), indent=1, ensure_ascii=False))
        else:
            self.stdout.write(_plain(made, is_early=case.now_h < FIRST_WEEK_H))


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as fault:
        raise BadCase(f"{path} cannot be read: {fault.strerror}.") from fault
    except UnicodeDecodeError as fault:
        raise BadCase(f"{path} is not text in UTF-8.") from fault


def _plain(made: Forecast, *, is_early: bool) -> str:
    cause = max(made.causes, key=lambda name: made.causes[name])
    return "\n".join(
        (
            made.sureness,
            _first_pass(made, is_early=is_early),
            _chances(made),
            f"Likeliest cause of a stall: {cause.replace('_', ' ')} ({made.causes[cause]:.0%}).",
            f"Next: {made.next_step.kind.replace('_', ' ')}. {made.next_step.why}",
        )
    )


def _first_pass(made: Forecast, *, is_early: bool) -> str:
    """In the first week no middle: no forecast knows it by then."""
    days = {name: _day(at_h) for name, at_h in made.planned.ready_at_h.items()}
    middle = "" if is_early else f", middle {days['p50']}"
    return f"First pass: {days['p10']} to {days['p90']} (eight in ten){middle}."


def _chances(made: Forecast) -> str:
    alone = f"if nobody buffers: {made.unbuffered.never_by_horizon:.0%}"
    return f"No pass by the horizon: {made.planned.never_by_horizon:.0%}; {alone}."


def _day(at_h: float | None) -> str:
    return "past the horizon" if at_h is None else f"day {at_h / _HOURS_A_DAY:.0f}"
