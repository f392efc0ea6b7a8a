"""Dose entries with seeded errors, beside right ones, for the dose guard to be judged by."""

from deploy.bench.guarding.entries import GUARD_SEED as GUARD_SEED
from deploy.bench.guarding.entries import entries as entries
from deploy.bench.guarding.scene import Entry as Entry
from deploy.bench.guarding.truth import dangers as dangers
