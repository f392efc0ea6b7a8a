"""The nouns of quarantine."""

from quarantine.models.entries import Admission as Admission
from quarantine.models.entries import Stocking as Stocking
