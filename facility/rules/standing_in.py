"""What a stand-in leaves alone, whatever the house. Pure.

Common practice, no source: while the usual keepers are away nothing new is begun.
"""

from typing import Final

# What to leave alone, and why.
HOUSE_RULES: Final = (
    (
        "Start no treatment and change no dose plan",
        "It needs somebody who follows it to its end, under the direction the law asks for.",
    ),
    ("Take in no animals and move none", "New arrivals are watched by those who know them."),
    (
        "Clean or change no biofilter media",
        "A filter disturbed while nobody can test daily is found out too late.",
    ),
    (
        "Turn no valve that is not on your round",
        "It changes which tanks share water, and every dose after it.",
    ),
    ("Feed no more than the round says", "Less is mended tomorrow, more is not."),
)
CALL_FIRST: Final = (
    "Animals gasping at the surface, water on the floor, a smell of burning, no flow, no light: "
    "see to your own safety, then call the person on call before anything else."
)
