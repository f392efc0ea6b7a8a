"""Ammonia or nitrite read again in a water that had been clear of it. Pure."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, Seen
from tanks.rules.alarms.free_ammonia import free_points
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.limits import NAMES

_FEW: Final = 2
_DAY: Final = timedelta(days=1)


def reappears(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield what is detected after so many days without; every reading since then shows it too."""
    points = known.of(rule.parameter)
    shown = _detected_since(rule, points)
    clear = _clear_before(rule, points, shown)
    if not shown or len(clear) < _FEW:
        return
    days = (shown[0].at - clear[0].at) / _DAY
    if days >= rule.number("days"):
        yield rule.sees(
            f"{NAMES[rule.parameter]} {shown[-1].read.text} ({shown[-1].code}), after "
            f"{int(days)} days with none.",
            tuple(key for point in shown for key in point.keys),
            level=ACT_NOW if _is_harmful(rule, known) else rule.level,
        )


def _detected_since(rule: Rule, points: Sequence[Point]) -> list[Point]:
    """The unbroken run of detections up to the latest reading, oldest first."""
    run: list[Point] = []
    for point in reversed(points):
        if not _is_detected(rule, point):
            break
        run.insert(0, point)
    return run


def _clear_before(rule: Rule, points: Sequence[Point], shown: Sequence[Point]) -> list[Point]:
    run: list[Point] = []
    for point in reversed(points[: len(points) - len(shown)]):
        if _is_detected(rule, point):
            break
        run.insert(0, point)
    return run


def _is_detected(rule: Rule, point: Point) -> bool:
    return point.interval.low > rule.number("above")


def _is_harmful(rule: Rule, known: Known) -> bool:
    """High pH, or that much of it un-ionised, makes it a matter of minutes."""
    ph, free = known.latest("PH"), free_points(known)
    act_now_ph, act_now_free = rule.figures.get("act_now_ph"), rule.figures.get("act_now_free")
    is_high = act_now_ph is not None and ph is not None and ph.interval.low > float(act_now_ph)
    is_toxic = act_now_free is not None and any(
        point.interval.low > float(act_now_free) for point in free[-1:]
    )
    return is_high or is_toxic
