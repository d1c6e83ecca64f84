"""The one place that decodes a picture: file or bytes in, grey in linear light out.

The tone curve that is undone is the one the caller knows, else the one the file names (colour
profile, gamma tag, EXIF colour space), else sRGB. A file that names sRGB says how its values
are stored, not how the camera bent the light before: only the caller's curve, or linear light
that a file names, is `tone_known`, so that the doubt reaches the interval.
"""

import contextlib
import hashlib
import io
import re
import struct
import warnings
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import (
    Light,
    grey_values,
    light_of_stored,
    srgb_encode,
    stored_depth,
    tone_curve,
)
from edgetest.store.heic import heic_curve, is_heic, open_by_pillow, stored_of_heic

# The decoder prints what it meets on standard error; what a maker must know is told here.
cv2.utils.logging.setLogLevel(cv2.utils.logging.LOG_LEVEL_SILENT)
PNG_MARK = b"\x89PNG\r\n\x1a\n"
MOST_PIXELS = 80_000_000
KINDS = {"JPEG", "MPO", "PNG", "TIFF", "BMP", "WEBP", "HEIF"}
PICTURE_ENDINGS = ("jpg", "jpeg", "png", "tif", "tiff", "bmp", "webp", "heic", "heif")
# Densities that programs write by habit; they say nothing about a microscope.
HABITUAL_DPI = (72, 75, 90, 96, 100, 120, 144, 150, 180, 200, 240, 300, 350, 360, 400, 600, 1200)
UM_PER_INCH = 25400.0
BITS_TAG, KIND_TAG, FLOAT_KIND = 258, 339, 3  # of TIFF: BitsPerSample, SampleFormat
# What the reader raises for a header that is cut off or makes no sense.
HEADER_FAULTS = (OSError, SyntaxError, ValueError, TypeError, KeyError, EOFError, OverflowError)


class UnreadablePicture(UnusableInput):
    """A file that gives no picture; `code` is that of its doubt in doubts.toml."""

    def __init__(self, code, what, where, mend):
        super().__init__(what, where, mend)
        self.args = (code, what, where, mend)  # all four: survives a process pool
        self.code = code


@dataclass(frozen=True)
class Picture(Light):
    """A decoded photograph: its light, and what else its file tells.

    Attributes
    ----------
    bits : int
        Depth of the stored values.
    um_per_px_in_file : float or None
        Scale stored in the file, where it is plausible for a microscope.
    """

    bits: int
    width_px: int
    height_px: int
    um_per_px_in_file: float | None
    sha256: str
    name: str


def read_picture(source, *, name=None, tone=None):
    """Decode a JPEG, PNG, TIFF, BMP, WebP or HEIC picture.

    Parameters
    ----------
    source : str, Path or bytes
        The file, or what stands in it.
    name : str, optional
        What to call it in messages; the file's name by default.
    tone : {None, "srgb", "linear"} or float
        Curve of the stored values where it is known (a number is a gamma); None takes
        what the file says, and sRGB where it says nothing.

    Returns
    -------
    Picture

    Raises
    ------
    UnreadablePicture
        Not a picture, damaged, or more than 80 million pixels (asked before decoding).
    """
    data, name = _contents(source, name)
    header = _header(data, name)
    stored = _decode(data, name, header["grey"])
    found = stored.shape[0] * stored.shape[1]
    if header["pixels"] != found and header["frames"] == 1:
        what = f"the header promises {header['pixels']} pixels, {found} were found"
        raise _damaged(what, name)
    named = tone is None and header["tone_named"]
    curve, known = (header["tone"], False) if tone is None else tone_curve(tone)
    bits, top = stored_depth(stored)
    light = light_of_stored(stored, top, curve, known or (named and curve == "linear"))
    light = replace(light, tone_named=named)
    return Picture(
        **vars(light),
        bits=bits,
        width_px=light.grey.shape[1],
        height_px=light.grey.shape[0],
        um_per_px_in_file=header["um_per_px"],
        sha256=hashlib.sha256(data).hexdigest(),
        name=name,
    )


def scale_in_file(source, *, name=None):
    """µm per pixel that the file of a picture states, or None; the picture is not decoded.

    Raises
    ------
    UnreadablePicture
        If its header cannot be read.
    """
    return _header(*_contents(source, name))["um_per_px"]


def stored_grey(source, *, name=None):
    """Grey as a picture's file stores it, 0 to 1, its tone curve not undone.

    Raises
    ------
    UnreadablePicture
    """
    data, name = _contents(source, name)
    stored = _decode(data, name, _header(data, name)["grey"])
    return grey_values(stored, stored_depth(stored)[1])


def reduced_jpeg(picture, longest_px=1200, *, quality=85):
    """Small JPEG of a `Picture` or an array, for showing on a page.

    Parameters
    ----------
    picture : Picture or ndarray
        An array is shown as it is where it is uint8 (grey, or RGB), and taken as linear
        light 0..1 otherwise.
    longest_px : int
        Longest side; a smaller picture is not enlarged.

    Returns
    -------
    bytes
    """
    array = picture.grey if isinstance(picture, Picture) else np.asarray(picture)
    scale = longest_px / max(array.shape[:2])
    if scale < 1:
        size = [max(1, round(side * scale)) for side in (array.shape[1], array.shape[0])]
        array = cv2.resize(array, size, interpolation=cv2.INTER_AREA)
    if array.dtype != np.uint8:
        array = np.rint(255 * srgb_encode(array)).astype(np.uint8)
    elif array.ndim == 3:
        array = array[..., ::-1]
    return cv2.imencode(".jpg", array, [cv2.IMWRITE_JPEG_QUALITY, quality])[1].tobytes()


def _contents(source, name):
    """Bytes of the source and the name it goes by."""
    if isinstance(source, bytes | bytearray | memoryview):
        return bytes(source), name or "picture"
    path = Path(source)
    name = name or path.name
    try:
        return path.read_bytes(), name
    except OSError as error:
        what = f"the file cannot be read ({error.strerror or error})"
        raise UnreadablePicture("damaged_file", what, name, "check its name and place") from error


def _header(data, name):
    """Size, tone and scale that the header states, before anything is decoded."""
    from PIL import Image, UnidentifiedImageError

    if not data:
        raise _damaged("the file is empty", name)
    if is_heic(data):
        open_by_pillow()
    try:
        # Size is judged below, by our own limit.
        with warnings.catch_warnings(action="ignore"), Image.open(io.BytesIO(data)) as image:
            return _read_header(image, name)
    except Image.DecompressionBombError as error:
        raise _too_large(name, "far more than the limit of") from error
    except UnidentifiedImageError as error:
        if kept := _kept_too_deep(data):
            raise _too_deep(kept, name) from error
        raise _not_a_picture(data, name) from error
    except UnreadablePicture:
        raise
    except HEADER_FAULTS as error:
        raise _damaged(f"the header of the picture is damaged ({error})", name) from error


def _read_header(image, name):
    """The facts of an opened, not yet decoded, picture."""
    if image.format not in KINDS:
        raise UnreadablePicture(
            "not_a_picture",
            f"a {image.format} file is not a photograph this program reads",
            name,
            "save the photograph as JPEG, PNG, TIFF or HEIC",
        )
    pixels = image.width * image.height
    if pixels > MOST_PIXELS:
        raise _too_large(name, f"{image.width} x {image.height} pixels, the limit is")
    if image.mode in ("F", "I") and image.format == "TIFF":
        raise _too_deep("float numbers" if image.mode == "F" else "32 bits", name)
    tone, named = _tone_of(image)
    return {
        "pixels": pixels,
        "grey": image.mode in ("L", "I;16", "I;16B"),
        "frames": getattr(image, "n_frames", 1) if image.format == "TIFF" else 1,
        "tone": tone,
        "tone_named": named,
        "um_per_px": _scale_of(image),
    }


def _kept_too_deep(data):
    """How a TIFF that no reader knows keeps its values; "" where 8 or 16 bits are not exceeded."""
    from PIL.TiffImagePlugin import ImageFileDirectory_v2

    file = io.BytesIO(data)
    try:
        with warnings.catch_warnings(action="ignore"):  # of damaged tags: what is left is enough
            tags = ImageFileDirectory_v2(file.read(8))
            file.seek(tags.next)
            tags.load(file)
        bits, kind = max(tags.get(BITS_TAG, (1,))), tags.get(KIND_TAG, (1,))
        return "float numbers" if FLOAT_KIND in kind else f"{bits} bits" if bits > 16 else ""
    except (*HEADER_FAULTS, struct.error):
        return ""


def _too_deep(kept, name):
    return UnreadablePicture("too_deep", f"its values are kept as {kept}", name,
                             "save it with 8 or 16 bits")  # fmt: skip


def _damaged(what, name):
    return UnreadablePicture("damaged_file", what, name, "copy it from the camera again")


def _too_large(name, what):
    millions = MOST_PIXELS // 1_000_000
    return UnreadablePicture(
        "too_large",
        f"{what} {millions} million pixels",
        name,
        "cut the picture to the part that shows the edge, or save it smaller",
    )


def _not_a_picture(data, name):
    """Why bytes that no reader knows are no picture, with the mend that fits."""
    if is_heic(data):
        return _damaged("the picture is damaged", name)
    if data[4:8] == b"ftyp":
        what, mend = "a film cannot be read", "save one photograph as JPEG or HEIC"
    elif data[:2] == b"\xff\xd8" or data[:4] in (b"\x89PNG", b"II*\0", b"MM\0*"):
        return _damaged("the picture is damaged", name)
    else:
        what = "the file is not a picture"
        mend = "give a photograph saved as JPEG, PNG, TIFF or HEIC"
    return UnreadablePicture("not_a_picture", what, name, mend)


def _tone_of(image):
    """Curve that the file names, and whether it names one."""
    profile = image.info.get("icc_profile") or b""
    if b"sRGB" in profile or "sRGB".encode("utf-16-be") in profile or "srgb" in image.info:
        return "srgb", True
    curve = heic_curve(image.info)
    if curve:
        return curve, True
    gamma = image.info.get("gamma")
    if gamma:
        if abs(gamma - 1) < 0.02:
            return "linear", True
        # 1/2.2 is what programs write beside an sRGB picture (PNG specification, 11.3.2.5).
        return ("srgb", True) if abs(gamma - 0.45455) < 0.005 else (1 / gamma, True)
    with contextlib.suppress(OSError, SyntaxError, ValueError, TypeError, AttributeError):
        # A PNG without the chunk would be decoded in full to look behind its pixels.
        if image.format != "PNG" or "exif" in image.info:
            colour_space = image.getexif().get_ifd(0x8769).get(0xA001)
            return "srgb", colour_space == 1  # EXIF: 1 is sRGB
    return "srgb", False


def _scale_of(image):
    """µm per pixel from the resolution tags, or None where it is not a microscope's."""
    um_per_px = None
    if image.format == "TIFF":
        tags = image.tag_v2
        per_unit, unit = tags.get(282), tags.get(296, 2)
        described = str(tags.get(270, ""))
        if per_unit and re.search(r"unit=(micron|um|µm|\\u00B5m)", described):
            um_per_px = 1 / float(per_unit)
        elif per_unit and unit in (2, 3):
            um_per_px = (UM_PER_INCH if unit == 2 else 1e4) / float(per_unit)
    elif image.info.get("dpi"):
        per_inch = float(image.info["dpi"][0])
        um_per_px = UM_PER_INCH / per_inch if per_inch > 0 else None
    if um_per_px is None or not 0.01 <= um_per_px <= 20:
        return None
    habitual = any(abs(UM_PER_INCH / um_per_px - dpi) < 0.5 for dpi in HABITUAL_DPI)
    return None if habitual else um_per_px


def _chunks_fit(data):
    """Whether the chunks of a PNG lie within its file: the decoder takes room for what they say."""
    at = len(PNG_MARK)
    while data.startswith(PNG_MARK) and data[at + 4 : at + 8] != b"IEND":
        at += 12 + int.from_bytes(data[at : at + 4], "big")  # length, name, content, checksum
        if at + 8 > len(data):
            return False
    return True


def _decode(data, name, grey):
    """Stored values, shape (rows, cols, 3) BGR or, of a grey file, (rows, cols), turned upright."""
    if not _chunks_fit(data):
        raise _damaged("the picture breaks off or is damaged", name)
    flags = cv2.IMREAD_ANYDEPTH | (cv2.IMREAD_GRAYSCALE if grey else cv2.IMREAD_COLOR)
    try:
        if is_heic(data):
            stored = stored_of_heic(data)
        else:
            stored = cv2.imdecode(np.frombuffer(data, dtype=np.uint8), flags)
    except (cv2.error, RuntimeError, *HEADER_FAULTS):
        stored = None
    if stored is None or (data[:2] == b"\xff\xd8" and b"\xff\xd9" not in data[-65536:]):
        raise UnreadablePicture(
            "damaged_file", "the picture breaks off or is damaged", name, "copy it again"
        )
    return stored
