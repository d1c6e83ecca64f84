"""Is this the land of an edge? What speaks against it, before any number is believed."""

import numpy as np

from edgetest.doubts import doubt
from edgetest.photo.apex.usable_places import is_narrow
from edgetest.photo.smooth import robust_line, runs

SECOND_BAND = 0.35  # of the land's contrast: from here another band is not overlooked
FAINT_BAND = 0.12
# Lines of a ruling, without the edge's: relative spread of spacing and of light. Rulings have 0.25
# at most of the one or 0.1 of the other, scratches 0.37 at least and 0.13 (even seeds).
LEAST_LINES, EVEN_LINES, ALIKE_LINES = 3, 0.3, 0.11
ANOTHER_BESIDE = 0.5  # of the places: the path goes over from one of two bands to the other
DARKER = 1.25  # times the bright path's response: from here on the dark one is the band
DARK_REWARD = 0.55  # mean compressed response of a dark path that is worth weighing
ONE_SIDED = 0.25  # contrast against the brighter ground over that against the darker
# Contrast over the land's light. In light through the lens good lands have 0.91 and more in the
# second world, 0.7 in the first; where the bevels shine too it was 0.15 to 0.38 (even seeds).
LEAST_CONTRAST = 0.42
LEAST_SHARE = 0.3
LEAST_PLACES = 12
THROUGHOUT = 0.6
# What stands for a land, found on 1,000 crops of everyday pictures and 500 good edges of two
# worlds (even seeds); the figures are the worst good edge's, and what a rule alone lets through.
STANDS_OUT = 3.5  # land over ground in their spread along the edge: 3.7; 75 % of the crops
MOST_MISFIT = 0.10  # of the contrast, at the middle place: 0.09; 70 %
MOST_SHARED_MISFIT = 0.12  # of it that goes on from place to place: 0.09; 80 %
ELSEWHERE = 0.015  # of the picture shines half as brightly, beyond the land: 0.0125; 40 %
# Share not used + twice the width's relative spread: 0.25; 15 % of the crops.
RUNS_ON, RUNS_ON_NARROW = 0.42, 0.25
LEAST_WHOLE_SHARE, UNBROKEN = 0.15, 0.85  # or one run holds so much of what is used
JAGGED = 0.06  # relative spread of the width about its line of 45 px: 0.051; 75 %
LINE_PX = 45.0
NARROW_JAGGED = 0.09  # blurs, of a narrow land's middle about its line: 0.045


def bands_beside(context, *, wandering=False):
    """Bright bands that run along the found one, out to the picture's borders.

    Parameters
    ----------
    context : Context
    wandering : bool
        Bands that are not quite parallel too: their own scatter does not count.

    Returns
    -------
    list of (distance_px, relative_height)
        Prominence over both its valleys, relative to the land's contrast.
    """
    profile, x = context.profile, context.x
    ground = min(context.below, context.above)
    contrast = max(context.land - ground, 1e-9)
    width = context.right - context.left
    step = x[1] - x[0]
    middle = int(np.argmin(np.abs(x - (context.left + context.right) / 2)))
    smooth = np.convolve(np.pad(profile, 1, mode="edge"), [0.25, 0.5, 0.25], mode="valid")
    found = []
    inner = slice(1, -1)
    tops = np.flatnonzero((smooth[inner] >= smooth[:-2]) & (smooth[inner] > smooth[2:])) + 1
    lowest = float(smooth.min())
    most = float(np.median(context.spread)) if wandering else np.inf
    for top in tops:
        if smooth[top] - lowest <= FAINT_BAND * contrast:
            continue
        if abs(x[top] - x[middle]) < 0.7 * width + step:
            continue
        away = -1 if top > middle else 1
        inward = float(smooth[min(top, middle) : max(top, middle)].min())
        outward = _valley(smooth, top, -away)
        height = (smooth[top] - max(inward, outward)) / contrast
        level = smooth[top] - height * contrast / 2
        first, last = top, top
        while first > 0 and smooth[first - 1] > level:
            first -= 1
        while last < smooth.size - 1 and smooth[last + 1] > level:
            last += 1
        noise = 5 * min(context.spread[top], most) / contrast
        if height > max(FAINT_BAND, noise) and (last - first) * step < 4 * width + 20:
            found.append((float(x[top]), float(height)))
    return found


def _valley(profile, top, direction):
    """Lowest value met going from a top until something higher."""
    index, lowest = top + direction, profile[top]
    while 0 <= index < profile.size and profile[index] <= profile[top]:
        lowest = min(lowest, profile[index])
        index += direction
    return lowest


def objection(context, sides, used, paths):
    """Reason to refuse, or None.

    Parameters
    ----------
    context : Context
    sides : FittedSides or None
    used : ndarray of bool
        Places that count.
    paths : (BandPath, BandPath or None)
        Best bright and best dark path; no dark one where none can outshine the bright one.
    """
    if sides is None:
        one_bright = context.left is not None or context.right is not None
        return doubt("land_fills_frame" if one_bright and context.certain else "no_band")
    band, dark = paths
    dark_wins = _outshone(band, dark)
    beside = [b for b in bands_beside(context) if b[1] > SECOND_BAND]
    if context.certain and is_ruled(beside):
        return doubt("ruling")
    if used.sum() < LEAST_PLACES:
        return doubt("inverted" if dark_wins else "no_band")
    narrow = is_narrow(sides, used)
    code = _against_its_light(context, sides, used, narrow, dark_wins)
    code = code or _against_its_course(sides, used, narrow)
    code = code or _also_bright(context, bands_beside(context, wandering=True))
    return None if code is None else doubt(code)


def is_ruled(beside):
    """Bands beside the found one are the lines of a ruling: evenly spaced, or alike in light.

    Parameters
    ----------
    beside : list of (distance_px, relative_height)
        As found by `bands_beside`.
    """
    if len(beside) < LEAST_LINES:
        return False
    place, height = np.array(beside).T
    spacing = np.diff(np.sort([0.0, *place]))
    uneven, unlike = (_spread(a) / float(np.median(a)) for a in (spacing, height))
    return uneven < EVEN_LINES or unlike < ALIKE_LINES


def _also_bright(context, beside):
    """What else shines in the picture: a code, or None."""
    if any(height > SECOND_BAND for _, height in beside) or context.beside > ANOTHER_BESIDE:
        return "two_bands"
    return "no_band" if context.elsewhere > ELSEWHERE else None


def _outshone(band, dark):
    """A dark path answers more strongly than the bright one."""
    if dark is None or dark.reward <= DARK_REWARD:
        return False
    # Upper quartiles: the land may run through only a part of the picture.
    light, shade = (float(np.quantile(b.strength, 0.75)) for b in (band, dark))
    return shade > DARKER * light


def _against_its_light(context, sides, used, narrow, dark_wins):
    """What speaks against a land by its light and that of both grounds: a code, or None."""
    strong, weak = _grounds(context)
    misfit, contrast, land = (
        float(np.median(a[used])) for a in (sides.misfit, sides.contrast, sides.land)
    )
    # The reduced picture shows less of a narrow land's light.
    one_sided = weak < ONE_SIDED * strong and (not narrow or _one_sided(sides, used))
    if dark_wins and (misfit > 0.06 or one_sided or float(used.mean()) < 0.5):
        return "inverted"
    if one_sided:
        return "land_fills_frame"
    return "no_contrast" if contrast < LEAST_CONTRAST * land else None


def _against_its_course(sides, used, narrow):
    """What speaks against a land by how it fits and runs on: a code, or None."""
    misfit, share = float(np.median(sides.misfit[used])), float(used.mean())
    sound = (
        misfit <= MOST_MISFIT
        and structure(sides, used) <= MOST_SHARED_MISFIT
        and over_ground(sides, used) >= STANDS_OUT
        and _runs_on(sides, used, RUNS_ON_NARROW if narrow else RUNS_ON)
        and (_even(sides, used) if narrow else _steady(sides, used))
    )
    if sound:
        return None
    return "glints_only" if share < LEAST_SHARE and misfit < MOST_MISFIT else "no_band"


def over_ground(sides, used):
    """Land over the nearer ground in their spread along the edge, the lesser of both sides.

    Fisher's discriminant ratio of two classes, by medians.
    """
    land = sides.land[used]
    spread = _spread(land)
    return min(
        float(np.median(land - ground) / (np.hypot(spread, _spread(ground)) / np.sqrt(2) + 1e-6))
        for ground in (sides.below[used], sides.above[used])
    )


def _spread(values):
    """Robust standard deviation: from the median absolute deviation."""
    return float(1.4826 * np.median(np.abs(values - np.median(values))))


def _grounds(context):
    """Contrast of the land against the darker and against the brighter ground."""
    against = context.land - context.below, context.land - context.above
    return max(*against, 1e-9), min(against)


def _one_sided(sides, used):
    """One ground is nearly as bright as the land, at full resolution."""
    land, below, above = (np.median(a[used]) for a in (sides.land, sides.below, sides.above))
    return bool(land - max(below, above) < ONE_SIDED * (land - min(below, above)))


def structure(sides, used):
    """Misfit that goes on from place to place, relative to the contrast; noise does not.

    What all places share along a land that runs through the picture is the shape of land
    and lens (`edgetest.photo.apex.profile_models`), and does not count.
    """
    residual = sides.residual[: len(used)]
    if used.mean() > THROUGHOUT:
        residual = residual - residual[used].mean(axis=0)
    pairs = used[1:] & used[:-1]
    if not pairs.any():
        return 1.0
    shared = float(np.median((residual[1:] * residual[:-1]).mean(axis=1)[pairs]))
    return np.sqrt(max(shared, 0)) / float(np.median(sides.contrast[used]))


def _runs_on(sides, used, most):
    """The band runs through most of the picture evenly, or without a break through less of it."""
    share, width = float(used.mean()), sides.width_px[used]
    varies = 2 * _spread(width) / max(float(np.median(width)), 1e-6)
    if 1 - share + varies < most:
        return True
    unbroken = _longest(used) >= UNBROKEN * used.sum()
    return bool(share >= LEAST_WHOLE_SHARE and unbroken and varies < most)


def _longest(used):
    """Places of the longest run."""
    return int(np.diff(runs(used), axis=1).max())


def shape_misfit(sides, used):
    """Misfit that all places share, relative to the contrast: optics unlike a Gaussian."""
    residual = sides.residual[: len(used)][used].astype(float)
    square = residual.mean(axis=0) ** 2 - residual.var(axis=0) / len(residual)
    return float(np.sqrt(max(square.mean(), 0))) / float(np.median(sides.contrast[used]))


def _even(sides, used):
    """A narrow land's light runs on evenly, and its profile is the blur's own bell."""
    light, middle = sides.contrast[used], (sides.left + sides.right) / 2
    line, _ = robust_line(middle, LINE_PX / sides.block, weight=used + 1e-3)
    jagged = _spread((middle - line)[used]) / float(np.median(sides.blur_px[used]))
    even = light.std() < 0.22 * light.mean() and structure(sides, used) < 0.025
    return bool(even and jagged < NARROW_JAGGED)


def _steady(sides, used):
    """A land runs on: its width does not jump from place to place, nor break up."""
    width = sides.width_px
    pairs = used[1:] & used[:-1]
    if pairs.sum() < LEAST_PLACES // 2:
        return False
    usual = float(np.median(width[used]))
    line, _ = robust_line(width, LINE_PX / sides.block, weight=used + 1e-3)
    if _spread((width - line)[used]) > JAGGED * usual:
        return False
    jump = np.median(np.abs(np.diff(width)[pairs]))
    whole = _longest(used) >= max(LEAST_PLACES // 2, 0.12 * used.size)
    noise = float(np.median(sides.stderr_px[used]))
    return bool(jump < 0.004 * usual + 0.08 + 3 * noise and (whole or used.mean() > THROUGHOUT))
