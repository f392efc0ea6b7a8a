"""The ledger's tree against published vectors.

Leaves and roots: transparency-dev/merkle, testonly/constants.go (the vectors of Certificate
Transparency); definitions: RFC 9162 section 2.1 and RFC 6962 section 2.1.
"""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.rules.merkle import (
    consistency_path,
    inclusion_path,
    is_consistent,
    is_included,
    leaf_hash,
    node_hash,
    tree_head,
)

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]


@pytest.mark.parametrize("size", range(9))
def test_roots_are_the_published_ones(size: int) -> None:
    assert tree_head(LEAVES[:size]).hex() == ROOTS[size]


def test_leaf_and_node_have_prefixes_of_their_own() -> None:
    expected = "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    assert leaf_hash(b"L123456").hex() == expected
    expected = "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"
    assert node_hash(b"N123", b"N456").hex() == expected
    assert leaf_hash(b"") != sha256(b"").digest()


def test_paths_are_the_published_ones() -> None:
    included = [step.hex()[:8] for step in inclusion_path(5, LEAVES)]
    assert included == ["bc1a0643", "ca854ea1", "d37ee418"]
    grown = [step.hex()[:8] for step in consistency_path(6, LEAVES)]
    assert grown == ["0ebc5d34", "ca854ea1", "d37ee418"]


@given(st.lists(st.binary(max_size=9), min_size=1, max_size=40), st.integers(0, 39))
def test_every_leaf_is_shown_to_be_in_and_no_other(leaves: list[bytes], at: int) -> None:
    index = at % len(leaves)
    path, root = inclusion_path(index, leaves), tree_head(leaves)

    assert is_included(leaves[index], index, len(leaves), path, root)
    assert not is_included(leaves[index] + b"!", index, len(leaves), path, root)
    assert not is_included(leaves[index], index, len(leaves), [*path, root], root)
    assert not is_included(leaves[index], len(leaves), len(leaves), path, root)


@given(st.lists(st.binary(max_size=9), min_size=2, max_size=40), st.integers(0, 39))
def test_a_tree_grows_only_out_of_its_own_beginning(leaves: list[bytes], at: int) -> None:
    size = 1 + at % len(leaves)
    path, root = consistency_path(size, leaves), tree_head(leaves)
    changed = [leaves[0] + b"!", *leaves[1:size]]

    assert is_consistent(size, len(leaves), path, tree_head(leaves[:size]), root)
    assert not is_consistent(size, len(leaves), path, tree_head(changed), root)
    assert not is_consistent(len(leaves) + 1, len(leaves), path, root, root)


def test_what_is_not_there_has_no_path() -> None:
    with pytest.raises(IndexError):
        inclusion_path(8, LEAVES)
    with pytest.raises(IndexError):
        consistency_path(0, LEAVES)
