"""What the figures of a rule about deaths mean, and which values they take. Pure."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from facility.rules.wording import written

# Name: its words, the least and the most it may be.
FIGURES: Final[dict[str, tuple[str, float, float]]] = {
    "days": ("Within so many days", 0.25, 365),
    "rare": ("Calls when P is at most", 0.000001, 0.2),
    "baseline": ("Baseline, share that dies a day", 0.000001, 0.2),
    "least": ("Never below so many deaths", 1, 1000),
    "own": ("Use the site's own baseline once it is known (1 yes, 0 no)", 0, 1),
    "share": ("Share lost", 0.0001, 1),
    "deaths": ("Deaths without a known cause", 1, 1000),
    "times": ("Times as many as the day before", 1.1, 100),
    "hours": ("Within so many hours", 1, 336),
    "meals": ("Meals running", 1, 30),
}


def unfit(known: Mapping[str, Any], changed: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield each figure the rule does not have, or that is off its scale, with a sentence."""
    for name, value in changed.items():
        if name not in known or name not in FIGURES:
            yield name, "This rule has no such figure."
            continue
        words, low, high = FIGURES[name]
        if not isinstance(value, int | float) or not low <= value <= high:
            yield name, f"{words}: from {written(low)} to {written(high)}."
