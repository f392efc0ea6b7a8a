"""Was the filter proven near the conditions animals will live in? Pure.

A pass at 29 °C does not speak for a system at 20 °C, nor one at full salinity for half of it.
Beyond these moves the challenge is made again; common practice, no source.
"""

from typing import Final

from quarantine.rules.known import Conditions, Known, StartUp
from tanks.rules.measured import Measured
from tanks.rules.requirements import UNKNOWN, Evidence, Requirement, state_of

MOST_MOVED_C: Final = 4.0
MOST_MOVED_G_KG: Final = 10.0
# Readings are decimals; nine figures leave out the last bit of a float.
_SLIVER: Final = 1e-9


def near_stocking(known: Known) -> Requirement:
    """Judge how far the stocking values lie from where the latest challenge was passed."""
    code, title = "proof-conditions", "Proven near the stocking values"
    declared = known.start_ups[0] if len(known.start_ups) == 1 else None
    if declared is None or known.proven_in is None:
        sentence = "No challenge of this start-up has passed, so no conditions are proven."
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=sentence)
    moves = _moves(declared, known.proven_in)
    far = [told for told, holds in moves if holds is False]
    doubt = [told for told, holds in moves if holds is None]
    holds = False if far else None if doubt else True
    told = ", ".join(far or doubt or [told for told, _ in moves])
    words = {
        True: f"The latest pass stood near the stocking values: {told}.",
        False: f"Too far from the latest pass: {told}. Ramp first, then pass a challenge again.",
        None: f"How far the latest pass stood from stocking is not to be told: {told}.",
    }
    shown = tuple(Evidence(f"{one.text}, {one.method_name}") for one in _read(known.proven_in))
    return Requirement(
        code=code,
        title=title,
        state=state_of(holds=holds),
        sentence=words[holds],
        evidence=shown or (Evidence("Not read then: as declared for the start-up", declared.url),),
    )


def _moves(declared: StartUp, proven: Conditions) -> list[tuple[str, bool | None]]:
    warmth = (declared.cycling_temperature_c, declared.stocking_temperature_c)
    salt = (declared.cycling_salinity_g_kg, declared.stocking_salinity_g_kg)
    return [
        _move(proven.temperature, *warmth, most=MOST_MOVED_C, unit="°C"),
        _move(proven.salinity, *salt, most=MOST_MOVED_G_KG, unit="g/kg"),
    ]


def _move(
    reading: Measured | None, declared: float, wanted: float, *, most: float, unit: str
) -> tuple[str, bool | None]:
    low, high = (reading.low, reading.high) if reading else (declared, declared)
    stood = (
        f"{low:g}" if low == high else f"{low:g} or more" if high is None else f"{low:g}-{high:g}"
    )
    told = f"{stood} {unit} then, {wanted:g} {unit} for stocking, at most {most:g} apart"
    if max(low - wanted, 0.0 if high is None else wanted - high) > most + _SLIVER:
        return told, False
    is_near = high is not None and max(high - wanted, wanted - low) <= most + _SLIVER
    return told, True if is_near else None


def _read(proven: Conditions) -> list[Measured]:
    return [one for one in (proven.temperature, proven.salinity) if one]
