"""``manage.py calculate NAME key=value ... [--json]``: answer one question of the catalogue."""

import json
import os
import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from typing import Any, Final

from django.core.management.base import BaseCommand

from chemistry.calculator import (
    CALCULATIONS,
    BadInput,
    Calculation,
    UnknownCalculation,
    answer,
    calculation,
)
from chemistry.calculator.description import described
from chemistry.calculator.plain_text import answer_text, list_text, question_text

_BAD_INPUT: Final = 2
_FLAGS: Final = ("--json", "--list")


class Command(BaseCommand):
    help = (
        "Calculate with published formulas. --list names all questions; a name alone tells "
        'what it asks; with key=value it answers, such as tan="1.0 mg/L as N" temperature=78F.'
    )
    # Neither database nor settings of an installation are asked for anything.
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("words", nargs="*", metavar="NAME key=value")
        parser.add_argument("--list", action="store_true", help="name every calculation")
        parser.add_argument("--json", action="store_true", help="answer in JSON")

    def run_from_argv(self, argv: list[str]) -> None:
        # argparse reads no key=value after a flag; people write the flag anywhere.
        flags = [word for word in argv[2:] if word in _FLAGS]
        words = [word for word in argv[2:] if word not in _FLAGS]
        super().run_from_argv([*argv[:2], *flags, *words])

    def handle(self, *_: Any, **options: Any) -> None:
        name, *pairs = options["words"] or [""]
        if options["list"] or not name:
            return self._say([described(one) for one in CALCULATIONS], _listed(), options)
        try:
            asked = calculation(name)
            return self._answer(asked, pairs, options)
        except UnknownCalculation as fault:
            self._refuse({"name": f"{fault} See calculate --list."}, options)
        except BadInput as fault:
            self._refuse(fault.faults, options)

    def _answer(self, asked: Calculation, pairs: Sequence[str], options: dict[str, Any]) -> None:
        if not pairs:
            return self._say(described(asked), question_text(asked), options)
        made = answer(asked, _told(pairs))
        return self._say(made.as_json(), answer_text(made), options)

    def _say(self, plain: Any, text: str, options: dict[str, Any]) -> None:
        shown = json.dumps(plain, indent=1, ensure_ascii=False) if options["json"] else text
        try:
            self.stdout.write(_encodable(shown, self.stdout.encoding))
            self.stdout.flush()
        except BrokenPipeError:
            # Whoever read us has had enough; let the interpreter's last flush go nowhere.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

    def _refuse(self, faults: dict[str, str], options: dict[str, Any]) -> None:
        if options["json"]:
            self._say({"faults": faults}, "", options)
        self.stderr.write("\n".join(faults.values()))
        raise SystemExit(_BAD_INPUT)


def _encodable(text: str, encoding: str | None) -> str:
    """Return the text with “?” for what a terminal of few letters cannot show."""
    return text.encode(encoding or "utf-8", "replace").decode(encoding or "utf-8")


def _listed() -> str:
    return list_text(CALCULATIONS)


def _told(pairs: Sequence[str]) -> dict[str, str]:
    told: dict[str, str] = {}
    faults: dict[str, str] = {}
    for pair in pairs:
        key, is_pair, value = pair.partition("=")
        if not is_pair:
            faults[pair] = f"“{pair}” is not key=value; quote a value with blanks in it."
        elif key in told:
            faults[key] = f"“{key}” is given twice; give it once."
        told[key] = value
    if faults:
        raise BadInput(faults)
    return told
