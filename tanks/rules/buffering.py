"""What more alkalinity does to the ammonia that is already there. Pure.

At the same carbon dioxide, pH goes with the logarithm of alkalinity (Henderson-Hasselbalch,
pH = pK + log [HCO₃⁻]/[CO₂]): twice the alkalinity, 0.3 more pH once the water is as aerated as
before. In sea water borate and carbonate take a part, so the rise is an upper estimate there; the
sentence says so wherever there is salt.
"""

from dataclasses import dataclass, replace
from math import log10
from typing import Final

from facility.rules.wording import written
from tanks.rules.free_ammonia import CannotCalculate, FreeAmmonia, Given, free_ammonia
from tanks.rules.values import Interval

# Fresh water by the Venice system of 1958: from memory, unverified.
_FRESH_TO_G_KG: Final = 0.5
_IN_SALT: Final = (
    " This pH is an upper estimate: in salt water borate and carbonate take up part of the "
    "alkalinity, so pH rises less."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Buffered:
    """Un-ionised ammonia in mg/L as N before and after, and the pH it was worked out with."""

    ph_before: float
    ph_after: float
    before: FreeAmmonia
    after: FreeAmmonia
    is_salt: bool

    @property
    def sentence(self) -> str:
        return (
            f"Ammonia is present. Un-ionised it is about {_two(self.before)} mg/L as N now, at pH "
            f"{self.ph_before:.1f}; with this dose, once aerated, up to {_two(self.after)} at pH "
            f"{self.ph_after:.1f} ({self.before.method}).{_IN_SALT if self.is_salt else ''} Raise "
            "alkalinity in steps, or lower TAN first."
        )


def ph_after(*, ph: float, alkalinity_meq_l: float, rise_meq_l: float) -> float:
    """Return pH at the same carbon dioxide."""
    return ph + log10((alkalinity_meq_l + rise_meq_l) / alkalinity_meq_l)


def buffered(given: Given, *, alkalinity: Interval, rise_meq_l: float) -> Buffered | None:
    """Return what the rise does, or None where the readings cannot say.

    Nothing is said of a TAN that was below detection, nor of water without alkalinity.
    """
    if given.tan.low <= 0 or alkalinity.low <= 0 or given.ph.high is None:
        return None
    after = ph_after(ph=given.ph.high, alkalinity_meq_l=alkalinity.low, rise_meq_l=rise_meq_l)
    raised = replace(given, ph=Interval(after, after))
    try:
        return Buffered(
            ph_before=given.ph.high,
            ph_after=after,
            before=free_ammonia(given),
            after=free_ammonia(raised),
            is_salt=given.salinity is not None and given.salinity.top > _FRESH_TO_G_KG,
        )
    except CannotCalculate:
        return None


def _two(ammonia: FreeAmmonia) -> str:
    return written(float(f"{ammonia.value.top:.2g}"))
