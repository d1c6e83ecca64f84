"""What may a reader of pictures be handed that is no picture? Damaged files and odd arrays.

Every seed gives a name that says what is wrong, and either the bytes of a file or an array.
"""

import io
from collections.abc import Callable
from functools import cache

import cv2
import numpy as np
from PIL import Image

from tests.benchmarks.pictures.kinds import picture

Handed = bytes | np.ndarray


def _band(rng, rows=None, columns=None):
    """A grey picture with a bright band across it, uint8 (rows, columns)."""
    rows = rows or int(rng.integers(120, 480))
    columns = columns or int(rng.integers(160, 640))
    across = np.arange(rows, dtype=np.float32)[:, None]
    middle = rng.uniform(0.3, 0.7) * rows + rng.uniform(-0.1, 0.1) * np.arange(columns)
    half = rng.uniform(4, max(5, rows / 10))
    light = 0.1 + 0.6 / (1 + ((across - middle) / half) ** 8)
    light = light * rng.normal(1, 0.06, light.shape)
    return np.clip(255 * light, 0, 255).astype(np.uint8)


def _file(pixels, rng, kind=None):
    kind = kind or rng.choice(["JPEG", "PNG", "TIFF", "BMP"])
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, kind)
    return file.getvalue()


def _truncated(rng):
    data = _file(_band(rng), rng)
    return data[: int(len(data) * rng.choice([0.0, 0.001, 0.01, 0.2, 0.5, 0.9, 0.995]))]


def _flipped(rng):
    data = np.frombuffer(_file(_band(rng), rng), np.uint8).copy()
    start = rng.choice([0, 20, min(700, len(data) // 2)])
    for place in rng.integers(start, len(data), int(rng.integers(1, 60))):
        data[place] ^= np.uint8(1 << rng.integers(8))
    return data.tobytes()


def _no_picture(rng):
    return [
        b"",
        b"\0",
        b"\0" * 5000,
        b"\xff\xd8\xff\xe0",
        b"\x89PNG\r\n\x1a\n",
        b"blade,stage,width_um\nA,0,12\n",
        rng.bytes(int(rng.integers(1, 20000))),
        b"%PDF-1.7\n" + rng.bytes(300),
        b"<svg xmlns='http://www.w3.org/2000/svg' width='40' height='40'/>",
    ][rng.integers(9)]


def _claims_to_be_huge(rng):
    """A small PNG whose header states a vast picture."""
    data = bytearray(_file(_band(rng), rng, "PNG"))
    size = int(rng.choice([0, 60_000, 2**31 - 1]))
    data[16:24] = size.to_bytes(4, "big") * 2
    return bytes(data)


def _zeroed(rng):
    data = bytearray(_file(_band(rng), rng))
    start = int(rng.integers(0, len(data)))
    stop = min(len(data), start + int(rng.integers(1, 4000)))
    data[start:stop] = bytes(stop - start)
    return bytes(data)


def _tail(rng):
    """A whole picture followed by rubbish, or preceded by it."""
    data, rubbish = _file(_band(rng), rng), rng.bytes(500)
    return data + rubbish if rng.random() < 0.5 else rubbish + data


def _odd_mode(rng):
    """Files of colour modes that cameras do not write: palette, CMYK, alpha, 16 bit."""
    pixels = Image.fromarray(_band(rng))
    mode = rng.choice(["1", "P", "LA", "RGBA", "CMYK", "I;16", "I", "F"])
    file = io.BytesIO()
    if mode in ("1", "P", "LA", "RGBA"):
        pixels.convert(mode).save(file, "PNG")
    elif mode == "I;16":
        wide = np.asarray(pixels).astype(np.uint16) * 257
        file.write(cv2.imencode(".png", wide)[1].tobytes())
    else:
        pixels.convert(mode).save(file, "TIFF")
    return file.getvalue()


def _several_frames(rng):
    frames = [Image.fromarray(_band(rng, 200, 260)) for _ in range(3)]
    file = io.BytesIO()
    frames[0].save(file, rng.choice(["GIF", "TIFF"]), save_all=True, append_images=frames[1:])
    return file.getvalue()


def _line(rng):
    long = int(rng.choice([1, 2, 3, 40, 2000]))
    pixels = _band(rng, 64, max(long, 2))[:1, :long]
    pixels = pixels.T if rng.random() < 0.5 else pixels
    return np.ascontiguousarray(pixels) if rng.random() < 0.5 else _file(pixels, rng, "PNG")


def _tiny(rng):
    rows, columns = (int(n) for n in rng.integers(2, 24, 2))
    pixels = _band(rng)[:rows, :columns].copy()
    return pixels if rng.random() < 0.5 else _file(pixels, rng, "PNG")


def _long_and_thin(rng):
    rows, columns = int(rng.integers(2, 12)), int(rng.integers(3000, 12000))
    pixels = _band(rng, 60, columns)[25 : 25 + rows]
    pixels = np.ascontiguousarray(pixels.T if rng.random() < 0.5 else pixels)
    return pixels if rng.random() < 0.5 else _file(pixels, rng, "PNG")


def _constant(rng):
    value = int(rng.choice([0, 1, 40, 128, 254, 255]))
    pixels = np.full(rng.integers(30, 600, 2), value, np.uint8)
    return pixels if rng.random() < 0.5 else _file(pixels, rng)


def _checks(rng):
    """Two levels, alternating: every pixel an outlier of its neighbours."""
    rows, columns = rng.integers(30, 400, 2)
    pixels = ((np.add.outer(np.arange(rows), np.arange(columns)) % 2) * 255).astype(np.uint8)
    return pixels if rng.random() < 0.5 else _file(pixels, rng, "PNG")


def _not_finite(rng):
    pixels = _band(rng).astype(rng.choice([np.float32, np.float64])) / 255
    bad = rng.choice([np.nan, np.inf, -np.inf, 1e30, -5.0])
    share = rng.choice([1e-5, 0.01, 0.5, 1.0])
    pixels[rng.random(pixels.shape) < share] = bad
    if rng.random() < 0.3:
        pixels[:, : pixels.shape[1] // 2] = bad
    return pixels


def _odd_type(rng):
    pixels = _band(rng)
    kind = rng.integers(10)
    if kind == 0:
        return pixels > 128
    if kind == 1:
        return pixels.astype(np.int64) - 300
    if kind == 2:
        return pixels.astype(complex)
    if kind == 3:
        return pixels.astype(object)
    if kind == 4:
        return np.array("picture")
    if kind == 5:
        return pixels.astype(np.float16)
    if kind == 6:
        return pixels.astype(">u2")
    if kind == 7:
        return pixels[::-2, ::-3]
    if kind == 8:
        return np.asfortranarray(pixels)
    return pixels.astype(str)


def _odd_shape(rng):
    pixels = _band(rng)
    return [
        pixels[..., None],
        pixels.ravel(),
        np.repeat(pixels[..., None], 2, axis=2),
        np.repeat(pixels[..., None], 4, axis=2),
        np.repeat(pixels[..., None], 5, axis=2),
        np.repeat(pixels[None], 3, axis=0),
        pixels[None, ..., None],
        np.zeros((0, 40), np.uint8),
        np.zeros((40, 0), np.uint8),
        np.zeros((0, 0, 3), np.uint8),
        np.array(7),
        np.array([]),
    ][rng.integers(12)]


@cache
def _edge_picture(kind):
    """A made picture of an edge, decoded: uint8 (rows, columns) or (rows, columns, 3)."""
    data = np.frombuffer(picture(kind, 0).data, np.uint8)
    return cv2.imdecode(data, cv2.IMREAD_COLOR_RGB)


def _small_crop(rng):
    """A crop out of a picture of an edge, from 3 by 3 pixels up, half of them about its land."""
    whole = _edge_picture(str(rng.choice(["plain", "chipped", "wide", "ring", "defocused"])))
    high, wide = whole.shape[:2]
    rows, columns = (int(n) for n in np.exp(rng.uniform(np.log(3), np.log(200), 2)))
    y, x = int(rng.integers(0, high - rows)), int(rng.integers(0, wide - columns))
    if rng.random() < 0.5:
        bright = int(whole[:, x, 1].argmax()) - int(rng.integers(0, rows))
        y = int(np.clip(bright, 0, high - rows))
    cut = whole[y : y + rows, x : x + columns].copy()
    return cut if rng.random() < 0.5 else _file(cut, rng, "PNG")


def _huge(rng):
    """A sound picture of many more pixels than a microscope needs."""
    small = _band(rng, 300, 400)
    return _file(cv2.resize(small, None, fx=12, fy=12), rng, "JPEG")


DAMAGES: dict[str, Callable[[np.random.Generator], Handed]] = {
    "cut short": _truncated,
    "bits flipped": _flipped,
    "no picture at all": _no_picture,
    "states a false size": _claims_to_be_huge,
    "zeros inside": _zeroed,
    "rubbish around": _tail,
    "odd colour mode": _odd_mode,
    "several frames in one file": _several_frames,
    "one line of pixels": _line,
    "tiny": _tiny,
    "long and thin": _long_and_thin,
    "one value throughout": _constant,
    "checks": _checks,
    "not finite": _not_finite,
    "odd type": _odd_type,
    "odd shape": _odd_shape,
    "small crop": _small_crop,
    "very large": _huge,
}


def damaged(seed: int, of: tuple[str, ...] = tuple(DAMAGES)) -> tuple[Handed, str]:
    """A damaged file (bytes) or an odd array, and what is wrong with it: a key of `DAMAGES`."""
    rng = np.random.default_rng([seed, 43])
    name = of[seed // 2 % len(of)]  # each damage has even seeds and odd ones
    return DAMAGES[name](rng), name
