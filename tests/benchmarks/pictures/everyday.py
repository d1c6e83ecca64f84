"""Which everyday pictures, none of them a worn edge, are at hand? Seeded crops of installed ones.

Photographs, drawings, pages of text and diagrams lie in the packages that the tests need, and
under the system's shared folder. Each seed gives one crop, turned, scaled, in colour or grey, and
encoded again; the size of a crop runs from 200 to 1,200 pixels.
"""

import io
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

SUFFIXES = (".png", ".jpg", ".jpeg", ".gif", ".tif", ".tiff", ".webp")
SHARED = Path("/usr/share")
# Pictures less than this across are icons: nobody takes one for a photograph.
LEAST_SIDE = 150
MOST_SIDE = 1200
# Photographs that ship with packages the tests need, so that every machine has the same ones.
PACKAGED = (
    "matplotlib/mpl-data/sample_data/grace_hopper.jpg",
    "skimage/data/astronaut.png",
    "skimage/data/brick.png",
    "skimage/data/camera.png",
    "skimage/data/cell.png",
    "skimage/data/chelsea.png",
    "skimage/data/chessboard_GRAY.png",
    "skimage/data/clock_motion.png",
    "skimage/data/coffee.png",
    "skimage/data/coins.png",
    "skimage/data/color.png",
    "skimage/data/grass.png",
    "skimage/data/gravel.png",
    "skimage/data/horse.png",
    "skimage/data/hubble_deep_field.jpg",
    "skimage/data/ihc.png",
    "skimage/data/logo.png",
    "skimage/data/moon.png",
    "skimage/data/motorcycle_left.png",
    "skimage/data/motorcycle_right.png",
    "skimage/data/page.png",
    "skimage/data/phantom.png",
    "skimage/data/retina.jpg",
    "skimage/data/rocket.jpg",
    "skimage/data/text.png",
)
# Other packages that may be there, with drawings in them.
WITH_DRAWINGS = ("networkx", "scipy", "streamlit", "matplotlib", "skimage")


@cache
def packaged() -> tuple[Path, ...]:
    """Photographs of the packages that the tests need: the same on every machine."""
    found = []
    for name in PACKAGED:
        package, _, rest = name.partition("/")
        spec = find_spec(package)
        if spec and spec.origin and (path := Path(spec.origin).parent / rest).exists():
            found.append(path)
    return tuple(found)


@cache
def installed() -> tuple[Path, ...]:
    """`packaged`, and every other picture of this machine that is no icon."""
    roots = [SHARED]
    for package in WITH_DRAWINGS:
        spec = find_spec(package)
        if spec and spec.origin:
            roots.append(Path(spec.origin).parent)
    seen = list(packaged())
    for root in roots:
        for path in sorted(root.rglob("*")):
            if path.suffix.lower() in SUFFIXES and path not in seen and _large(path):
                seen.append(path)
    return tuple(seen)


def _large(path):
    try:
        with Image.open(path) as picture:
            return min(picture.size) >= LEAST_SIDE and max(picture.size) <= 6000
    except (OSError, Image.DecompressionBombError):
        return False


@cache
def _pixels(path):
    """A picture in colour, on white where it is clear: uint8 (rows, columns, 3)."""
    with Image.open(path) as picture:
        clear = picture.convert("RGBA")
    sheet = Image.new("RGBA", clear.size, "white")
    sheet.alpha_composite(clear)
    return np.asarray(sheet.convert("RGB"))


def _cut(pixels, rng):
    """A crop of 200 to 1,200 pixels, turned and scaled: corners that miss the picture mirror it."""
    side = np.exp(rng.uniform(np.log(200), np.log(MOST_SIDE)))
    shape = np.exp(rng.uniform(-0.35, 0.35))
    rows, columns = (int(np.clip(side * f, 200, MOST_SIDE)) for f in (1 / shape, shape))
    # Never so small a piece that nothing but a smear of a few pixels is left of it.
    fit = max(rows / pixels.shape[0], columns / pixels.shape[1])
    scale = fit * np.exp(rng.uniform(0, np.log(max(1.05, min(4.0, 2.5 / fit)))))
    turn = rng.choice([0.0, 90.0, 180.0, 270.0]) if rng.random() < 0.6 else rng.uniform(0, 360)
    room_x = max(0.0, pixels.shape[1] - columns / scale) / 2
    room_y = max(0.0, pixels.shape[0] - rows / scale) / 2
    middle = (
        pixels.shape[1] / 2 + rng.uniform(-room_x, room_x),
        pixels.shape[0] / 2 + rng.uniform(-room_y, room_y),
    )
    mapped = cv2.getRotationMatrix2D(middle, turn, scale)
    mapped[:, 2] += np.array([columns / 2, rows / 2]) - middle
    inside = pixels
    if scale < 0.7:
        inside = cv2.GaussianBlur(pixels, (0, 0), 0.4 / scale)
    return cv2.warpAffine(
        inside, mapped, (columns, rows), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT
    )


def _encoded(pixels, rng):
    picture = Image.fromarray(pixels)
    if rng.random() < 0.3:
        picture = picture.convert("L")
    file = io.BytesIO()
    if rng.random() < 0.7:
        picture.save(file, "JPEG", quality=int(rng.integers(40, 96)))
    else:
        picture.save(file, "PNG")
    return file.getvalue()


def everyday(seed: int, pictures: tuple[Path, ...] | None = None) -> tuple[bytes, str]:
    """One everyday picture as the bytes of a file, and the name of the picture it was cut from.

    Parameters
    ----------
    seed
        No two seeds give the same picture.
    pictures
        What is cut: `packaged` (the default) or `installed`.
    """
    rng = np.random.default_rng([seed, 41])
    pictures = pictures or packaged()
    # Photographs first: drawings and icons are many, and much alike.
    few = len(packaged())
    pick = rng.integers(few) if rng.random() < 0.65 else rng.integers(len(pictures))
    path = pictures[pick]
    return _encoded(_cut(_pixels(path), rng), rng), path.name
