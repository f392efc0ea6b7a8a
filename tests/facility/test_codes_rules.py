"""Codes: the claim is that no single slip and no exchange of two characters passes.

The reference is the definition itself: every slip is made, none may pass.
"""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.rules.codes import ALPHABET, LENGTH, check, new_code, normalise, printed

SEEDS = st.binary(min_size=8, max_size=16)


@given(SEEDS)
def test_a_new_code_checks_and_is_seven_unambiguous_characters(seed: bytes) -> None:
    code = new_code(seed)

    assert check(code)
    assert len(code) == LENGTH == 7
    assert not set(code) & set("0O1ILU")


@given(SEEDS)
def test_every_wrong_character_is_caught(seed: bytes) -> None:
    code = new_code(seed)

    wrong = [
        code[:place] + other + code[place + 1 :]
        for place in range(LENGTH)
        for other in ALPHABET
        if other != code[place]
    ]

    assert len(wrong) == 7 * 28
    assert not any(map(check, wrong))


@given(SEEDS)
def test_every_exchange_of_two_characters_is_caught(seed: bytes) -> None:
    code = new_code(seed)

    for first, second in combinations(range(LENGTH), 2):
        changed = list(code)
        changed[first], changed[second] = code[second], code[first]
        assert code[first] == code[second] or not check("".join(changed))


def test_every_pair_of_neighbours_is_caught_when_exchanged() -> None:
    def closed(free: str) -> str:
        return next(free + last for last in ALPHABET if check(free + last))

    for left in ALPHABET:
        for right in ALPHABET:
            for place in range(5):
                free = "2" * place + left + right + "2" * (4 - place)
                code = closed(free)
                exchanged = code[:place] + right + left + code[place + 2 :]
                assert (left == right) == check(exchanged)


def test_each_six_characters_take_exactly_one_check_character() -> None:
    assert [sum(check(free + last) for last in ALPHABET) for free in ("222222", "ZYXWVT")] == [1, 1]


@given(SEEDS)
def test_the_printed_form_reads_back(seed: bytes) -> None:
    code = new_code(seed)

    assert printed(code) == f"{code[:3]}-{code[3:]}"
    assert normalise(printed(code)) == code


@pytest.mark.parametrize(
    "typed", ["abc-defg", " ABC DEFG ", "abc\u2013de\u00a0fg\n", "ＡＢＣ－ＤＥＦＧ"]
)
def test_case_spaces_and_dashes_do_not_matter(typed: str) -> None:
    assert normalise(typed) == "ABCDEFG"


@pytest.mark.parametrize("typed", ["", "222222", "22222222", "O222222", "22222é2", "22/2222"])
def test_what_is_not_a_code_does_not_check(typed: str) -> None:
    assert not check(normalise(typed))


def test_too_little_randomness_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="needs 8 random bytes; 7 came in"):
        new_code(b"1234567")


def test_codes_spread_over_the_whole_alphabet_in_every_place() -> None:
    codes = [new_code(n.to_bytes(8) * 2) for n in range(0, 29**4, 997)]

    assert all({code[place] for code in codes} == set(ALPHABET) for place in range(LENGTH))
