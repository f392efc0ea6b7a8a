"""Plain values and one canonical JSON for them: what the ledger hashes."""

import hashlib
import json
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

FIRST_PREVIOUS = "0" * 64


def plain(value: Any) -> Any:
    """Return ``value`` as JSON knows it; decimals keep their digits, moments become UTC.

    Raises:
        TypeError: the ledger has no form for such a value (a mistake in the caller).
    """
    for kinds, form in _FORMS:
        if isinstance(value, kinds):
            return form(value)
    raise TypeError(f"The ledger cannot hold a {type(value).__name__}.")


def canonical_json(value: Any) -> str:
    """Sorted keys, no spaces, no escapes beyond JSON's own: the same facts, the same bytes."""
    return json.dumps(plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def digest(value: Any) -> str:
    """SHA-256 (FIPS 180-4) of the canonical JSON, 64 hexadecimal digits."""
    return hashlib.sha256(canonical_json(value).encode()).hexdigest()


# In this order: a moment is also a date, and True is also an int.
_FORMS: Final[tuple[tuple[Any, Callable[[Any], Any]], ...]] = (
    ((type(None), bool, int, str), lambda value: value),
    ((Decimal, UUID), str),
    # Of a picture the ledger keeps what tells it from every other.
    ((bytes, memoryview), lambda value: f"sha256:{hashlib.sha256(value).hexdigest()}"),
    (float, float.__repr__),  # NumPy's numbers are floats with another repr
    (datetime, lambda value: value.astimezone(UTC).isoformat(timespec="microseconds")),
    (date, date.isoformat),
    (time, time.isoformat),
    (dict, lambda value: {str(key): plain(entry) for key, entry in value.items()}),
    ((list, tuple, set, frozenset), lambda value: [plain(entry) for entry in value]),
)
