"""Whatever a label or a hand says is one of our codes, or is never taken for one."""

from hypothesis import given
from hypothesis import strategies as st

from facility.rules.codes import ALPHABET, check, new_code, printed
from tanks.rules.scans import Kind, Said, said_by, said_together

CODE = new_code(b"12345678")
codes = st.binary(min_size=8, max_size=8).map(new_code)


@given(
    codes, st.sampled_from(["HTTP://SHOP.LAN/T/{}", "https://10.0.0.7:8443/t/{}/", "{}", " {} "])
)
def test_a_code_is_read_from_any_address_of_ours_and_by_hand(code: str, shape: str) -> None:
    for written in (code, code.lower(), printed(code)):
        assert said_by(shape.format(written)) == Said(Kind.OURS, code)


def test_a_query_behind_the_code_does_not_matter() -> None:
    assert said_by(f"https://shop.lan/T/{CODE}?from=camera").text == CODE


@given(codes, st.integers(0, 6), st.sampled_from(ALPHABET))
def test_one_wrong_character_is_a_slip_and_never_another_tank(
    code: str, place: int, other: str
) -> None:
    worn = code[:place] + other + code[place + 1 :]

    said = said_by(f"HTTP://SHOP.LAN/T/{worn}")

    assert said.kind == (Kind.OURS if worn == code else Kind.SLIP)


@given(st.text(max_size=200))
def test_no_text_at_all_crashes_or_is_taken_for_a_code_unchecked(text: str) -> None:
    said = said_by(text)

    assert said.kind is not Kind.OURS or check(said.text)
    assert said.kind is Kind.OURS or len(said.text) <= 80


def test_texts_of_other_systems_are_foreign() -> None:
    for text in (
        "https://menu.example/today",
        f"https://shop.example/tank/{CODE}",
        f"https://shop.example/t/{CODE}/x",
        "WIFI:S:backroom;T:WPA;P:secret;;",
        "MATMSG:TO:a@b.example;;",
        "a note that somebody once printed on a sticker",
    ):
        assert said_by(text).kind is Kind.FOREIGN, text


def test_a_hand_slips() -> None:
    for text in ("0O1I", CODE[:-1], f"{CODE}A", "é", "-"):
        assert said_by(text).kind is Kind.SLIP, text


def test_of_one_picture_ours_count_once_and_before_all_others() -> None:
    other = new_code(b"87654321")
    label, pump = f"HTTP://SHOP.LAN/T/{CODE}", "https://pump.example"

    assert said_together([pump, label, label]) == [Said(Kind.OURS, CODE)]
    assert [each.text for each in said_together([label, f"http://x/t/{other}"])] == [CODE, other]
    assert [each.kind for each in said_together([pump, "  "])] == [Kind.FOREIGN]
    assert said_together([]) == []
