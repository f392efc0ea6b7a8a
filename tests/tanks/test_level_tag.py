"""How pressing a finding is, as drawn: level 1 asks for action now, 2 today, 3 for watching."""

import pytest
from django.template import engines


@pytest.mark.parametrize(
    ("number", "code", "word"),
    [
        (0, "in-range", "in range"),
        (1, "act-now", "act now"),
        (2, "act-today", "act today"),
        (3, "watch", "watch"),
    ],
)
def test_the_class_of_a_level_says_what_its_word_says(number: int, code: str, word: str) -> None:
    source = "{% load tanks %}{% level number %}"
    drawn = engines["django"].from_string(source).render({"number": number})

    assert drawn == f'<span class="badge {code}">{word}</span>'
