"""Parts of a composed report, so that a page shows the same blocks as paper."""

from base64 import b64encode
from typing import Final

from django.template import Library

from facility.sockets.paper import Block, Picture

register: Final = Library()


@register.filter
def kind(block: Block) -> str:
    """Return ``table``, ``facts``, ``picture`` …: which piece of the page draws it."""
    return type(block).__name__.lower()


@register.filter
def source(picture: Picture) -> str:
    """Return the picture as an address that holds it."""
    return f"data:image/png;base64,{b64encode(picture.png).decode()}"
