"""How one photograph lies on its neighbour: shift, turn and zoom, or that it cannot be told.

Normalised cross-correlation (by Fourier transform) of what changes along the edge finds the
place; Gauss-Newton on the light then fits a similarity. The edge's band itself looks alike
wherever along it, so it is taken out first. A place is believed where its correlation stands
clear of every other place's, in units of what chance makes of pictures with such a grain.
"""

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from scipy.fft import irfft2, next_fast_len, rfft2

SMALLEST_PX = 48  # sides of a photograph: half of an overlap is still a place to look at
SEARCHED_PX = 288  # longest side of the copies in which the place is sought
FITTED_PX = 640  # ... and in which it is fitted
TURNS_DEG = (0.0, -1.5, 1.5, -3.0, 3.0)
LINE_SHARE = 0.12  # of a copy's width: what is alike over so much along the edge is its band
GROUND_SHARE = 0.05  # of a copy's width: light that changes more slowly is the lamp's
CLIPPED_SD = 4.0  # a speck or glint counts no more than so many spreads
LEAST_SIDE = 0.08  # of a frame's side: a narrower common part is not looked at
LOBE = 0.35  # of its own correlation: places nearer to the best are the same place
CLEAR = 7.0  # spreads of chance from which on a place is not chance
RIVAL = 0.8  # of the best place's correlation: another that has it is as good
ENOUGH = 0.5  # a correlation from which on no other turn is tried
MOST_ZOOM = 0.05
BLOCKS = (4, 6)
RIM_PX = 2
ROUNDS = 12


@dataclass(frozen=True)
class Laid:
    """Place of a photograph on its neighbour: point of the neighbour = corner + zoom * turned point.

    Attributes
    ----------
    corner_rc : ndarray, shape (2,)
        Place of its corner in pixels of the neighbour.
    turn_deg : float
        Turn from columns to rows that leads its directions to the neighbour's.
    zoom : float
        Pixels of the neighbour that one of its pixels covers.
    zoom_u, turn_u_deg : float
        Standard uncertainties.
    likeness : float
        Correlation of what changes along the edge, in the common part.
    clear : float
        That correlation in spreads of chance.
    rival : float
        The best other place's, over it: near 1 where the pictures fit in two places.
    """

    corner_rc: np.ndarray
    turn_deg: float
    zoom: float
    zoom_u: float
    turn_u_deg: float
    likeness: float
    clear: float
    rival: float

    @property
    def sure(self):
        """Whether the place is neither chance nor one of several as good."""
        return self.clear >= CLEAR and self.rival <= RIVAL

    @property
    def matrix(self):
        """(2, 3): from (row, column, 1) of the photograph to (row, column) of its neighbour."""
        return np.column_stack([self.zoom * turning(self.turn_deg), self.corner_rc])


def turning(turn_deg):
    """Matrix on (row, column) that turns columns towards rows."""
    c, s = np.cos(np.deg2rad(turn_deg)), np.sin(np.deg2rad(turn_deg))
    return np.array([[c, s], [-s, c]])


class Frame:
    """A photograph with the copies of it that laying needs, each made once."""

    def __init__(self, picture):
        self.picture = np.ascontiguousarray(picture, dtype=np.float32)
        self.shape = self.picture.shape

    def reduced(self, longest_px):
        """Copy by area means with its longest side near `longest_px`, and its factor."""
        factor = max(1, round(max(self.shape) / longest_px))
        rows, cols = (size // factor for size in self.shape)
        cut = self.picture[: rows * factor, : cols * factor]
        return cv2.resize(cut, (cols, rows), interpolation=cv2.INTER_AREA), factor

    @cached_property
    def fitted(self):
        """Copy for the fit: fine light against the ground's, and its factor."""
        small, factor = self.reduced(FITTED_PX)
        return against_ground(small), factor

    @cached_property
    def detail(self):
        """What changes along the edge in the copy that is searched, and its factor."""
        small, factor = self.reduced(SEARCHED_PX)
        return along_detail(against_ground(small)), factor


def against_ground(picture):
    """Light over that of its surroundings, less one, hardly smoothed."""
    calm = cv2.GaussianBlur(picture, (0, 0), 1.0)
    ground = cv2.GaussianBlur(picture, (0, 0), max(3.0, GROUND_SHARE * picture.shape[1]))
    floor = 0.05 * float(ground.mean()) + 1e-6
    return (calm - ground) / (ground + floor)


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
class _Found:
    """The best place of one copy on another, and how it stands against the others."""

    corner: np.ndarray  # (row, column) in pixels of the copy
    turn_deg: float
    likeness: float
    clear: float
    rival: float


def _search(a, b, turn_deg):
    """Best place of `b`, turned about its middle, on `a`, over all that leave a common part."""
    rows, cols = b.shape
    if turn_deg:
        middle = ((cols - 1) / 2, (rows - 1) / 2)
        b = cv2.warpAffine(b, cv2.getRotationMatrix2D(middle, -turn_deg, 1.0), (cols, rows))
    size = [next_fast_len(one + other, real=True) for one, other in zip(a.shape, b.shape, strict=True)]
    waves = [rfft2(part, size, workers=1) for part in (a, b)]
    own = [irfft2(np.abs(wave) ** 2, size, workers=1) for wave in waves]
    own = [part / max(float(part[0, 0]), 1e-12) for part in own]
    cell = max(float((own[0] * own[1]).sum()), 1.0)
    cross = irfft2(waves[0] * np.conj(waves[1]), size, workers=1)
    down, right = (
        np.arange(int(np.ceil(least)) - other, one - int(np.ceil(least)) + 1)
        for one, other, least in zip(a.shape, b.shape, _least_sides(a, b), strict=True)
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
    return _Found(corner, turn_deg, float(likeness[row, col]), best, rival)


def _least_sides(a, b):
    """Rows and columns that a common part must have."""
    rows, cols = (min(one, other) for one, other in zip(a.shape, b.shape, strict=True))
    return 0.4 * rows, max(LEAST_SIDE * cols, 8)


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


def lay(first, second):
    """Place of one photograph on another that shows a part of the same.

    Parameters
    ----------
    first, second : Frame

    Returns
    -------
    Laid
        `sure` says whether to believe it.
    """
    (a, factor), (b, other) = first.detail, second.detail
    found = None
    if factor == other and min(*first.shape, *second.shape) >= SMALLEST_PX:
        for turn in TURNS_DEG:
            tried = _search(a, b, turn)
            found = tried if found is None or tried.clear > found.clear else found
            if found.likeness > ENOUGH and found.clear > CLEAR:
                break
    if found is None:
        return Laid(np.zeros(2), 0.0, 1.0, np.inf, np.inf, 0.0, 0.0, 1.0)
    # The copy was turned about its middle, and a copy's pixel is `factor` of the photograph's.
    middle = (np.array(b.shape) - 1) / 2
    matrix = np.column_stack([turning(found.turn_deg), np.zeros(2)])
    matrix[:, 2] = found.corner + middle - matrix[:, :2] @ middle
    matrix[:, 2] = factor * matrix[:, 2] + _half(factor) - matrix[:, :2] @ _half(factor)
    matrix, cov = _fitted(first, second, matrix)
    zoom = float(np.sqrt(np.linalg.det(matrix[:, :2])))
    turn = float(np.rad2deg(np.arctan2(matrix[0, 1], matrix[0, 0])))
    far = abs(zoom - 1) > MOST_ZOOM
    zoom_u, turn_u = np.sqrt(np.diag(cov)[:2])
    return Laid(
        matrix[:, 2], turn, zoom, float(zoom_u), float(np.rad2deg(turn_u)),
        found.likeness, 0.0 if far else found.clear, found.rival,
    )  # fmt: skip


def _half(factor):
    """Where the middle of a copy's first pixel lies in the photograph: the same down and across."""
    return np.full(2, (factor - 1) / 2)


def _fitted(first, second, matrix):
    """The similarity near `matrix` that lays the light of both upon each other, and its covariance.

    Gauss-Newton, outliers weighed down (Huber). The covariance (of zoom, turn, row and column
    at the common part's middle) is that of the shifts which blocks of the common part ask for,
    so that lens distortion, dust and grain alike over many pixels widen it.
    """
    (a, factor), (b, _) = first.fitted, second.fitted
    inner = matrix.copy()
    inner[:, 2] = (matrix[:, 2] + matrix[:, :2] @ _half(factor) - _half(factor)) / factor
    cov = np.full((4, 4), np.inf)
    for turn in range(ROUNDS):
        state = _asked(a, b, inner)
        if state is None:
            return matrix, cov
        step, cov, middle = state
        change = np.eye(2) + np.array([[step[0], step[1]], [-step[1], step[0]]])
        inner[:, 2] = middle + step[2:] + change @ (inner[:, 2] - middle)
        inner[:, :2] = change @ inner[:, :2]
        if turn and np.abs(step[2:]).max() < 0.01 and np.abs(step[:2]).max() < 2e-5:
            break
    matrix = inner.copy()
    matrix[:, 2] = factor * inner[:, 2] + _half(factor) - inner[:, :2] @ _half(factor)
    return matrix, cov


def _asked(a, b, matrix):
    """Step (zoom, turn, row, column) that the light asks for, its covariance, and the middle."""
    corners = np.array([[0, 0], [0, b.shape[1] - 1], [b.shape[0] - 1, 0], [s - 1 for s in b.shape]])
    seen = corners @ matrix[:, :2].T + matrix[:, 2]
    low = np.clip(np.ceil(seen.min(axis=0)).astype(int), 0, np.array(a.shape))
    high = np.clip(np.floor(seen.max(axis=0)).astype(int) + 1, 0, np.array(a.shape))
    if (high - low).min() < 16:
        return None
    cut = a[low[0] : high[0], low[1] : high[1]]
    laid, inside = _brought(b, matrix, low, cut.shape)
    slopes = [cv2.Sobel((cut + laid) / 2, cv2.CV_32F, *order, scale=1 / 8) for order in ((0, 1), (1, 0))]
    inside = cv2.erode(inside, np.ones((2 * RIM_PX + 1, 2 * RIM_PX + 1), np.uint8))
    inside[:RIM_PX], inside[-RIM_PX:], inside[:, :RIM_PX], inside[:, -RIM_PX:] = 0, 0, 0, 0
    use = inside > 0
    if use.sum() < 256:
        return None
    gain = float((cut * laid)[use].sum()) / max(float((laid * laid)[use].sum()), 1e-12)
    off = np.where(use, max(gain, 0.2) * laid - cut, 0)
    usual = 1.4826 * float(np.median(np.abs(off[use]))) + 1e-9
    weight = np.where(use, np.minimum(1, 2 * usual / np.maximum(np.abs(off), 1e-9)), 0)
    middle = low + (np.array(cut.shape) - 1) / 2
    return (*_by_blocks(slopes, off, weight, low - middle), middle)


def _brought(b, matrix, low, shape):
    """`b` as it lies on the other copy from the pixel `low` on, and where it has light."""
    back = np.linalg.inv(matrix[:, :2])
    start = back @ (low - matrix[:, 2])
    warp = np.array([[back[1, 1], back[1, 0], start[1]], [back[0, 1], back[0, 0], start[0]]])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = shape[1], shape[0]
    return cv2.warpAffine(b, warp, size, flags=flags), cv2.warpAffine(
        np.ones(b.shape, np.uint8), warp, size, flags=cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP
    )


def _by_blocks(slopes, off, weight, corner):
    """Step of the similarity and its covariance from the shifts that blocks ask for."""
    rows = np.array_split(np.arange(off.shape[0]), BLOCKS[0])
    cols = np.array_split(np.arange(off.shape[1]), BLOCKS[1])
    row_edges, col_edges = ([part[0] for part in parts] for parts in (rows, cols))

    def blocks(values):
        part = np.add.reduceat(np.add.reduceat(values, row_edges, axis=0), col_edges, axis=1)
        return part.astype(float).ravel()

    down, right = (weight * slope for slope in slopes)
    power = np.array([
        [blocks(down * slopes[0]), blocks(down * slopes[1])],
        [blocks(right * slopes[0]), blocks(right * slopes[1])],
    ])  # fmt: skip
    pull = np.array([blocks(down * off), blocks(right * off)])
    y = np.repeat([corner[0] + part.mean() for part in rows], len(cols))
    x = np.tile([corner[1] + part.mean() for part in cols], len(rows))
    one, none = np.ones_like(x), np.zeros_like(x)
    # A place shifts by zoom, turn (columns towards rows), row and column.
    design = np.array([[y, x, one, none], [x, -y, none, one]])
    normal = np.einsum("ikn,ijn,jln->kl", design, power, design)
    normal += 1e-9 * np.trace(normal) * np.diag([1.0, 1.0, 1e-3, 1e-3])
    spread = np.linalg.inv(normal)
    step = spread @ np.einsum("ikn,in->k", design, pull)
    # What each block asks for beyond the step, squared: the sandwich covariance.
    rest = pull - np.einsum("ijn,jkn,k->in", power, design, step)
    scores = np.einsum("ikn,in->nk", design, rest)
    cov = spread @ (scores.T @ scores) @ spread * x.size / max(1, x.size - 4)
    return step, cov
