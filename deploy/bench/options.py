"""What a bench may be asked for."""

from dataclasses import dataclass
from typing import Final

from deploy.bench.startups import REHEARSAL_SEED

CYCLES: Final = 340
MEMBERS: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    cycles: int = CYCLES
    seed: int = REHEARSAL_SEED
    members: int = MEMBERS
    workers: int = 1
