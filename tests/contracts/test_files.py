"""What the sources may look like: sizes, words, places. Read from the files that git keeps."""

import ast
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

import pytest

from deploy.addresses import ROOT

LONGEST_FILE, LONGEST_BODY, MEDIAN_BODY = 300, 45, 6
TOP: Final = {
    ".ci",
    ".gitignore",
    "DEVELOPERS.md",
    "LICENSE",
    "NOTICE",
    "README.md",
    "chemistry",
    "deploy",
    "facility",
    "manage.py",
    "pyproject.toml",
    "quarantine",
    "tanks",
    "tests",
}
APPS: Final = ("facility", "tanks", "quarantine")
# Put together here, so that this file does not hold what it looks for.
REGISTRIES: Final = tuple(
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("python" + "hosted", "org"),
        ("registry", "npmjs"),
        ("jsdelivr", "net"),
        ("unpkg", "com"),
        ("cdnjs", "cloudflare"),
        ("fonts", "googleapis"),
    )
)
MACHINE: Final = tuple("/" + name for name in ("work/", "root/"))
LEFT_OVER: Final = re.compile(
    "|".join(rf"\b{head}{tail}\b" for head, tail in (("TO", "DO"), ("FIX", "ME"), ("X", "XX")))
)


@cache
def _tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


def _python(*, product: bool = False) -> list[Path]:
    found = [path for path in _tracked() if path.suffix == ".py" and "migrations" not in path.parts]
    return [path for path in found if _name(path).split("/")[0] != "tests"] if product else found


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _texts() -> Iterator[tuple[str, str]]:
    for path in _tracked():
        if path.suffix not in {".png", ".ico", ".woff2", ".pdf"}:
            yield _name(path), path.read_text("utf-8")


def _bodies(path: Path) -> Iterator[tuple[str, int]]:
    """Each function with the lines of its body, less its docstring."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            told = ast.get_docstring(node, clean=False) is not None
            body = node.body[1:] if told and len(node.body) > 1 else node.body
            yield f"{_name(path)}:{node.name}", (node.end_lineno or 0) - body[0].lineno + 1


def test_nothing_stands_at_the_top_that_was_not_meant_to() -> None:
    assert {_name(path).split("/")[0] for path in _tracked()} <= TOP


def test_no_file_is_longer_than_300_lines() -> None:
    lines = {_name(path): path.read_text("utf-8").count("\n") for path in _python()}

    assert {name: count for name, count in lines.items() if count > LONGEST_FILE} == {}


def test_no_function_is_longer_than_45_lines() -> None:
    bodies = [body for path in _python() for body in _bodies(path)]

    assert [body for body in bodies if body[1] > LONGEST_BODY] == []


def test_half_of_the_functions_have_at_most_six_lines() -> None:
    lengths = sorted(lines for path in _python(product=True) for _, lines in _bodies(path))

    assert lengths[len(lengths) // 2] <= MEDIAN_BODY


def test_every_import_stands_at_the_top_of_its_file() -> None:
    """Celery's app alone must wait until the settings are read."""
    hidden = [
        f"{_name(path)}:{inner.lineno}"
        for path in _python(product=True)
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]

    assert [place for place in hidden if not place.startswith("deploy/apps.py:")] == []


@pytest.mark.parametrize("word", [*REGISTRIES, *MACHINE])
def test_no_file_names_a_registry_or_somebodys_machine(word: str) -> None:
    assert [name for name, text in _texts() if word in text] == []


def test_nothing_is_left_for_later() -> None:
    assert [name for name, text in _texts() if LEFT_OVER.search(text)] == []


def test_every_template_is_drawn_by_somebody() -> None:
    folders = [ROOT / app / "templates" for app in APPS]
    templates = {
        path.relative_to(folder).as_posix(): path
        for folder in folders
        for path in folder.rglob("*.html")
    }
    by_django = {"403.html", "403_csrf.html", "404.html", "500.html", "400.html"}
    texts = {name: text for name, text in _texts() if name.startswith(APPS)}
    unused = [
        name
        for name, path in templates.items()
        if name not in by_django
        and not any(f'"{name}"' in text for other, text in texts.items() if other != _name(path))
    ]

    assert unused == []


def test_only_commands_write() -> None:
    """Views, api, jobs, forms, queries, paper and models never save."""
    writes = re.compile(
        r"\.(bulk_create|bulk_update|get_or_create|update_or_create)\(|objects\.create\("
        r"|(?<!canvas)(?<!cache)\.(save|delete)\("
    )
    floors = ("views", "api", "forms", "queries", "paper", "models", "rules", "templatetags")
    product = (path for path in _python(product=True) if _name(path).startswith(APPS))
    found = [
        _name(path)
        for path in product
        if set(path.parts) & set(floors) and writes.search(path.read_text("utf-8"))
    ]

    assert found == []


def test_nothing_below_the_edge_reads_the_clock() -> None:
    clock = re.compile(r"timezone\.now\(|datetime\.now\(|date\.today\(|time\.time\(|localdate\(\)")
    floors = {"commands", "queries", "models", "rules", "sockets", "paper"}
    product = (
        path for path in _python(product=True) if _name(path).startswith((*APPS, "chemistry"))
    )
    found = [
        _name(path)
        for path in product
        if floors & set(path.relative_to(ROOT).parts[:2]) and clock.search(path.read_text("utf-8"))
    ]

    assert found == []
