"""Locks pin every package by hash and name no place to fetch it from."""

import re

import pytest

from deploy.addresses import ROOT

PIN = re.compile(r"^([a-z0-9][a-z0-9._-]*)==([^ ]+)", re.MULTILINE)


def _text(name: str) -> str:
    return (ROOT / "deploy" / f"{name}.lock").read_text()


@pytest.mark.parametrize("name", ["base", "dev"])
def test_lock_names_no_host(name: str) -> None:
    assert not re.search(r"://|file:|--(extra-)?index|--find-links|@ ", _text(name))


@pytest.mark.parametrize("name", ["base", "dev"])
def test_every_pinned_package_has_its_hashes(name: str) -> None:
    entries = re.split(r"\n(?=[a-z0-9])", _text(name).strip())

    assert len(entries) > 50
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


def test_developers_have_what_the_product_has() -> None:
    product, developers = (set(PIN.findall(_text(name))) for name in ("base", "dev"))

    assert product < developers
