"""The set: every slip and every right kind of entry, some of each, always the same for a seed."""

import random
from typing import Final

from deploy.bench.guarding.rights import RIGHTS
from deploy.bench.guarding.scene import KINDS, Entry, scene
from deploy.bench.guarding.slips import SLIPS

GUARD_SEED: Final = 5301
OF_A_SLIP: Final = 8
OF_A_RIGHT: Final = 45


def entries(*, seed: int = GUARD_SEED) -> list[Entry]:
    """Return wrong and right entries; which of them is dangerous, ``truth`` tells."""
    chance = random.Random(seed)  # noqa: S311  invented entries, no secret
    wrong = [(make, agents, OF_A_SLIP) for make, agents in SLIPS]
    right = [(make, agents, OF_A_RIGHT) for make, agents in RIGHTS]
    return [
        make(scene(chance, chance.choice([one for one in KINDS if one.agent in agents])))
        for make, agents, count in (*wrong, *right)
        for _ in range(count)
    ]
