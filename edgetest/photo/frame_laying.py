"""How one photograph lies on its neighbour: shift, turn and zoom, or that it cannot be told.

The place is sought on reduced copies (`edgetest.photo.frame_search`); Gauss-Newton on the light
of finer copies then fits a similarity. A place is believed where its correlation stands clear of
chance and of every other place's.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.photo.frame_search import best_place

SMALLEST_PX = 48  # sides of a photograph: half of an overlap is still a place to look at
# Turns that are tried: one within 1° is found at 0, and the next stands 1.5° further.
TURNS_DEG = (0.0, -1.5, 1.5, -3.0, 3.0)
ENOUGH = 0.5  # a correlation from which on no other turn is tried
# Made pictures, even seeds, 67 pairs of frames that overlap and 130 that do not (where a scratch or
# a bent band may lie on another's): right places stand 8.8 spreads clear and more, with rivals to
# 0.80; on a texture that repeats itself wrong places have rivals from 0.93 on. That blocks agree
# all over, not a scratch alone, parts them: 66 of 67 from 9.3 on, without a common part to 8.2.
CLEAR, RIVAL, AGREED = 7.0, 0.81, 9.0
WEIGHED = 2.0  # power of a block's detail in its weight: with 1 half the weight may be noise
AGREE_PX = 16  # side of a block of the copy that is searched
LEAST_BLOCKS = 8
MOST_ZOOM = 0.05  # a step of more is another set-up
MOST_ASTRAY_PX = 6.0  # of the copy that was searched: a fit that ends farther off has run away
BLOCK_PX = 36  # side of a block of the copy that is fitted
RIM_PX = 2  # of a copy: pixels at a border, whose light is half the other side's
ROUNDS = 12
LEAST_SEEN, LEAST_SIDE_PX = 256, 16  # pixels of common light, and its sides
WHOLE = 0.7  # of a block must be seen


@dataclass(frozen=True)
class Laid:
    """Place of a photograph on its neighbour, whose point = corner + zoom * turned own point.

    Attributes
    ----------
    corner_rc : ndarray, shape (2,)
        Place of its corner in pixels of the neighbour.
    middle_rc : ndarray, shape (2,)
        Middle of the common part, there.
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
    agreed : float
        Median correlation of the blocks of the common part over its standard error.
    """

    corner_rc: np.ndarray
    middle_rc: np.ndarray
    turn_deg: float
    zoom: float
    zoom_u: float
    turn_u_deg: float
    likeness: float
    clear: float
    rival: float
    agreed: float = 0.0

    @property
    def sure(self):
        """Whether the place is neither chance nor one of several as good."""
        return self.clear >= CLEAR and self.rival <= RIVAL and self.agreed >= AGREED

    @property
    def matrix(self):
        """(2, 3): from (row, column, 1) of the photograph to (row, column) of its neighbour."""
        return np.column_stack([self.zoom * turning(self.turn_deg), self.corner_rc])

    @property
    def unzoomed(self):
        """As `matrix` with a zoom of 1, laid on the same place in the common part's middle."""
        turned = turning(self.turn_deg)
        seen = np.linalg.solve(self.zoom * turned, self.middle_rc - self.corner_rc)
        return np.column_stack([turned, self.middle_rc - turned @ seen])


def turning(turn_deg):
    """Matrix on (row, column) that turns columns towards rows."""
    c, s = np.cos(np.deg2rad(turn_deg)), np.sin(np.deg2rad(turn_deg))
    return np.array([[c, s], [-s, c]])


def lay(first, second, *, reach=None):
    """Place of one photograph on another that shows a part of the same.

    Parameters
    ----------
    first, second : Frame
    reach : float, optional
        Share of the sides by which their corners may lie apart.

    Returns
    -------
    Laid
        `sure` says whether to believe it.
    """
    found = best_place(first.detail, second.detail, TURNS_DEG[0], reach)
    for turn in TURNS_DEG[1:]:
        if found.likeness > ENOUGH and found.clear > CLEAR:
            break
        tried = best_place(first.detail, second.detail, turn, reach)
        found = tried if tried.clear > found.clear else found
    if found.clear < CLEAR or found.rival > RIVAL:  # not worth a fit
        zero, unknown = np.zeros(2), np.inf
        return Laid(zero, zero, found.turn_deg, 1.0, unknown, unknown,
                    found.likeness, found.clear, found.rival)  # fmt: skip
    # The copy was turned about its middle, and a copy's pixel is `factor` of the photograph's.
    middle = (np.array(second.detail.shape) - 1) / 2
    start = np.column_stack([turning(found.turn_deg), np.zeros(2)])
    start[:, 2] = found.corner + middle - start[:, :2] @ middle
    start = _unreduced(start, first.detail_factor)
    matrix, cov, middle = _fitted(first, second, start)
    zoom = float(np.sqrt(np.linalg.det(matrix[:, :2])))
    turn = float(np.rad2deg(np.arctan2(matrix[0, 1], matrix[0, 0])))
    astray = (matrix - start)[:, :2] @ np.linalg.solve(matrix[:, :2], middle - matrix[:, 2])
    astray = np.abs(astray + matrix[:, 2] - start[:, 2]).max() / first.detail_factor
    fits = np.isfinite(cov).all() and abs(zoom - 1) < MOST_ZOOM and astray < MOST_ASTRAY_PX
    zoom_u, turn_u = np.sqrt(np.diag(cov)[:2])
    return Laid(
        matrix[:, 2], middle, turn, zoom, float(zoom_u), float(np.rad2deg(turn_u)),
        found.likeness, found.clear if fits else 0.0, found.rival,
        _agreed(first, second, matrix) if fits else 0.0,
    )  # fmt: skip


def _unreduced(matrix, factor):
    """The same place in pixels of the photographs, of which a copy's pixel covers `factor`."""
    half = np.full(2, (factor - 1) / 2)  # the middle of a copy's first pixel
    shift = factor * matrix[:, 2] + half - matrix[:, :2] @ half
    return np.column_stack([matrix[:, :2], shift])


def _reduced(matrix, factor):
    """The same place in pixels of copies, of which each covers `factor` of the photographs'."""
    half = np.full(2, (factor - 1) / 2)
    return np.column_stack([matrix[:, :2], (matrix[:, 2] + matrix[:, :2] @ half - half) / factor])


def _agreed(first, second, matrix):
    """Median correlation of the detail, block by block, over its standard error."""
    common = _common_part(first.detail, second.detail, _reduced(matrix, first.detail_factor))
    if common is None:
        return 0.0
    one, other, inside, _ = common
    rows, cols = (np.arange(0, size - AGREE_PX + 1, AGREE_PX) for size in one.shape)
    held = one[: len(rows) * AGREE_PX, : len(cols) * AGREE_PX].shape
    parts = (one * one, other * other, one * other, one, other, inside.astype(np.float32))
    aa, bb, ab, a, b, seen = (
        _sums(part[: held[0], : held[1]], (rows, cols)) / AGREE_PX**2 for part in parts
    )
    spread = np.sqrt(np.maximum((aa - a * a) * (bb - b * b), 0))
    use = (seen > WHOLE) & (spread > 0)
    if use.sum() < LEAST_BLOCKS:
        return 0.0
    likeness, weight = (ab - a * b)[use] / spread[use], spread[use]
    # Blocks without detail tell nothing; one with a scratch in it counts as the best tenth.
    weight = np.minimum(weight, np.quantile(weight, 0.9)) ** WEIGHED
    middle = _weighted_median(likeness, weight)
    spread = 1.4826 * _weighted_median(np.abs(likeness - middle), weight)
    count = weight.sum() ** 2 / (weight**2).sum()
    return middle / max(1.2533 * spread / np.sqrt(count), 1e-6)  # error of a median


def _weighted_median(values, weight):
    """Value below and above which lies half of the weight."""
    order = np.argsort(values)
    total = np.cumsum(weight[order])
    return float(values[order[np.searchsorted(total, total[-1] / 2)]])


def _fitted(first, second, matrix):
    """Similarity near `matrix` that lays the light of both upon each other; covariance; middle.

    Gauss-Newton, outliers weighed down (Huber). The covariance (of zoom, turn, row and column
    at the common part's middle) is that of the shifts which blocks of the common part ask for,
    so that lens distortion, dust and grain alike over many pixels widen it.
    """
    factor = first.light_factor
    inner = _reduced(matrix, factor)
    for turn in range(ROUNDS):
        state = _asked(first.light, second.light, inner)
        if state is None:
            return matrix, np.full((4, 4), np.inf), matrix[:, 2]
        step, cov, middle = state
        change = np.eye(2) + np.array([[step[0], step[1]], [-step[1], step[0]]])
        inner[:, 2] = middle + step[2:] + change @ (inner[:, 2] - middle)
        inner[:, :2] = change @ inner[:, :2]
        if turn and np.abs(step[2:]).max() < 0.01 and np.abs(step[:2]).max() < 2e-5:
            break
    return _unreduced(inner, factor), cov, factor * middle + (factor - 1) / 2


def _asked(a, b, matrix):
    """Step (zoom, turn, row, column) that the light asks for, its covariance, and the middle."""
    common = _common_part(a, b, matrix)
    if common is None:
        return None
    cut, laid, inside, low = common
    mean = (cut + laid) / 2
    slopes = [cv2.Sobel(mean, cv2.CV_32F, *order, scale=1 / 8) for order in ((0, 1), (1, 0))]
    inside = cv2.erode(inside, np.ones((2 * RIM_PX + 1, 2 * RIM_PX + 1), np.uint8))
    inside[:RIM_PX], inside[-RIM_PX:], inside[:, :RIM_PX], inside[:, -RIM_PX:] = 0, 0, 0, 0
    use = inside > 0
    if use.sum() < LEAST_SEEN:
        return None
    off = np.where(use, laid - cut, 0)
    usual = 1.4826 * float(np.median(np.abs(off[use]))) + 1e-9
    weight = np.where(use, np.minimum(1, 2 * usual / np.maximum(np.abs(off), 1e-9)), 0)
    middle = low + (np.array(cut.shape) - 1) / 2
    alike = [mean, cv2.Laplacian(mean, cv2.CV_32F), np.ones_like(mean)]
    return (*_by_blocks([*slopes, *alike], off, weight, low - middle), middle)


def _common_part(a, b, matrix):
    """What of `a` lies under `b`, `b` laid on it, where it has light, and the first pixel."""
    corners = np.array([[0, 0], [0, b.shape[1] - 1], [b.shape[0] - 1, 0], [s - 1 for s in b.shape]])
    seen = corners @ matrix[:, :2].T + matrix[:, 2]
    low = np.clip(np.ceil(seen.min(axis=0)).astype(int), 0, np.array(a.shape))
    high = np.clip(np.floor(seen.max(axis=0)).astype(int) + 1, 0, np.array(a.shape))
    if (high - low).min() < LEAST_SIDE_PX:
        return None
    cut = a[low[0] : high[0], low[1] : high[1]]
    return (cut, *_brought(b, matrix, low, cut.shape), low)


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


def _by_blocks(parts, off, weight, corner):
    """Step of the similarity and its covariance from the shifts that blocks ask for.

    `parts` are what the light changes by for a shift down and to the right, and for more
    contrast and more blur: these two are each block's own and are taken out first, for a
    band that is blurred more looks like one that is nearer.
    """
    rows, cols = (np.array_split(np.arange(n), max(3, round(n / BLOCK_PX))) for n in off.shape)
    edges = [part[0] for part in rows], [part[0] for part in cols]
    weighed = [weight * part for part in parts]
    power = np.array([[_sums(one * other, edges) for other in parts] for one in weighed])
    pull = np.array([_sums(one * off, edges) for one in weighed])
    power, pull = _without_own(np.moveaxis(power, 2, 0), pull.T)
    y = np.repeat([corner[0] + part.mean() for part in rows], len(cols))
    x = np.tile([corner[1] + part.mean() for part in cols], len(rows))
    one, none = np.ones_like(x), np.zeros_like(x)
    # A place shifts by zoom, turn (columns towards rows), row and column.
    design = np.moveaxis(np.array([[y, x, one, none], [x, -y, none, one]]), 2, 0)
    normal = np.einsum("nik,nij,njl->kl", design, power, design)
    if not np.trace(normal) > 0:
        return np.zeros(4), np.full((4, 4), np.inf)
    normal += 1e-9 * np.trace(normal) * np.diag([1.0, 1.0, 1e-3, 1e-3])
    spread = np.linalg.inv(normal)
    step = spread @ np.einsum("nik,ni->k", design, pull)
    # What each block asks for beyond the step, squared: the sandwich covariance.
    rest = pull - np.einsum("nij,njk,k->ni", power, design, step)
    scores = np.einsum("nik,ni->nk", design, rest)
    cov = spread @ (scores.T @ scores) @ spread * x.size / max(1, x.size - 4)
    return step, cov


def _sums(values, edges):
    """Sums over blocks that begin at such rows and columns."""
    by_row = np.add.reduceat(values, edges[0], axis=0)
    return np.add.reduceat(by_row, edges[1], axis=1).astype(float).ravel()


def _without_own(power, pull):
    """Normal matrices and pulls of the two shifts, the other parts solved for (Schur)."""
    own = power[:, 2:, 2:]
    size = np.einsum("nii->ni", own)
    own = own + (1e-6 * size + 1e-12)[:, :, None] * np.eye(own.shape[1])
    share = np.linalg.solve(own, power[:, 2:, :2])
    turned = np.swapaxes(share, 1, 2)
    return (
        power[:, :2, :2] - power[:, :2, 2:] @ share,
        pull[:, :2] - (turned @ pull[:, 2:, None])[..., 0],
    )
