"""What the land and the lens are like beside the model: the mean profile of the whole edge.

The fit of single places takes the land for flat, its bevels for even and the lens for a
Gaussian. Their mean profile is known so well that it shows where this does not hold. A
few other explanations are fitted to it; the one that fits best corrects the width, and
those that fit nearly as well widen its interval.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import expit

from edgetest.photo.apex.explanations import (
    APERTURES,
    Explanation,
    fit_behind,
    fit_explanation,
)
from edgetest.photo.apex.focus_rules import (
    IN_FOCUS_PX,
    NarrowerLand,
    likelier,
    moved_or_unfocused,
    narrower_land,
    near,
)
from edgetest.photo.apex.lens_edges import FORMS
from edgetest.photo.apex.sharpening import Sharpened, undo_sharpening

BIN_PX = 0.5
MODEL_SHARE = 0.0015  # no picture follows a model better than this part of its contrast
PARTS = 8
NEARLY = 2.0  # an explanation with so many times the least misfit is still possible
MOST_ROUND = 1.2  # a land's light cannot fall to less than nothing
FEW_BLURS = 6.0  # a land so narrow hides how far it is rounded
PLAIN_ENOUGH = 1.0
HIDING_BLURS = 8.0  # a land so narrow is held against a dome
DEEP, DOMED = 0.3, 3.5  # the dome's fall, and its gain in misfit, from where on it counts
# Log odds against corners so round that they show. Second world, even seeds: with 0 plain lands
# read 0.29 % RMS, with 1.2 to 1.7 0.20 % (0.22 % without round corners), 'corners' 0.67 % (0.99 %).
RARE_CORNERS = 1.7
FEWEST_ROUND = 0.05  # share of the likelihood from where on round corners are named
EXPLAINED = 6.0  # misfit of an explanation that may correct the width
# Radius of the first dark ring; larger ones were pictures out of focus (second world, even), and
# nobody magnifies so far beyond what the lens resolves.
MOST_RING_PX = 8.0
DISC_ENOUGH = 0.5  # misfit of a disc that no other aperture need better
# No aperture but a square one has chords as even as a land so many blurs wide: the steepest
# flat-topped one, a hexagon on its corner, has flanks of a tenth of its width.
FLAT_BLURS = 12.0
# Three times as wide its flanks are three times as steep as that hexagon's, whatever explains it.
FLATTEST_BLURS = 36.0
# Blurs by which lenses of the second world miss every explanation, on lands of so few blurs
# (41 lands, even seeds: RMS 0.04 blurs under five blurs, 0.02 from there to twelve).
LENS_U, LENS_BLURS = 0.04, 5.0
APERTURE_U = 0.02  # of its radius: no lens out of focus is known better (second world, even)
SHIFT_U, ROLLED_U = 0.15, 0.3
# A mask is looked for at blurs that it does not drown in. Its fit holds these explanations, too,
# and need not be better than they.
SHARP, MOST_SHARPENED_PX = ("plain", "sloped", "diffracted", "cornered"), 3.5


@dataclass(frozen=True)
class ProfileShape:
    """The best explanation and what it does to the width.

    `shift_px` is to be added to the mean of the single places, `u_px` its standard
    uncertainty. `moved` is there where a movement explains it about as well, `behind` where a
    narrower land behind an aperture wider than itself does. `sharpened` is there where a camera's
    mask could be told from the rest.
    """

    best: Explanation
    shift_px: float = 0.0
    u_px: float = 0.0
    moved: Explanation | None = None
    behind: NarrowerLand | None = None
    sharpened: Sharpened | None = None

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


def explain_profile(sides, used, blur_px, finer, curve):
    """Find what explains the mean profile best (model selection by likelihood).

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)
    blur_px : float
    finer : callable
        Of two explanations, the second an aperture: by how much likelier the first makes the
        detail along the edge (difference of log likelihoods).
    curve : StoredCurve
        On which the camera stored the light.

    Returns
    -------
    ProfileShape
    """
    *profile, width = mean_profile(sides, used)
    bins = profile[0].size

    def fitted(*names, **start):
        return [fit_explanation(name, profile, width, blur_px, **start) for name in names]

    found, hidden = _candidates(fitted, bins, width < HIDING_BLURS * blur_px)
    explained = min(e.chi2 for e in found) < EXPLAINED
    flat = width > (FLAT_BLURS if explained else FLATTEST_BLURS) * blur_px
    behind = () if flat else fit_behind(profile, width, blur_px)
    values = BIN_PX * bins / blur_px  # what is misfitted is alike within a blur
    found = moved_or_unfocused(found, behind, values, finer)
    best = _plainest(found)
    if best.name == "diffracted":
        best = _perhaps_cornered(best, fitted("cornered", like=best)[0], values)
    behind = narrower_land(best, behind, values, finer, soft=blur_px > IN_FOCUS_PX)
    if len(found) == 1:
        return ProfileShape(best, behind=behind)
    others = [*found, best]
    if hidden and best.name not in ("rounded", *APERTURES):
        others += [replace(fitted("dome")[0], chi2=0.0)]
    shift, u_px = _correction(best, others, width, blur_px)
    sharpened = None
    if blur_px < MOST_SHARPENED_PX:
        ring = next((e.extra for e in found if e.name == "diffracted"), 2.2 * blur_px)
        ground = float(np.median((sides.below + sides.above)[used])) / 2
        levels = ground, float(np.median(sides.contrast[used]))
        sharpened = undo_sharpening(profile, levels, (best.width_px, blur_px, ring), curve)
        shift, u_px = _with_mask(sharpened, best, width, shift, u_px)
    return ProfileShape(best, shift, u_px, _perhaps_moved(found, best), behind, sharpened)


def _with_mask(sharpened, best, width, shift, u_px):
    """Shift and doubt with what the camera's mask adds, where that fits as well as the best."""
    times = NEARLY if best.name in SHARP else 1.0
    if sharpened.chi2 > times * best.chi2 + 0.3:
        return shift, u_px
    return sharpened.width_px - width, float(np.hypot(sharpened.u_px, u_px))


def _perhaps_moved(found, best):
    """The movement where it explains a profile that is not plain about as well."""
    moved = (e for e in found if e.name == "moved" and near(e, best))
    return None if best.name in ("plain", "sloped") else next(moved, None)


def _perhaps_cornered(sharp, cornered, values):
    """Sharp or round corners, the width averaged over both (Bayesian model averaging)."""
    share = float(expit(likelier(cornered, sharp, values) - RARE_CORNERS))
    if share < FEWEST_ROUND:
        return sharp
    wider = share * (cornered.width_px - sharp.width_px)
    return replace(cornered, width_px=sharp.width_px + wider)


def _correction(best, others, width, blur_px):
    """What the best explanation adds to the width of the single places, and its doubt.

    The halves of the profile lie apart by that width, so the width fitted to it stands for itself.
    """
    right = best.chi2 < EXPLAINED and best.name != "plain"
    mean = best.width_px if right else width
    shift = mean - width
    limit = NEARLY * best.chi2 + 0.3
    spread = max(abs(e.width_px - mean) for e in others if e.chi2 < limit)
    own = ROLLED_U * abs(best.extra) if best.name == "rolled" else 0.0
    own += APERTURE_U * best.extra if best.name in APERTURES else 0.0
    spread = spread / 2 if width > FEW_BLURS * blur_px else spread
    lens = LENS_U * blur_px * min(1.0, (LENS_BLURS * blur_px / width) ** 3) if right else 0.0
    return shift, float(np.sqrt((SHIFT_U * shift) ** 2 + spread**2 + own**2 + lens**2))


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
        found += fitted("rounded", "moved", "rolled", "diffracted", "disc")
        if found[-1].chi2 > DISC_ENOUGH:
            found += fitted(*FORMS, like=found[-1])
    possible = {"rounded": (-0.1, MOST_ROUND), "diffracted": (0.0, MOST_RING_PX)}
    any_size = -np.inf, np.inf
    low, high = zip(*(possible.get(e.name, any_size) for e in found), strict=True)
    sizes = zip(found, low, high, strict=True)
    return [e for e, least, most in sizes if least <= e.extra < most], hidden


def _plainest(found):
    """The best explanation; a plainer one is not given up for a hair's breadth."""
    best = min(found, key=lambda e: e.chi2)
    return next((e for e in found[:2] if e.chi2 < 1.15 * best.chi2 + 0.2), best)
