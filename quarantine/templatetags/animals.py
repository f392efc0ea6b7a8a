"""Papers as words."""

from typing import Final

from django.template import Library

from quarantine.rules.papers import KINDS

register: Final = Library()


@register.filter
def paper_kind(code: str) -> str:
    return KINDS.get(code, code)
