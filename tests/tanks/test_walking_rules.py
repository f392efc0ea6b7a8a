"""The order of a walk: as people count, not as letters sort."""

from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.walking import walking_key


def test_nine_comes_before_ten_and_a_system_before_its_tanks() -> None:
    codes = ["S1-10", "S2", "S1-9", "a-2", "S1", "A-10", "S10"]

    assert sorted(codes, key=walking_key) == ["a-2", "A-10", "S1", "S1-9", "S1-10", "S2", "S10"]


@given(codes=st.lists(st.text(max_size=20)))
def test_any_codes_can_be_put_in_order(codes: list[str]) -> None:
    assert len(sorted(codes, key=walking_key)) == len(codes)
