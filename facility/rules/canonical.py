"""Plain values and one canonical JSON for them: what the ledger hashes."""

import hashlib
import json
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

FIRST_PREVIOUS = "0" * 64


def plain(value: Any) -> Any:
    """Return ``value`` as JSON knows it; decimals keep their digits, moments become UTC."""
    match value:
        case None | bool() | int() | str():
            return value
        case Decimal() | UUID():
            return str(value)
        case float():
            return repr(value)
        case datetime():
            return value.astimezone(UTC).isoformat(timespec="microseconds")
        case date():
            return value.isoformat()
        case dict():
            return {str(key): plain(entry) for key, entry in value.items()}
        case list() | tuple() | set() | frozenset():
            return [plain(entry) for entry in value]
    raise TypeError(f"The ledger cannot hold a {type(value).__name__}.")


def canonical_json(value: Any) -> str:
    """Sorted keys, no spaces, no escapes beyond JSON's own: the same facts, the same bytes."""
    return json.dumps(plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def digest(value: Any) -> str:
    """SHA-256 (FIPS 180-4) of the canonical JSON, 64 hexadecimal digits."""
    return hashlib.sha256(canonical_json(value).encode()).hexdigest()
