"""PDF to pixels with poppler, a renderer that had no part in drawing them."""

import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

Pixels = npt.NDArray[np.uint8]


def printed_pages(pdf: bytes, folder: Path, *, dpi: int) -> list[Pixels]:
    """Return each page in grey levels; where poppler is absent, skip, or fail if CI is set."""
    if not shutil.which("pdftoppm"):
        _give_up("pdftoppm (poppler-utils) is not installed, so no page can be printed and read.")
    (folder / "printed.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", str(dpi), "-gray", "-png", "printed.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return [np.asarray(Image.open(page).convert("L")) for page in sorted(folder.glob("page*.png"))]


def _give_up(why: str) -> None:
    if os.environ.get("CI"):
        pytest.fail(why)
    pytest.skip(why)
