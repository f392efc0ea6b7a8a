"""A Merkle tree over the ledger's lines: RFC 9162 section 2.1, SHA-256.

Somebody outside who keeps one root can later check that nothing before it was cut or changed.
Hashes are 32 bytes, indices count from 0.
"""

from collections.abc import Sequence
from hashlib import sha256


def tree_head(leaves: Sequence[bytes]) -> bytes:
    """Return the Merkle tree hash of the data of all leaves (2.1.1)."""
    if not leaves:
        return sha256(b"").digest()
    if len(leaves) == 1:
        return leaf_hash(leaves[0])
    split = _split(len(leaves))
    return node_hash(tree_head(leaves[:split]), tree_head(leaves[split:]))


def leaf_hash(content: bytes) -> bytes:
    return sha256(b"\x00" + content).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    return sha256(b"\x01" + left + right).digest()


def inclusion_path(index: int, leaves: Sequence[bytes]) -> list[bytes]:
    """Return what somebody needs beside the leaf to compute the root (2.1.3.1), leaf first.

    Raises:
        IndexError: there is no such leaf.
    """
    if not 0 <= index < len(leaves):
        raise IndexError(f"There is no leaf {index} among {len(leaves)}.")
    if len(leaves) == 1:
        return []
    split = _split(len(leaves))
    if index < split:
        return [*inclusion_path(index, leaves[:split]), tree_head(leaves[split:])]
    return [*inclusion_path(index - split, leaves[split:]), tree_head(leaves[:split])]


def consistency_path(earlier_size: int, leaves: Sequence[bytes]) -> list[bytes]:
    """Return what shows that the tree of the first ``earlier_size`` leaves grew (2.1.4.1).

    Raises:
        IndexError: the earlier tree was empty or larger.
    """
    if not 0 < earlier_size <= len(leaves):
        raise IndexError(f"No tree of {earlier_size} leaves grew into one of {len(leaves)}.")
    return _subproof(earlier_size, leaves, is_whole=True)


def is_included(leaf: bytes, index: int, size: int, path: Sequence[bytes], root: bytes) -> bool:
    """Tell whether ``path`` leads from the leaf's content to ``root`` (2.1.3.2)."""
    if not 0 <= index < size:
        return False
    node, last, found = index, size - 1, leaf_hash(leaf)
    for sibling in path:
        if last == 0:
            return False
        if node % 2 or node == last:
            found = node_hash(sibling, found)
            while node and not node % 2:
                node, last = node // 2, last // 2
        else:
            found = node_hash(found, sibling)
        node, last = node // 2, last // 2
    return last == 0 and found == root


def is_consistent(
    earlier_size: int, size: int, path: Sequence[bytes], earlier_root: bytes, root: bytes
) -> bool:
    """Tell whether the tree of ``earlier_root`` grew into that of ``root`` (2.1.4.2)."""
    if earlier_size == size:
        return not path and earlier_root == root
    if not 0 < earlier_size < size or not path:
        return False
    is_full = earlier_size & (earlier_size - 1) == 0
    steps = [earlier_root, *path] if is_full else list(path)
    node, last = _above_full(earlier_size - 1, size - 1)
    earlier_found = found = steps[0]
    for sibling in steps[1:]:
        if last == 0:
            return False
        if node % 2 or node == last:
            earlier_found = node_hash(sibling, earlier_found)
            found = node_hash(sibling, found)
            while node and not node % 2:
                node, last = node // 2, last // 2
        else:
            found = node_hash(found, sibling)
        node, last = node // 2, last // 2
    return last == 0 and earlier_found == earlier_root and found == root


def _subproof(size: int, leaves: Sequence[bytes], *, is_whole: bool) -> list[bytes]:
    if size == len(leaves):
        return [] if is_whole else [tree_head(leaves)]
    split = _split(len(leaves))
    if size <= split:
        return [*_subproof(size, leaves[:split], is_whole=is_whole), tree_head(leaves[split:])]
    right = _subproof(size - split, leaves[split:], is_whole=False)
    return [*right, tree_head(leaves[:split])]


def _above_full(node: int, last: int) -> tuple[int, int]:
    """Leave the subtrees that were full in the earlier tree."""
    while node % 2:
        node, last = node // 2, last // 2
    return node, last


def _split(size: int) -> int:
    """Return the largest power of two below ``size``."""
    return int(2 ** ((size - 1).bit_length() - 1))
