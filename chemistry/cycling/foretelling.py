"""From what is known of cases to where their members stand and when each would pass."""

import hashlib
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.case import Case
from chemistry.cycling.case_text import write_case
from chemistry.cycling.course import Course
from chemistry.cycling.doubt import doubted
from chemistry.cycling.history import History, Life, live_each
from chemistry.cycling.inference import Ensemble, infer_each
from chemistry.cycling.integrator import FORECAST_STEP_H
from chemistry.cycling.plan import Outlook, follow_each
from chemistry.cycling.timeline import Timeline, timeline

_KEEP_EVERY_H: Final = 6.0
_BAND_DAYS: Final = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """One case as known at its now, its members and their past, and what is ahead of them."""

    case: Case
    plot: Timeline
    ensemble: Ensemble
    lived: History
    ahead: Outlook
    seconds: float


def foretell(cases: Sequence[Case], *, members: int) -> list[Foretold]:
    """Foretell several cases side by side, each as it would be alone."""
    began_s = time.perf_counter()
    known = [case.up_to_now() for case in cases]
    lives, believed = _believed(known, members)
    courses = [
        Course(case=case, state=lived.now, members=ensemble.members)
        for case, (ensemble, lived) in zip(known, believed, strict=True)
    ]
    ahead = follow_each(courses, kept_days=_BAND_DAYS)
    seconds = (time.perf_counter() - began_s) / max(len(known), 1)
    return [
        Foretold(
            case=life.case,
            plot=life.plot,
            ensemble=ensemble,
            lived=lived,
            ahead=outlook,
            seconds=seconds,
        )
        for life, (ensemble, lived), outlook in zip(lives, believed, ahead, strict=True)
    ]


def _believed(
    known: Sequence[Case], members: int
) -> tuple[list[Life], list[tuple[Ensemble, History]]]:
    """Return the lives, and the ensembles and histories once doubt is laid on them.

    One generator a case, from its text: the same readings give the same members.
    """
    rngs = [_generator(case) for case in known]
    ensembles = infer_each(known, count=members, rngs=rngs)
    lives = [
        Life(case=case, plot=_plot(case), members=ensemble.members)
        for case, ensemble in zip(known, ensembles, strict=True)
    ]
    histories = live_each(lives, precision=np.float32)
    return lives, [
        doubted(ensemble, lived, rng=rng)
        for ensemble, lived, rng in zip(ensembles, histories, rngs, strict=True)
    ]


def _generator(case: Case) -> np.random.Generator:
    digest = hashlib.sha256(write_case(case).encode()).digest()
    return np.random.default_rng(int.from_bytes(digest[:8], "big"))


def _plot(case: Case) -> Timeline:
    keep_h = [*np.arange(0.0, case.now_h, _KEEP_EVERY_H).tolist(), case.now_h]
    return timeline(case, keep_h=keep_h, longest_step_h=FORECAST_STEP_H)
