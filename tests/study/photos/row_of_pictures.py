"""A row of photographs as a camera writes them: each with its time, or without."""

import io
from functools import cache

import cv2
import numpy as np
from PIL import Image

from tests.browser.studies import photograph


@cache
def shot(number, *, second=None, part=None, kind="JPEG", width_um=5.0):
    """One photograph of a row, as bytes; `second` and `part` are what its camera wrote."""
    grey = cv2.imdecode(np.frombuffer(photograph(width_um, seed=number), np.uint8), 0)
    exif = Image.Exif()
    if second is not None:
        tags = {0x9003: f"2026:10:17 14:03:{second:02d}"}
        exif.get_ifd(0x8769).update(tags | ({} if part is None else {0x9291: f"{part:02d}"}))
    out = io.BytesIO()
    Image.fromarray(grey).save(out, kind, exif=exif)
    return out.getvalue()


def row(count, **more):
    """Name and content of `count` photographs, a second apart, named against their order."""
    return [(f"P{count - i:03d}.jpg", shot(i, second=i, **more)) for i in range(count)]
