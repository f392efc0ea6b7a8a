"""Pictures as they come from phones, made small enough to keep. Pure."""

import io
import warnings
from typing import Final

from PIL import Image, ImageOps, UnidentifiedImageError

LARGEST_BYTES: Final = 25_000_000
_MOST_PIXELS: Final = 60_000_000
# Enough to count animals in a bag and to read its label.
_LONGEST_SIDE_PX: Final = 1600
_QUALITY: Final = 78
_FORMATS: Final = ("JPEG", "PNG", "WEBP")


class Unusable(ValueError):  # noqa: N818  the house names refusals by what is so
    """One sentence: why the picture cannot be kept, and the mend."""


def kept_jpeg(content: bytes) -> bytes:
    """Return the picture upright and small; where it was taken is left out.

    Raises:
        Unusable: too large, damaged, or of another kind.
    """
    if len(content) > LARGEST_BYTES:
        raise Unusable("Larger than 25 MB; take the photo with the phone's usual camera.")
    picture = _opened(content)
    try:
        canvas = ImageOps.exif_transpose(picture).convert("RGB")
        canvas.thumbnail((_LONGEST_SIDE_PX, _LONGEST_SIDE_PX))
    except (OSError, SyntaxError, ValueError) as error:
        raise Unusable("The file is damaged; take a new photo.") from error
    file = io.BytesIO()
    canvas.save(file, "JPEG", quality=_QUALITY, optimize=True)
    return file.getvalue()


def jpeg_size(content: bytes) -> tuple[int, int]:
    """Return width and height of a JPEG that can be drawn.

    Raises:
        Unusable
    """
    picture = _opened(content)
    if picture.format != "JPEG":
        raise Unusable("Not a JPEG picture; take a new photo.")
    try:
        picture.load()
    except (OSError, SyntaxError, ValueError) as error:
        raise Unusable("The file is damaged; take a new photo.") from error
    return picture.size


def _opened(content: bytes) -> Image.Image:
    try:
        with warnings.catch_warnings():
            # Size is judged here, before anything is unpacked.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(content), formats=_FORMATS)
    except UnidentifiedImageError as error:
        raise Unusable("Not a JPEG, PNG or WebP picture; take a new photo.") from error
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise Unusable("The file is damaged; take a new photo.") from error
    if picture.width * picture.height > _MOST_PIXELS:
        raise Unusable("More than 60 megapixels; take the photo at the usual size.")
    return picture
