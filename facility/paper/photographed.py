"""Read back what was printed: the square codes (ISO/IEC 18004) in a photo of it."""

import io
import warnings
from typing import IO, Final

import zxingcpp
from PIL import Image, ImageOps, UnidentifiedImageError

LARGEST_BYTES: Final = 25_000_000
_MOST_PIXELS: Final = 60_000_000
# A label that fills a quarter of the picture has ten dots to a module at this size.
_ENOUGH_PX: Final = 1600
_FORMATS: Final = ("JPEG", "PNG", "WEBP")
_MOST_TEXT: Final = 500
_SQUARE: Final = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])


class UnreadablePhoto(ValueError):  # noqa: N818 - a sentence for a person
    """One sentence: why the picture cannot be looked at, and the mend."""


def codes_in(photo: IO[bytes]) -> list[str]:
    """Return what the square codes in a picture say, empty if there is none.

    Raises:
        UnreadablePhoto: too large, damaged, or of another kind.
    """
    picture = _opened(photo)
    for longest_px in (_ENOUGH_PX, max(picture.size)):
        if found := _read(_shrunk(picture, longest_px)):
            return found
    return []


def _opened(photo: IO[bytes]) -> Image.Image:
    content = photo.read(LARGEST_BYTES + 1)
    if len(content) > LARGEST_BYTES:
        raise UnreadablePhoto("Photo: larger than 25 MB; take one with the phone's usual camera.")
    try:
        with warnings.catch_warnings():
            # Size is judged here, before anything is unpacked.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(content), formats=_FORMATS)
            _require_few(picture)
            # A JPEG unpacks to a half or a quarter in a fraction of the time.
            picture.draft("L", (2 * _ENOUGH_PX, 2 * _ENOUGH_PX))
            return ImageOps.grayscale(picture)
    except UnidentifiedImageError as error:
        raise UnreadablePhoto("Photo: not a JPEG, PNG or WebP picture; take a new one.") from error
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        if isinstance(error, UnreadablePhoto):
            raise
        raise UnreadablePhoto("Photo: the file is damaged; take a new one.") from error


def _require_few(picture: Image.Image) -> None:
    width, height = picture.size
    if width * height > _MOST_PIXELS:
        raise UnreadablePhoto("Photo: more than 60 megapixels; take one at the usual size.")


def _shrunk(picture: Image.Image, longest_px: int) -> Image.Image:
    small = picture.copy()
    small.thumbnail((longest_px, longest_px))
    return small


def _read(picture: Image.Image) -> list[str]:
    found = zxingcpp.read_barcodes(picture, formats=_SQUARE)
    return [str(each.text)[:_MOST_TEXT] for each in found]
