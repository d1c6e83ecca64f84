"""Is this the land of an edge? What speaks against it, before any number is believed."""

import numpy as np

from edgetest.doubts import doubt
from edgetest.photo.apex.usable_places import is_narrow
from edgetest.photo.smooth import runs

SECOND_BAND = 0.35  # of the land's contrast: from here another band is not overlooked
FAINT_BAND = 0.12
DARKER = 1.25  # times the bright path's response: from here on the dark one is the band
DARK_REWARD = 0.55  # mean compressed response of a dark path that is worth weighing
ONE_SIDED = 0.25  # contrast against the brighter ground over that against the darker
LEAST_SHARE = 0.3
LEAST_WHOLE_SHARE = 0.15
MOST_STRUCTURE = 0.045
LEAST_PLACES = 12
THROUGHOUT = 0.6


def bands_beside(context):
    """Bright bands that run along the found one, out to the picture's borders.

    Parameters
    ----------
    context : Context

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
    for top in tops:
        if smooth[top] - lowest <= FAINT_BAND * contrast:
            continue
        if abs(x[top] - x[middle]) < 0.7 * width + step:
            continue
        toward, away = (top, -1) if top > middle else (top, 1)
        inward = _valley(smooth, toward, away)
        outward = _valley(smooth, top, -away)
        height = (smooth[top] - max(inward, outward)) / contrast
        level = smooth[top] - height * contrast / 2
        first, last = top, top
        while first > 0 and smooth[first - 1] > level:
            first -= 1
        while last < smooth.size - 1 and smooth[last + 1] > level:
            last += 1
        noise = 5 * context.spread[top] / contrast
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


def objection(context, sides, used, band, dark):
    """Reason to refuse, or None.

    Parameters
    ----------
    context : Context
    sides : FittedSides or None
    used : ndarray of bool
        Places that count.
    band, dark : BandPath
        Best bright and best dark path; no dark one where none can outshine the bright one.
    """
    if sides is None:
        one_bright = context.left is not None or context.right is not None
        return doubt("land_fills_frame" if one_bright and context.certain else "no_band")
    dark_wins = _outshone(band, dark)
    beside = [b for b in bands_beside(context) if b[1] > SECOND_BAND]
    if len(beside) >= 3 and context.certain:
        return doubt("ruling")
    if used.sum() < LEAST_PLACES:
        return doubt("inverted" if dark_wins else "no_band")
    narrow = is_narrow(sides, used)
    code = _against_its_light(context, sides, used, narrow, dark_wins)
    code = code or _against_its_course(sides, used, narrow) or ("two_bands" if beside else None)
    return None if code is None else doubt(code)


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
    return "no_contrast" if contrast < 0.08 * land else None


def _against_its_course(sides, used, narrow):
    """What speaks against a land by how it fits and runs on: a code, or None."""
    misfit, share = float(np.median(sides.misfit[used])), float(used.mean())
    steady = _even(sides, used) if narrow else _steady(sides, used)
    sound = (
        misfit <= 0.15
        and structure(sides, used) <= MOST_STRUCTURE
        and _enough(sides, used)
        and steady
    )
    if sound:
        return None
    return "glints_only" if share < LEAST_SHARE and misfit < 0.1 else "no_band"


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


def _enough(sides, used):
    """The band runs through enough of the picture, or through less of it without a doubt."""
    share = float(used.mean())
    if share >= LEAST_SHARE:
        return True
    light = sides.contrast[used]
    whole = np.diff(runs(used), axis=1).max() >= 0.85 * used.sum()
    even = light.std() < 0.12 * light.mean() and structure(sides, used) < 0.02
    return bool(share >= LEAST_WHOLE_SHARE and whole and even)


def shape_misfit(sides, used):
    """Misfit that all places share, relative to the contrast: optics unlike a Gaussian."""
    residual = sides.residual[: len(used)][used].astype(float)
    square = residual.mean(axis=0) ** 2 - residual.var(axis=0) / len(residual)
    return float(np.sqrt(max(square.mean(), 0))) / float(np.median(sides.contrast[used]))


def _even(sides, used):
    """A narrow land's light runs on evenly, and its profile is the blur's own bell."""
    light = sides.contrast[used]
    return bool(light.std() < 0.22 * light.mean() and structure(sides, used) < 0.025)


def _steady(sides, used):
    """A land runs on: its width does not jump from place to place, nor break up."""
    width = sides.width_px
    pairs = used[1:] & used[:-1]
    if pairs.sum() < LEAST_PLACES // 2:
        return False
    jump = np.median(np.abs(np.diff(width)[pairs]))
    usual = float(np.median(width[used]))
    lengths = np.diff(runs(used), axis=1)
    whole = lengths.max() >= max(LEAST_PLACES // 2, 0.12 * used.size) or used.mean() > 0.6
    noise = float(np.median(sides.stderr_px[used]))
    return bool(jump < 0.025 * usual + 0.08 + 3 * noise and whole)
