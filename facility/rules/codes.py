"""The short code printed on a label: six characters and one that checks them.

The alphabet leaves out what a wet or worn label confuses: 0 O, 1 I L, U (read as V) and
S (read as 5). That leaves 29 characters, a prime number, so a weighted sum works as a check:

    1·c1 + 2·c2 + … + 7·c7 ≡ 0 (mod 29)

where c is a character's place in the alphabet and c7 is the check character. One wrong
character moves the sum by weight × difference, and two characters changed over move it by
(difference of weights) × (difference of characters). Neither is a multiple of 29, because each
factor is smaller than 29 and not zero. So every single slip and every exchange of two
characters, neighbours or not, is caught; of all other slips, 28 in 29.
"""

import unicodedata
from typing import Final

ALPHABET: Final = "23456789ABCDEFGHJKMNPQRTVWXYZ"
LENGTH: Final = 7
_MODULUS: Final = len(ALPHABET)
_FREE: Final = LENGTH - 1
_BYTES: Final = 8
_HEAD: Final = 3


def new_code(random_bytes: bytes) -> str:
    """Return the code these bytes stand for, check character included.

    Eight bytes or more, so that no code is likelier than another by more than 1 in 10^10.

    Raises:
        ValueError: fewer than eight bytes came in.
    """
    if len(random_bytes) < _BYTES:
        raise ValueError(f"A code needs {_BYTES} random bytes; {len(random_bytes)} came in.")
    rest = int.from_bytes(random_bytes)
    free = ""
    for _ in range(_FREE):
        rest, place = divmod(rest, _MODULUS)
        free += ALPHABET[place]
    return free + _check_character(free)


def check(code: str) -> bool:
    """Tell whether a code, as `normalise` returns it, is complete and free of slips."""
    return len(code) == LENGTH and set(code) <= set(ALPHABET) and _weighed(code) == 0


def normalise(text: str) -> str:
    """Return a code as typed without its spaces and dashes and in capitals.

    What cannot be part of a code stays, so that `check` refuses it.
    """
    wide = unicodedata.normalize("NFKC", text).upper()
    return "".join(c for c in wide if unicodedata.category(c) not in {"Pd", "Zs", "Cc", "Cf"})


def printed(code: str) -> str:
    """Return the code as people read it aloud: ABC-DEFG."""
    return f"{code[:_HEAD]}-{code[_HEAD:]}"


def _check_character(free: str) -> str:
    # 7·c7 ≡ -sum, so c7 is -sum times the inverse of 7; 7 has one because 29 is prime.
    return ALPHABET[-_weighed(free) * pow(LENGTH, -1, _MODULUS) % _MODULUS]


def _weighed(characters: str) -> int:
    places = (ALPHABET.index(character) for character in characters)
    return sum(weight * place for weight, place in enumerate(places, start=1)) % _MODULUS
