"""How many dangerous dose entries the guard stops, and how many right ones it hinders.

Danger is judged by what really ends up in the water, never by the guard.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

from deploy.bench.guarding import GUARD_SEED, Entry, dangers, entries
from deploy.bench.options import Options
from deploy.bench.startups import REHEARSAL_SEED
from quarantine.rules.guard import stops

Row: TypeAlias = dict[str, Any]
WANTED_STOPPED: Final = 0.99
BORNE_STOPPED: Final = 0.02
NOT_SEEN: Final = (
    "a valve opened or a volume changed that nobody recorded",
    "the right sheet filled in, and the dose poured into another tank",
    "a container whose label and record both lie, when it was tried on a few animals unharmed",
    "animals in the water that no lot tells of",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Judged:
    entry: Entry
    reasons: tuple[str, ...]
    codes: tuple[str, ...]


def guard_bench(options: Options) -> dict[str, Any]:
    """Give every entry to the guard; danger is told by the true level and facts alone."""
    seed = GUARD_SEED if options.seed == REHEARSAL_SEED else options.seed
    judged = [_judged(entry) for entry in entries(seed=seed)]
    dangerous = [one for one in judged if one.reasons]
    right = [one for one in judged if not one.reasons and not one.entry.slip]
    harmless = [one for one in judged if not one.reasons and one.entry.slip]
    return {
        "seed": seed,
        "entries": len(judged),
        "dangerous": _share(dangerous) | {"wanted": f"at least {WANTED_STOPPED:.0%} stopped"},
        "right": _share(right) | {"wanted": f"at most {BORNE_STOPPED:.0%} stopped"},
        "slips without danger": _share(harmless),
        "let in though dangerous": [_told(one) for one in dangerous if not one.codes],
        "stopped though right": [_told(one) for one in right if one.codes],
        "by slip": _by_slip(judged),
        "not seen by any guard": list(NOT_SEEN),
    }


def guard_lines(found: dict[str, Any]) -> str:
    """The same as a text."""
    lines = [f"{found['entries']} dose entries, seed {found['seed']}"]
    for name in ("dangerous", "right", "slips without danger"):
        one = found[name]
        wanted = f", wanted {one['wanted']}" if "wanted" in one else ""
        lines.append(f"{name}: {one['stopped']} of {one['n']} stopped{wanted}")
    lines += [
        f"  {row['slip']}: {row['stopped']} of {row['dangerous']} dangerous stopped"
        for row in found["by slip"]
    ]
    for name in ("let in though dangerous", "stopped though right"):
        lines.extend(f"{name}: {row}" for row in found[name])
    return "\n".join([*lines, *(f"not seen: {one}" for one in found["not seen by any guard"])])


def _judged(entry: Entry) -> _Judged:
    stopped = stops(entry.asked, entry.ground, entry.regime)
    codes = tuple(one.code for one in stopped)
    return _Judged(entry=entry, reasons=dangers(entry.truth), codes=codes)


def _share(judged: Sequence[_Judged]) -> Row:
    stopped = sum(bool(one.codes) for one in judged)
    share = stopped / len(judged) if judged else None
    return {"n": len(judged), "stopped": stopped, "share": share}


def _by_slip(judged: Sequence[_Judged]) -> list[Row]:
    groups: dict[str, list[_Judged]] = defaultdict(list)
    for one in judged:
        groups[one.entry.slip or "none"].append(one)
    return [_row(slip, ones) for slip, ones in groups.items()]


def _row(slip: str, ones: Sequence[_Judged]) -> Row:
    dangerous = [one for one in ones if one.reasons]
    return {
        "slip": slip,
        "n": len(ones),
        "dangerous": len(dangerous),
        "stopped": sum(bool(one.codes) for one in dangerous),
        "dangers": dict(Counter(reason for one in dangerous for reason in one.reasons)),
        "stops": dict(Counter(code for one in ones for code in one.codes)),
    }


def _told(one: _Judged) -> Row:
    truth = one.entry.truth
    return {
        "slip": one.entry.slip,
        "agent": truth.agent,
        "level": truth.level,
        "meant": truth.meant,
        "dangers": list(one.reasons),
        "stops": list(one.codes),
    }
