"""Stored grey values in, grey in linear light out, with the tone curve that was undone.

A camera stores grey values on a curve, and everything measured on a photograph is measured
in linear light. `Light` keeps both together, so that no array is taken for linear unsaid.
"""

from dataclasses import dataclass, field

import numpy as np

from edgetest.errors import UnusableInput

SRGB_KNEE = 0.0031308  # IEC 61966-2-1, linear light below which the curve is a straight line
SATURATED_SHARE = 0.985  # of full scale; a JPEG ripples by a few levels under the clip
LUMINANCE_BGR = (0.0722, 0.7152, 0.2126)  # IEC 61966-2-1, linear light
LUMA_BGR = np.array([[0.114, 0.587, 0.299]], dtype=np.float32)  # JFIF, stored values
OWN_CURVE = "own curve"  # what a tone that was calibrated is called
ROUNDING = 1e-6  # a float picture may leave 0..1 by so much
TONES = 'one of "unknown", "srgb", "linear", a gamma such as 2.2, or the curve from stored '
TONES += "values 0..1 to linear light 0..1 as a function or as evenly spaced values"


@dataclass(frozen=True)
class Light:
    """A picture in linear light, indexed (row, column), and how sure its tone curve is.

    Attributes
    ----------
    grey : ndarray, float32, shape (rows, cols)
        Linear light, 0 to 1.
    saturated : ndarray of bool, shape (rows, cols), or None
        Where a channel stands at its upper end; None where no pixel does.
    tone : str
        The curve that was undone.
    tone_known : bool
        Whether the camera's curve is known: the caller named or calibrated it, or the file
        says that it holds linear light. If not, sRGB or what the file names was undone.
    tone_named : bool
        Whether the file names the curve of its values. That does not tell how the camera
        bent the light before it stored it.
    """

    grey: np.ndarray
    saturated: np.ndarray | None
    tone: str
    tone_known: bool
    tone_named: bool = field(default=False, kw_only=True)


def srgb_encode(linear):
    """Stored value 0..1 for linear light 0..1 (IEC 61966-2-1)."""
    linear = np.clip(np.asarray(linear, dtype=np.float32), 0.0, 1.0)
    curved = 1.055 * np.power(np.maximum(linear, SRGB_KNEE), 1 / 2.4) - 0.055
    return np.where(linear <= SRGB_KNEE, 12.92 * linear, curved)


def srgb_decode(stored):
    """Linear light 0..1 for stored value 0..1 (IEC 61966-2-1)."""
    stored = np.clip(np.asarray(stored, dtype=np.float32), 0.0, 1.0)
    curved = np.power((np.maximum(stored, 0.04045) + 0.055) / 1.055, 2.4)
    return np.where(stored <= 0.04045, stored / 12.92, curved)


def linear_light(pixels, tone):
    """Linear light of a picture that is held as an array.

    Parameters
    ----------
    pixels : array_like, shape (rows, cols), (rows, cols, 3) or (rows, cols, 4)
        Grey, RGB or RGBA (alpha is left aside): uint8, uint16 or floats from 0 to 1.
    tone : {"unknown", "srgb", "linear"}, float, array_like or callable
        Curve on which the values are stored: sRGB, none, a gamma, or linear light 0..1 as a
        function of the stored value 0..1 (an array holds it at evenly spaced values).
        "unknown" takes sRGB and says that it was assumed.

    Returns
    -------
    Light

    Raises
    ------
    UnusableInput
        If shape, type or range are not those of a picture, a value is not finite, or the
        curve does not rise from stored values to light.
    """
    stored = _checked_pixels(pixels)
    curve, known = tone_curve(tone)
    return light_of_stored(stored, stored_depth(stored)[1], curve, known)


def light_of_stored(stored, top, curve, known):
    """Linear light of stored values.

    Parameters
    ----------
    stored : ndarray, shape (rows, cols) or (rows, cols, 3)
        Grey, or blue, green and red: uint8, uint16 or float32.
    top : float
        The value that is full scale.
    curve, known
        As `tone_curve` returns them.

    Returns
    -------
    Light
    """
    grey, saturated = _linear_grey(stored, top, curve)
    name = OWN_CURVE if callable(curve) else curve
    return Light(grey, saturated, name if isinstance(name, str) else f"gamma {name:g}", known)


def grey_of(light):
    """Grey values of a `Light`, contiguous float32.

    Raises
    ------
    UnusableInput
        If it is an array: that does not say on which curve its values are stored.
    """
    if not isinstance(light, Light):
        what = f"a {type(light).__name__} does not say on which tone curve its values are stored"
        raise UnusableInput(
            what, where="light", mend="make linear light of it with linear_light(pixels, tone)"
        )
    return np.ascontiguousarray(light.grey, dtype=np.float32)


def tone_curve(tone):
    """The curve that a tone stands for, and whether it is known.

    Parameters
    ----------
    tone
        As for `linear_light`.

    Returns
    -------
    curve : str, float or callable
        "srgb", "linear", a gamma, or a function from stored value to light.
    known : bool

    Raises
    ------
    UnusableInput
        If it is no tone, or the curve does not rise within 0..1.
    """
    if isinstance(tone, str):
        if tone == "unknown":
            return "srgb", False
        if tone in ("srgb", "linear"):
            return tone, True
        raise UnusableInput(f'"{tone}" is no tone curve', "tone", TONES)
    if callable(tone):
        return _rising(tone), True
    try:
        values = np.asarray(tone, dtype=float)
    except (TypeError, ValueError):
        values = np.empty(0)
    if values.ndim == 0 and np.isfinite(values) and values > 0:
        return float(values), True
    if values.ndim != 1 or values.size < 2:
        raise UnusableInput(f"{tone!r} is no tone curve", "tone", TONES)
    places = np.linspace(0, 1, values.size)
    return _rising(lambda stored: np.interp(stored, places, values), values), True


def _rising(curve, values=None):
    """The curve, once its values are seen to rise within 0..1."""
    if values is None:
        values = np.asarray(curve(np.linspace(0, 1, 257, dtype=np.float32)), dtype=float)
    inside = np.isfinite(values).all() and values.min() >= 0 and values.max() <= 1 + ROUNDING
    if not inside or (np.diff(values) < 0).any() or values[-1] <= values[0]:
        said = f"the curve runs from {values[0]:g} to {values[-1]:g}"
        raise UnusableInput(f"{said} and does not rise within 0..1", "tone", TONES)
    return curve


def _checked_pixels(pixels):
    """Stored values as `light_of_stored` takes them; what is not a picture is refused."""
    try:
        pixels = np.asarray(pixels)
    except ValueError:
        raise UnusableInput("rows of unlike length", "pixels", "give one array") from None
    channels = pixels.shape[2:]
    if pixels.ndim not in (2, 3) or channels not in ((), (3,), (4,)) or pixels.size == 0:
        raise UnusableInput(
            f"an array of shape {pixels.shape} is not a picture",
            where="pixels",
            mend="give (rows, columns) for grey, (rows, columns, 3 or 4) for RGB or RGBA",
        )
    if pixels.dtype.kind == "u" and pixels.dtype.itemsize <= 2:
        stored = pixels.astype(f"u{pixels.dtype.itemsize}", copy=False)
    elif pixels.dtype.kind == "f":
        stored = pixels.astype(np.float32, copy=False)
        _check_range(stored)
    else:
        what = f"values of type {pixels.dtype} have no full scale"
        raise UnusableInput(what, where="pixels", mend="give uint8, uint16 or floats from 0 to 1")
    return np.ascontiguousarray(stored[..., 2::-1] if channels else stored)


def _check_range(stored):
    """Raise unless all values of a float picture are finite and from 0 to 1."""
    bad = ~np.isfinite(stored)
    if bad.any():
        place = ", ".join(str(index) for index in np.argwhere(bad)[0])
        what = (
            f"{np.count_nonzero(bad)} of {stored.size} values are not finite, the first is "
            f"{stored[bad][0]:g}"
        )
        raise UnusableInput(what, where=f"pixels[{place}]", mend="fill them in, or cut them off")
    low, high = float(stored.min()), float(stored.max())
    if low < -ROUNDING or high > 1 + ROUNDING:
        raise UnusableInput(
            f"floats from {low:g} to {high:g} leave the range 0 to 1",
            where="pixels",
            mend="divide by the value that is full scale (255, 65535), or give uint8 or uint16",
        )


def grey_values(stored, top):
    """Stored grey, 0 to 1, of a picture's stored values (luma where it has colours)."""
    import cv2  # a study without photographs needs none of it

    grey = stored if stored.ndim == 2 else cv2.transform(stored.astype(np.float32), LUMA_BGR)
    return np.asarray(grey, dtype=np.float32) / np.float32(top)


def stored_depth(stored):
    """Bits of the stored values and the value that is full scale."""
    if stored.dtype == np.uint8:
        return 8, 255.0
    if stored.dtype == np.uint16:
        # Microscope cameras put 10, 12 or 14 bits into a 16-bit file.
        most = int(stored.max())
        bits = next((b for b in (10, 12, 14) if 2 ** (b - 1) <= most < 2**b), 16)
        return (bits, 2.0**bits - 1) if most else (16, 65535.0)
    return 32, max(1.0, float(stored.max()))


def _linear_grey(stored, top, curve):
    """Grey in linear light, float32, and the mask of saturated pixels or None."""
    import cv2  # a study without photographs needs none of it

    if stored.dtype == np.uint8:
        table = _linear(np.arange(256, dtype=np.float32) / 255, curve)
    else:
        table = None
    weights, one_tint = _channel_weights(stored, top, curve)
    if one_tint and table is not None:
        # Rounded to whole levels the luma would carry the rounding of three channels.
        fine = _linear(np.arange(65536, dtype=np.float32) / (255 * 256), curve)
    rows = stored.shape[0]
    grey = np.empty(stored.shape[:2], dtype=np.float32)
    over = np.empty(stored.shape[:2], dtype=bool)
    for first in range(0, rows, 64):  # in strips, so that little memory is touched at once
        part = slice(first, min(first + 64, rows))
        block = stored[part]
        if weights is None:  # no colour in it: one channel tells all
            single = np.ascontiguousarray(block if block.ndim == 2 else block[..., 1])
            grey[part] = (
                cv2.LUT(single, table) if table is not None else _linear(single / top, curve)
            )
            over[part] = single >= SATURATED_SHARE * top
            continue
        if one_tint and table is not None:
            luma = cv2.transform(block.astype(np.uint16), 256 * LUMA_BGR)
            grey[part] = cv2.LUT(luma, fine)
        elif table is not None:
            grey[part] = cv2.transform(cv2.LUT(block, table), weights)
        else:
            grey[part] = cv2.transform(_linear(block.astype(np.float32) / top, curve), weights)
        over[part] = (block[..., weights[0] > 0] >= SATURATED_SHARE * top).any(axis=2)
    return grey, over if over.any() else None


def _linear(stored, curve):
    """Linear light for stored values 0..1."""
    if callable(curve):
        return np.asarray(curve(stored), dtype=np.float32)
    if curve == "srgb":
        return np.asarray(srgb_decode(stored), dtype=np.float32)
    if curve == "linear":
        return np.asarray(stored, dtype=np.float32)
    return np.power(np.asarray(stored, dtype=np.float32), np.float32(curve))


def _channel_weights(stored, top, curve):
    """Weights (1, 3) of blue, green, red, or None where the picture has no colour.

    Under coloured light one channel fills up before the others. A channel with far more
    saturated pixels than the emptiest one is left out: the rest still measure. Also tells
    whether one tint lies over the whole picture: then the stored luma, which a JPEG keeps
    at full resolution, carries the light too (each channel is the same curve times a
    constant, so their sum is).
    """
    if stored.ndim == 2:
        return None, False
    some = stored[:: max(1, stored.shape[0] // 200), :: max(1, stored.shape[1] // 400)]
    some = some.astype(np.float32)
    if np.abs(some - some[..., 1:2]).max() <= 0.012 * top:
        return None, False
    full = (some >= SATURATED_SHARE * top).mean(axis=(0, 1))
    level = some.mean(axis=(0, 1))
    keep = (full <= full.min() + 0.002) & (level > 0.2 * level.max())
    weights = np.asarray(LUMINANCE_BGR) * (keep if keep.any() else 1.0)
    weights = (weights / weights.sum())[None, :].astype(np.float32)
    if full.max() > 0.0005:
        return weights, False
    by_channel = _linear(some / top, curve) @ weights[0]
    by_luma = _linear(some @ LUMA_BGR[0] / top, curve)
    scale = float((by_channel * by_luma).sum() / max((by_luma**2).sum(), 1e-12))
    off = np.sqrt(np.mean((by_channel - scale * by_luma) ** 2))
    return weights, bool(off < 0.01 * np.ptp(by_channel) + 1e-6)
