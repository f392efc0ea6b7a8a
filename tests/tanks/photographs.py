"""Photographs of labels as a phone would take them: turned, tilted, out of focus, noisy.

Drawn, not taken: rotation, perspective, blur and noise stand in for a camera.
"""

import math
from io import BytesIO
from pathlib import Path

import numpy as np
import segno
from PIL import Image, ImageFilter

from facility.paper.labels import Label, label_sheets
from tanks.models import Vessel
from tests.facility.printing import Pixels, printed_pages

HOST = "HTTP://192.168.1.20:8000"
_LABEL_PX = (750, 450)


def printed_label(vessel: Vessel, folder: Path, *, host: str = HOST) -> Image.Image:
    """The newest label of a vessel as it comes off the sheet, at 300 dots an inch."""
    code = vessel.labels.order_by("made_at").last()
    assert code is not None
    drawn = Label(code=code.pk, name=vessel.code, place="Front room", url=f"{host}/T/{code.pk}")
    (page,) = printed_pages(label_sheets([drawn]), folder, dpi=300)
    return _first_label(page)


def square(text: str, *, dots: int = 12) -> Image.Image:
    """A square code of another system."""
    file = BytesIO()
    segno.make_qr(text).save(file, kind="png", scale=dots, border=6)
    return Image.open(file).convert("L")


def photographed(
    label: Image.Image, *, turned: float = 0, tilted: float = 0, blur_px: float = 0, seed: int = 1
) -> bytes:
    """A JPEG of 12 megapixels in which the label takes about a quarter of the width."""
    scene = Image.new("L", (4000, 3000), 96)
    near = label.resize((1100, round(1100 * label.height / label.width)))
    if tilted:
        near = near.transform(near.size, Image.Transform.PERSPECTIVE, _tilt(near.size, tilted))
    near = near.rotate(turned, expand=True, fillcolor=96)
    scene.paste(near, (1400, 900))
    scene = scene.filter(ImageFilter.GaussianBlur(blur_px))
    noise = np.random.default_rng(seed).normal(0, 6, (scene.height, scene.width))
    dots = np.clip(np.asarray(scene, dtype=float) + noise, 0, 255).astype(np.uint8)
    return jpeg(Image.fromarray(dots))


def jpeg(picture: Image.Image) -> bytes:
    file = BytesIO()
    picture.save(file, format="JPEG", quality=80)
    return file.getvalue()


def side_by_side(*labels: Image.Image) -> Image.Image:
    both = Image.new(
        "L", (sum(one.width for one in labels), max(one.height for one in labels)), 255
    )
    left = 0
    for one in labels:
        both.paste(one, (left, 0))
        left += one.width
    return both


def _first_label(page: Pixels) -> Image.Image:
    """The upper left label of the sheet; see A4_3_BY_7."""
    sheet = Image.fromarray(page)
    left, top = (round(each / 25.4 * 300) for each in (7.2, 15.15))
    return sheet.crop((left, top, left + _LABEL_PX[0], top + _LABEL_PX[1]))


def _tilt(size: tuple[int, int], degrees: float) -> tuple[float, ...]:
    """Coefficients of a picture seen from the side, its far edge shorter by the tilt's sine."""
    narrower = math.sin(math.radians(degrees)) / size[0]
    return (1, 0, 0, narrower * size[1] / 2, 1, 0, narrower, 0)
