"""What a label says: one of our codes, one with a slip in it, or something of somebody else's."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final
from urllib.parse import unquote

from facility.rules.codes import LENGTH, check, normalise, printed

# The address on a label: host, /T/, code. Hosts change, so a label with an older one still holds.
_ADDRESS: Final = re.compile(r"https?://[^/?#\s]+/t/([^/?#\s]+)/?(?:[?#]\S*)?", re.IGNORECASE)
_LONGEST_TYPED: Final = 2 * LENGTH
_LONGEST_SHOWN: Final = 80


class Kind(StrEnum):
    OURS = "ours"
    SLIP = "slip"
    FOREIGN = "foreign"


@dataclass(frozen=True, slots=True)
class Said:
    """``text`` is the code if it is ours, else what was found, shortened, to be shown."""

    kind: Kind
    text: str

    @property
    def spelled(self) -> str:
        return printed(self.text) if self.kind is Kind.OURS else self.text


def said_by(text: str) -> Said:
    """Read one label, scanned or typed; what is not certain is never taken for a code."""
    text = text.strip()
    address = _ADDRESS.fullmatch(text)
    if address is None and not _could_be_typed(text):
        return Said(Kind.FOREIGN, _shown(text))
    code = normalise(unquote(address[1]) if address else text)
    return Said(Kind.OURS, code) if check(code) else Said(Kind.SLIP, _shown(code))


def said_together(texts: Iterable[str]) -> list[Said]:
    """What the labels of one picture say: ours if there are any, each once; else all the rest."""
    found = list(dict.fromkeys(said_by(text) for text in texts if text.strip()))
    return [each for each in found if each.kind is Kind.OURS] or found


def _could_be_typed(text: str) -> bool:
    """Seven characters with a slip, not an address or the text of another system."""
    return len(text) <= _LONGEST_TYPED and not re.search(r"[:/?#=&@]", text)


def _shown(text: str) -> str:
    plain = "".join(each if each.isprintable() else " " for each in text)
    return plain if len(plain) <= _LONGEST_SHOWN else f"{plain[: _LONGEST_SHOWN - 1]}…"
