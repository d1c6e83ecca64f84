"""How does a picture of the guide become small enough for the wheel?"""

import io

import numpy as np
from PIL import Image

from edgetest.store.guide_pages import FOLDER

PICTURES = FOLDER / "pictures"
MOST_BYTES = 60_000
MUCH_LESS = 0.75  # of the lossless size, where losses are worth it


def keep(image, name, width=900, colours=48):
    """Write a drawing as lossless WebP of few colours, a photograph as WebP with losses.

    `image` is a PIL image, the bytes of one, or an (h, w, 3) array.
    """
    if isinstance(image, bytes):
        image = Image.open(io.BytesIO(image))
    elif isinstance(image, np.ndarray):
        image = Image.fromarray(image)
    image = image.convert("RGB")
    if image.width > width:
        tall = round(image.height * width / image.width)
        image = image.resize((width, tall), Image.Resampling.LANCZOS)
    path = PICTURES / name
    few = image.quantize(colours, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.convert("RGB").save(path, lossless=True, quality=100, method=6)
    soft = io.BytesIO()
    image.save(soft, "WEBP", quality=75, method=6)
    if len(soft.getvalue()) < MUCH_LESS * path.stat().st_size:
        path.write_bytes(soft.getvalue())
    assert path.stat().st_size < MOST_BYTES, (name, path.stat().st_size)
