"""Where does one photograph lie on another that shows a part of the same? Sought, not yet fitted.

Normalised cross-correlation (by Fourier transform) of what changes along the edge. The edge's
band itself looks alike wherever along it, so it is taken out first. A place counts by its
correlation in units of what chance makes of pictures with such a grain (Bartlett's variance of
a correlation: grain that is alike over many pixels tells less than its pixels).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.fft import irfft2, next_fast_len, rfft2

SEARCHED_PX = 288  # longest side of the copies in which the place is sought
FITTED_PX = 640  # ... and in which it is fitted
LINE_SHARE = 0.12  # of a copy's width: what is alike over so much along the edge is its band
GROUND_PX = 12.0  # of a copy: light that changes more slowly is the lamp's
DARK_SHARE = 0.05  # of the mean light: darker ground has the sensor's own noise
# A speck, glint or scratch counts no more than so many spreads: of 40 pairs of frames all are
# found with 1, 2 or 4; the best rival's share falls from 0.95 (4) to 0.77 (2).
CLIPPED_SD = 2.0
LEAST_SIDES = (0.4, 0.08)  # of a frame's rows and columns: a narrower common part is not looked at
LOBE = 0.35  # of its own correlation: places nearer to the best are the same place


@dataclass(frozen=True)
class Frame:
    """The two reduced copies of a photograph in which its place is sought and fitted.

    Attributes
    ----------
    shape : (int, int)
        Rows and columns of the photograph.
    detail : ndarray
        What changes along the edge, and `detail_factor`, pixels of the photograph in one of its.
    light : ndarray
        Its light, hardly smoothed, and `light_factor`.
    """

    shape: tuple[int, int]
    detail: np.ndarray
    detail_factor: int
    light: np.ndarray
    light_factor: int


def frame_of(picture, like=None):
    """The copies of a picture in linear light, shape (rows, cols), reduced as another's."""
    picture = np.ascontiguousarray(picture, dtype=np.float32)
    light_factor, detail_factor = (
        (like.light_factor, like.detail_factor)
        if like is not None
        else (max(1, round(max(picture.shape) / longest)) for longest in (FITTED_PX, SEARCHED_PX))
    )
    light = cv2.GaussianBlur(_reduced(picture, light_factor), (0, 0), 1.0)
    detail = along_detail(against_ground(_reduced(picture, detail_factor)))
    return Frame(picture.shape, detail, detail_factor, light, light_factor)


def _reduced(picture, factor):
    """Copy by area means over squares of `factor` pixels."""
    rows, cols = (max(1, size // factor) for size in picture.shape)
    cut = np.ascontiguousarray(picture[: rows * factor, : cols * factor])
    return cv2.resize(cut, (cols, rows), interpolation=cv2.INTER_AREA)


def against_ground(picture):
    """Light against that of its surroundings, in units of its photon noise; hardly smoothed."""
    calm = cv2.GaussianBlur(picture, (0, 0), 1.0)
    ground = cv2.GaussianBlur(picture, (0, 0), GROUND_PX)
    floor = DARK_SHARE * float(ground.mean()) + 1e-9
    return (calm - ground) / np.sqrt(ground + floor)


def along_detail(fine):
    """The part that changes along the edge, outliers clipped, mean zero."""
    length = max(9, int(LINE_SHARE * fine.shape[1]) | 1)
    rest = fine - cv2.filter2D(fine, -1, _line(_band_turn_deg(fine), length))
    spread = float(rest.std())
    rest = np.clip(rest, -CLIPPED_SD * spread, CLIPPED_SD * spread)
    return rest - rest.mean()


def _band_turn_deg(fine):
    """Turn of the lines that run along the columns, by the structure tensor (degrees)."""
    down, right = cv2.Sobel(fine, cv2.CV_32F, 0, 1), cv2.Sobel(fine, cv2.CV_32F, 1, 0)
    along = np.abs(down) > np.abs(right)
    down, right = down[along], right[along]
    both = float((down * right).sum())
    apart = float((down * down).sum() - (right * right).sum())
    return float(np.rad2deg(0.5 * np.arctan2(-2 * both, apart)))


def _line(turn_deg, length):
    """Kernel that averages along a line."""
    half = length // 2
    kernel = np.zeros((length, length), np.float32)
    run = np.arange(-half, half + 1)
    row = half + run * np.tan(np.deg2rad(turn_deg))
    low = np.floor(row).astype(int)
    share = row - low
    for step, part in ((0, 1 - share), (1, share)):
        inside = (low + step >= 0) & (low + step < length)
        kernel[(low + step)[inside], (run + half)[inside]] += part[inside]
    return kernel / kernel.sum()


@dataclass(frozen=True)
class Place:
    """The best place of one copy on another, and how it stands against the others.

    Attributes
    ----------
    corner : ndarray, shape (2,)
        Of the turned copy, (row, column) in pixels of the other.
    turn_deg : float
        By which it was turned.
    likeness : float
        Correlation in the common part.
    clear : float
        That correlation in spreads of chance.
    rival : float
        The best other place's `clear` over it: near 1 where they fit in two places.
    """

    corner: np.ndarray
    turn_deg: float
    likeness: float
    clear: float
    rival: float


def best_place(a, b, turn_deg, reach=None):
    """Best place of `b`, turned about its middle, on `a`, over all that leave a common part.

    Parameters
    ----------
    a, b : ndarray
        Details of two frames.
    turn_deg : float
        From columns to rows.
    reach : float, optional
        Share of the sides by which the corners may lie apart; any where it is not given.

    Returns
    -------
    Place
    """
    rows, cols = b.shape
    if turn_deg:
        middle = ((cols - 1) / 2, (rows - 1) / 2)
        b = cv2.warpAffine(b, cv2.getRotationMatrix2D(middle, -turn_deg, 1.0), (cols, rows))
    size = [
        next_fast_len(one + other, real=True) for one, other in zip(a.shape, b.shape, strict=True)
    ]
    waves = [rfft2(part, size, workers=1) for part in (a, b)]
    own = [irfft2(np.abs(wave) ** 2, size, workers=1) for wave in waves]
    own = [part / max(float(part[0, 0]), 1e-12) for part in own]
    cell = max(float((own[0] * own[1]).sum()), 1.0)
    cross = irfft2(waves[0] * np.conj(waves[1]), size, workers=1)
    down, right = (
        np.arange(int(np.ceil(least)) - other, one - int(np.ceil(least)) + 1)
        for one, other, least in zip(a.shape, b.shape, _least_sides(a, b), strict=True)
    )
    if reach is not None:
        down, right = (
            way[np.abs(way) <= reach * n] for way, n in zip((down, right), a.shape, strict=True)
        )
    cross = cross[np.ix_(down % size[0], right % size[1])]
    power, area = _common(a, b.shape, down, right)
    power = np.sqrt(power * _common(b, a.shape, -down, -right)[0])
    likeness = cross / np.maximum(power, 1e-9 * float(power.max()) + 1e-12)
    clear = likeness * np.sqrt(area / cell)
    row, col = np.unravel_index(int(np.argmax(clear)), clear.shape)
    rivals = clear.copy()
    _strike_lobe(rivals, own[0], row, col)
    best = float(clear[row, col])
    rival = max(float(rivals.max()), 0.0) / max(best, 1e-9)
    corner = np.array([down[row], right[col]], dtype=float)
    return Place(corner, turn_deg, float(likeness[row, col]), best, rival)


def _least_sides(a, b):
    """Rows and columns that a common part must have."""
    smaller = np.minimum(a.shape, b.shape)
    return np.maximum(LEAST_SIDES * smaller, np.minimum(8, smaller))


def _common(a, shape, down, right):
    """Sum of squares and area of the part of `a` under a rectangle, for each of its places."""
    total = cv2.integral(a * a, sdepth=cv2.CV_64F)
    top, bottom = np.clip(down, 0, a.shape[0]), np.clip(down + shape[0], 0, a.shape[0])
    left, end = np.clip(right, 0, a.shape[1]), np.clip(right + shape[1], 0, a.shape[1])
    power = total[np.ix_(bottom, end)] - total[np.ix_(top, end)]
    power = power - total[np.ix_(bottom, left)] + total[np.ix_(top, left)]
    return power, np.outer(bottom - top, end - left).astype(float)


def _strike_lobe(clear, own, row, col):
    """Take the best place and those that its own correlation makes alike out of the rivals."""
    reach = min(40, *(size // 2 - 1 for size in own.shape))
    near = np.roll(own, (reach, reach), axis=(0, 1))[: 2 * reach + 1, : 2 * reach + 1]
    _, labels = cv2.connectedComponents((near > LOBE).astype(np.uint8))
    lobe = cv2.dilate((labels == labels[reach, reach]).astype(np.uint8), np.ones((7, 7), np.uint8))
    top, left = row - reach, col - reach
    low, high = max(0, top), max(0, left)
    part = clear[low : top + 2 * reach + 1, high : left + 2 * reach + 1]
    cut = lobe[low - top :, high - left :][: part.shape[0], : part.shape[1]]
    part[cut > 0] = -np.inf
