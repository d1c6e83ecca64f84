"""What the land and the lens are like beside the model: the mean profile of the whole edge.

The fit of single places takes the land for flat, its bevels for even and the lens for a
Gaussian. Their mean profile is known so well that it shows where this does not hold. A
few other explanations are fitted to it; the one that fits best corrects the width, and
those that fit nearly as well widen its interval.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

LENS = ("moved", "disc")
BIN_PX = 0.5
MODEL_SHARE = 0.0015  # no picture follows a model better than this part of its contrast
PARTS = 8
NEARLY = 2.0  # an explanation with so many times the least misfit is still possible
MOST_ROUND = 1.2  # a land's light cannot fall to less than nothing
FEW_BLURS = 6.0  # a land so narrow hides how far it is rounded
PLAIN_ENOUGH = 1.0
HIDING_BLURS = 8.0  # a land so narrow is held against a dome
DEEP, DOMED = 0.3, 4.0  # the dome's fall, and its gain in misfit, from where on it counts
EXPLAINED = 6.0  # misfit of an explanation that may correct the width
SHIFT_U, SHARPENED_U_PX, ROLLED_U = 0.15, 0.1, 0.3
LEAST_BLUR_PX = 0.3
# Where the lens's own parameter starts: pixels, and blurs.
STARTS = {"moved": (0, 2.5), "disc": (0, 1.6), "sharpened": (0.2, 0), "rolled": (0, 0)}
# Nodes and shares of Gauss's rules for a disc's chord (Chebyshev, second kind) and a box.
DISC_NODES = np.cos(np.pi * np.arange(1, 14) / 14)
DISC_SHARES = (1 - DISC_NODES**2) / np.sum(1 - DISC_NODES**2)
BOX_NODES, BOX_SHARES = (a / 2 for a in np.polynomial.legendre.leggauss(8))
SHARPENED_PX = 1.0  # reach of the sharpening that phones do


@dataclass(frozen=True)
class Explanation:
    """One way to explain the mean profile.

    Attributes
    ----------
    name : {"plain", "sloped", "rounded", "dome", "moved", "disc", "sharpened", "rolled"}
        A dome's light falls to nothing at its sides.
    width_px, blur_px : float
        The blur is the Gaussian part alone.
    extra : float
        Fall of the land's light towards its sides (rounded, share), length of the
        movement across the edge (moved, pixels), radius of the disc (disc, pixels),
        amount of sharpening (sharpened), by how much the left side is softer than the
        mean of both (rolled, pixels).
    chi2 : float
        Misfit, per degree of freedom.
    """

    name: str
    width_px: float
    blur_px: float
    extra: float
    chi2: float


@dataclass(frozen=True)
class ProfileShape:
    """The best explanation and what it does to the width.

    `shift_px` is to be added to the mean of the single places, `u_px` its standard
    uncertainty. `moved` and `disc` are there where that explains it about as well.
    """

    best: Explanation
    shift_px: float = 0.0
    u_px: float = 0.0
    moved: Explanation | None = None
    disc: Explanation | None = None

    @property
    def explained(self):
        """The model holds, or it is known what to put in its place."""
        return self.best.chi2 < EXPLAINED


def mean_profile(sides, used):
    """Mean profile of the used places, either half laid on its own side.

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)

    Returns
    -------
    t, value, sd : ndarray, shape (bins,)
        Distance from the middle (pixels), light relative to the contrast, and the
        value's standard deviation from how stretches of the edge differ.
    width_px : float
        Distance of the sides in it.
    """
    left, right = sides.left[used], sides.right[used]
    width = float(np.mean(right - left))
    x = sides.x[None, :]
    near_left = x < ((left + right) / 2)[:, None]
    # Where the focus changes along the edge, distances count in blurs of the place.
    blur = sides.blur_px[used]
    ratio = (np.median(blur) / blur)[:, None] if np.ptp(blur) > 0.15 * np.median(blur) else 1.0
    t = np.where(
        near_left,
        (x - left[:, None]) * ratio - width / 2,
        (x - right[:, None]) * ratio + width / 2,
    )
    t = np.where(near_left == (t < 0), t, np.nan)  # a wide place has more middle than others
    ground = (sides.below[used] + sides.above[used])[:, None] / 2
    value = (sides.values[used] - ground) / sides.contrast[used][:, None]
    reach = max(float(np.quantile(sides.x[-1] - right, 0.1)), 3.0) + width / 2
    ok = (np.abs(t) < reach) & (sides.weight[used] > 0)
    number = int(2 * reach / BIN_PX)
    index = np.clip(((np.where(ok, t, 0) + reach) / BIN_PX).astype(int), 0, number - 1)
    first = _means(index, value, ok, number)[0]
    off = np.abs(value - first[index])
    ok &= off < 5 * 1.4826 * np.median(off[ok]) + 0.02
    mean, count = _means(index, value, ok, number)
    place = _means(index, t, ok, number)[0]
    part = np.arange(len(left)) * PARTS // len(left)
    parts = [_means(index, value, ok & (part == k)[:, None], number) for k in range(PARTS)]
    share = np.stack([c for _, c in parts]) / np.maximum(count, 1)
    square = (share * (np.stack([m for m, _ in parts]) - mean)) ** 2
    full = count >= 0.3 * np.median(count[count > 0])
    sd = np.sqrt(square.sum(axis=0) * PARTS / (PARTS - 1))[full]
    sd = np.sqrt((sd**2 + np.median(sd) ** 2) / 2 + MODEL_SHARE**2)
    return place[full], mean[full], sd, width


def _means(index, value, ok, number):
    """Means and counts of the values in every bin."""
    count = np.bincount(index[ok], minlength=number)
    return np.bincount(index[ok], value[ok], minlength=number) / np.maximum(count, 1), count


def explain_profile(sides, used, blur_px):
    """Find what explains the mean profile best (model selection by least misfit).

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)
    blur_px : float

    Returns
    -------
    ProfileShape
    """
    t, value, sd, width = mean_profile(sides, used)

    def fitted(*names):
        return [_fitted(name, t, value, sd, width, blur_px) for name in names]

    found, hidden = _candidates(fitted, t.size, width < HIDING_BLURS * blur_px)
    if len(found) == 1:
        return ProfileShape(found[0])
    best = _plainest(found)
    # What holds the sides in the single places was flat, even and Gaussian, as 'plain' is
    # here; what binning and laying halves together do to the profile is in both.
    plain_px = width if sides.wide else found[0].width_px
    mean = best.width_px if best.chi2 < EXPLAINED and best.name != "plain" else plain_px
    shift = mean - plain_px
    limit = NEARLY * best.chi2 + 0.3
    spread = max((abs(e.width_px - mean) for e in found if e.chi2 < limit), default=0.0)
    if hidden and best.name != "rounded":
        spread = max(spread, abs(fitted("dome")[0].width_px - mean))
    own = {"sharpened": SHARPENED_U_PX, "rolled": ROLLED_U}.get(best.name, 0.0) * abs(best.extra)
    if width > FEW_BLURS * blur_px:
        spread /= 2
    u_px = float(np.sqrt((SHIFT_U * shift) ** 2 + spread**2 + own**2))
    by_name = {e.name: e for e in found if e.chi2 < 1.5 * best.chi2 + 0.3}
    lens = (by_name.get(name) if best.name not in ("plain", "sloped") else None for name in LENS)
    return ProfileShape(best, shift, u_px, *lens)


def _candidates(fitted, bins, narrow):
    """Explanations worth comparing, 'plain' alone where it does; whether a dome may hide."""
    found = fitted("plain")
    plain = found[0]
    if plain.chi2 < PLAIN_ENOUGH and not narrow:
        return found, False
    found += fitted("sloped")
    sloped = found[1]
    # So narrow a land looks nearly the same flat and domed.
    hidden = False
    if narrow:
        domed = fitted("rounded")[0]
        hidden = domed.extra > DEEP and (sloped.chi2 - domed.chi2) * bins > DOMED
    if plain.chi2 < PLAIN_ENOUGH and not hidden:
        return [plain], False
    if hidden or sloped.chi2 > PLAIN_ENOUGH:
        found += fitted("rounded", "moved", "disc", "sharpened", "rolled")
    return [e for e in found if e.name != "rounded" or -0.1 < e.extra < MOST_ROUND], hidden


def _plainest(found):
    """The best explanation; a plainer one is not given up for a hair's breadth."""
    best = min(found, key=lambda e: e.chi2)
    return next((e for e in found[:2] if e.chi2 < 1.15 * best.chi2 + 0.2), best)


def _fitted(name, t, value, sd, width, blur_px):
    """Levenberg-Marquardt over middle, width, blur and lens; variable projection of the rest."""
    start = STARTS.get(name)
    start = None if start is None else start[0] + start[1] * blur_px
    first = [0.0, width, (0.6 if name in LENS else 1.0) * blur_px]
    p = np.array(first if start is None else [*first, start])
    weighted, damp = value / sd, 1e-3

    def around(p):
        """Residuals at a set of parameters, their slopes, and what is linear."""
        steps = 1e-3 * np.maximum(np.abs(p), 0.3)
        off, linear = _solve(name, t, weighted, sd, p + np.vstack([0 * p, np.diag(steps)]))
        return off[0], ((off[1:] - off[0]) / steps[:, None]).T, linear[0]

    off, slope, linear = around(p)
    for _ in range(14):
        normal = slope.T @ slope
        change = -np.linalg.solve(normal + damp * np.diag(np.diag(normal) + 1e-12), slope.T @ off)
        change = np.clip(change, -0.5 * blur_px - 0.1, 0.5 * blur_px + 0.1)
        tried = p + change
        tried[2] = max(tried[2], LEAST_BLUR_PX)
        if p.size > 3 and name != "rolled":
            tried[3] = max(tried[3], 0.0)
        new = around(tried)
        if new[0] @ new[0] < off @ off:
            gained = (off @ off - new[0] @ new[0]) / (off @ off)
            (off, slope, linear), p, damp = new, tried, damp / 5
            if gained < 1e-3:
                break
        else:
            damp *= 10
            if damp > 1e4:
                break
    extra = float(p[3]) if p.size > 3 else 0.0
    if name == "rounded":
        extra = float(-linear[-1] / max(linear[1] - (linear[0] + linear[2]) / 2, 1e-6))
    chi2 = float(off @ off) / max(t.size - 12, 1)
    return Explanation(name, float(p[1]), float(p[2]), extra, chi2)


def _solve(name, t, weighted, sd, p):
    """Residuals for sets of the parameters that are not linear (rows), and the linear ones."""
    basis = _columns(name, t, p) / sd
    size = np.sqrt((basis**2).sum(axis=2, keepdims=True)) + 1e-12
    basis /= size
    normal = basis @ basis.transpose(0, 2, 1) + 1e-10 * np.eye(basis.shape[1])
    linear = np.linalg.solve(normal, basis @ weighted[:, None])
    return weighted - (linear.transpose(0, 2, 1) @ basis)[:, 0], (linear / size)[..., 0]


def _columns(name, t, p):
    """Ground below, land, ground above; ramps of the ground; the land's curvature.

    Shape (sets, columns, places) for the sets of parameters in the rows of `p`.
    """
    middle, width, blur = (p[:, i : i + 1] for i in range(3))
    extra = p[:, 3:4] if p.shape[1] > 3 else 0.0
    blur, half = np.maximum(blur, LEAST_BLUR_PX), width / 2
    a, b = t - middle + half, t - middle - half
    if name == "rolled":
        soft = np.clip(extra, LEAST_BLUR_PX - blur, blur - LEAST_BLUR_PX)
        rise, fall = ndtr(a / (blur + soft)), ndtr(b / (blur - soft))
    else:
        rise, fall = _edge(name, a, extra, blur), _edge(name, b, extra, blur)
    columns = [1 - rise, rise - fall, fall]
    if name == "plain":
        return np.stack(columns, axis=1)
    z0, z1 = a / blur, b / blur
    bell0, bell1 = _bell(z0), _bell(z1)
    up0, up1 = (rise, fall) if name in ("sloped", "rounded", "dome") else (ndtr(z0), ndtr(z1))
    columns += [blur * (bell0 - z0 * (1 - up0)) / 20, blur * (bell1 + z1 * up1) / 20]
    if name in ("rounded", "dome"):
        u = t - middle
        inside = up0 - up1
        square = u**2 * inside - 2 * u * blur * (bell1 - bell0)
        square += blur**2 * (inside + z1 * bell1 - z0 * bell0)
        if name == "dome":
            columns[1] = inside - square / half**2
        else:
            columns.append(square / half**2)
    return np.stack(columns, axis=1)


def _bell(z):
    return np.exp(-0.5 * z * z) / np.sqrt(2 * np.pi)


def _edge(name, x, extra, blur):
    """The lens's picture of a step: a Gaussian, smeared, behind a disc, or sharpened."""
    if name == "moved":
        nodes, shares = BOX_NODES, BOX_SHARES
    elif name == "disc":
        nodes, shares = DISC_NODES, DISC_SHARES
    elif name == "sharpened":
        wide = np.hypot(blur, SHARPENED_PX)
        return (1 + extra) * ndtr(x / blur) - extra * ndtr(x / wide)
    else:
        return ndtr(x / blur)
    return ndtr((x[..., None] - extra[..., None] * nodes) / blur[..., None]) @ shares
