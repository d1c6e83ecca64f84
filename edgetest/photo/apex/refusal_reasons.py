"""Why a picture shows no band that can be measured: noise, focus, or too little of the edge."""

from dataclasses import dataclass

import cv2
import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.band_sides import CLIPPED
from edgetest.photo.apex.find_band import BandPath, find_band
from edgetest.photo.apex.first_guess import Context, look_around
from edgetest.photo.apex.refusal_rules import (
    ANOTHER_BESIDE,
    SECOND_BAND,
    bands_beside,
    is_ruled,
)
from edgetest.photo.smooth import runs

FEW = 0.08  # of the picture: so much of the path holds the land at least
# What tells refused pictures apart, on even seeds of both worlds: the figures are the farthest
# picture of the cause, and the nearest of another one.
DARKEST = 0.016  # of full scale, what is brightest: 0.012; 0.020
TOO_NOISY = 0.4  # noise over the light of the band and of the picture, however dim; and where
NOISY, HIGH_GAIN = 0.075, 0.025  # it is this much of full scale: 0.089, 0.033; 0.05, 0.015
NEARLY_ONE_GREY = 0.48  # what varies over what is brightest: 0.46; 0.65 of inverted ones
MOST_CLIPPED = 0.5  # of the line: 0.92; 0.17, but for everyday pictures
ONE_BODY = 0.9  # of all that is bright: 0.98
TOUCHES, RUNS_ALONG = 0.04, 0.5  # of a border: 0.047 where it leaves on its way, 0.8 along it
SOFTEST_BODY_PX = 30.0  # its border is steeper, else it is the light that fades
RUNS_THROUGH = 0.66  # mean compressed response of the line: 0.67; 0.65 of scratched faces
SECOND_RUNS_THROUGH = 0.64  # of another one: 0.65; 0.58
SECOND_LINE = 0.5  # response over the found one's: scratches and dust reach 0.35, second edges 0.7
BESIDE_WIDTHS, BESIDE_PX = 1.5, 6.0  # beside the land: what is nearer is its own
SMOOTHED_PX = 2.0
TWO_BORDERS = 0.15  # fall of the light between two bright borders, over theirs: 0.25
SOFTEST_PX = 6.0  # the steepest step of a picture in focus is no softer
BRIDGED = 0.02  # of the path
NOISE_ROWS, NOISE_PIXELS = 100, 20000  # as many tell the noise to a hundredth


def pixel_noise(grey):
    """Standard deviation of the noise that differs from pixel to pixel.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)

    Returns
    -------
    float
        By the median of those differences of neighbours in which a plane leaves nothing [1]_.

    References
    ----------
    .. [1] J. Immerkaer, "Fast noise variance estimation", Computer Vision and Image
       Understanding 64 (1996) 300-302.
    """
    part = grey[:: max(1, grey.shape[0] // NOISE_ROWS)]
    some = slice(None, None, max(1, part.size // NOISE_PIXELS))
    cross = part[:, :-2][:, some] - 2 * part[:, 1:-1][:, some] + part[:, 2:][:, some]
    return float(1.4826 * np.median(np.abs(cross)) / np.sqrt(6))


def steepest_step(small, factor):
    """Blur that the steepest step of the picture would have, pixels of the full picture."""
    smooth = cv2.GaussianBlur(small, (0, 0), 1.5)
    rise = np.hypot(*np.gradient(smooth))
    low, high = np.percentile(smooth, [0.5, 99.5])
    return factor * float((high - low) / (np.sqrt(2 * np.pi) * np.percentile(rise, 99.8) + 1e-9))


@dataclass(frozen=True)
class Sight:
    """A refused picture and what was found in it.

    Attributes
    ----------
    grey, small : ndarray, shape (rows, cols)
        The picture and the reduced one.
    bright : list of ndarray
        Responses of bright lines (`edgetest.photo.apex.find_band.ridges`).
    dark : list of ndarray
        Of dark ones.
    sigmas : list of float
    band : BandPath
        The path along the brightest line.
    context : Context
    """

    grey: np.ndarray
    small: np.ndarray
    bright: list
    dark: list
    sigmas: list
    band: BandPath
    context: Context

    @property
    def through(self):
        """A bright line runs through the whole picture, edge or not."""
        return self.band.reward > RUNS_THROUGH


def plainer_reason(reason, sight):
    """A reason that says more than that there is no band, the first that holds.

    Parameters
    ----------
    reason : Doubt
        What speaks against the band.
    sight : Sight

    Returns
    -------
    Doubt
    """
    if reason.code not in ("no_band", "glints_only", "inverted", "no_contrast"):
        return reason
    smooth = cv2.GaussianBlur(sight.small, (0, 0), SMOOTHED_PX)
    low, middle, high = (float(v) for v in np.percentile(smooth, [0.5, 50, 99.5]))
    if np.percentile(sight.small, 99.9) < DARKEST:
        return doubt("too_dark")
    if _noisy(sight, high - low):
        return doubt("too_noisy")
    if high - low < NEARLY_ONE_GREY * high:
        return doubt("no_contrast")
    if reason.code in ("inverted", "no_contrast"):
        return reason
    code = _of_a_line(sight, middle)
    return doubt(code) if code else _unfocused(sight) or reason


def _noisy(sight, light):
    """Noise drowns the light of the band and all that varies in the picture."""
    noise, context = pixel_noise(sight.grey), sight.context
    land = context.land - min(context.below, context.above)
    share = NOISY if noise > HIGH_GAIN else TOO_NOISY
    return noise > share * max(land, light, float(sight.small.mean()))


def _of_a_line(sight, middle):
    """What is wrong with a bright line that can be seen: a code, or None."""
    if _clipped_share(sight) > MOST_CLIPPED:
        return "saturated"
    if _leaves(sight, middle):
        return "land_fills_frame"
    if _ruled_darkly(sight):
        return "ruling"
    if not sight.through:
        return None
    context = sight.context
    bounded = context.left is not None and context.right is not None
    if bounded and context.certain and (_two_lines(context) or _beside(context)):
        return "two_bands"
    other = line_beside(sight.bright, sight.band, sight.sigmas, context)
    light, second = (float(np.quantile(b.strength, 0.75)) for b in (sight.band, other))
    alike = other.upright == sight.band.upright and other.reward > SECOND_RUNS_THROUGH
    return "two_bands" if alike and second > SECOND_LINE * light else None


def _beside(context):
    """Bands that run along the found one."""
    return [band for band in bands_beside(context) if band[1] > SECOND_BAND]


def _two_lines(context):
    """Two bands close together, or one with two bright borders."""
    return context.beside > ANOTHER_BESIDE or _dip(context) > TWO_BORDERS


def _dip(context):
    """How far the light falls between two borders that shine, relative to theirs."""
    step = context.x[1] - context.x[0]
    near = (context.x > context.left - 2 * step) & (context.x < context.right + 2 * step)
    light = context.profile[near]
    before, after = np.maximum.accumulate(light), np.maximum.accumulate(light[::-1])[::-1]
    height = max(float(light.max()) - min(context.below, context.above), 1e-9)
    return float((np.minimum(before, after) - light).max()) / height


def _ruled_darkly(sight):
    """Dark lines run through the picture as those of a ruling do."""
    path = find_band(sight.band.reduction, sight.dark, sight.sigmas)
    context = look_around(float(sight.small.max()) - sight.small, path)
    if context.left is None or context.right is None or not context.certain:
        return False
    return is_ruled(_beside(context))


def _clipped_share(sight):
    """Share of the line that lies at the upper end of the scale."""
    band, small = sight.band, sight.small
    strong = band.strength >= 0.5 * np.quantile(band.strength, 0.75)
    path = np.rint((band.centre_rc + 0.5) / band.reduction - 0.5).astype(int)
    row, col = np.clip(path, 0, np.array(small.shape) - 1)[strong].T
    return float((small[row, col] >= CLIPPED).mean())


def _leaves(sight, middle):
    """One bright body reaches the border that the line runs along."""
    smooth = cv2.GaussianBlur(sight.small, (0, 0), 1.0)
    level = (middle + float(np.percentile(smooth, 99.8))) / 2
    bright = (smooth > level).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(bright)
    if count < 2:
        return False
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    body = labels == largest
    if body.sum() < ONE_BODY * bright.sum() or body.mean() > 0.5:
        return False
    if steepest_step(sight.small, 1) > SOFTEST_BODY_PX:
        return False
    along = [float(each.mean()) for each in (body[0], body[-1])]
    ends = [float(each.mean()) for each in (body[:, 0], body[:, -1])]
    if sight.band.upright:
        along, ends = ends, along
    return max(along) > RUNS_ALONG or (max(along) > TOUCHES and max(ends) > 0)


def line_beside(bright, band, sigmas, context):
    """The brightest line of the picture away from a found one, along it or aslant to it.

    Parameters
    ----------
    bright, sigmas
        As for `find_band`.
    band : BandPath
        The found one.
    context : Context

    Returns
    -------
    BandPath
    """
    rows, cols = bright[0].shape
    path = (band.centre_rc + 0.5) / band.reduction - 0.5
    bounded = context.left is not None and context.right is not None
    width = context.right - context.left if bounded else 2 * band.sigma_px
    reach = BESIDE_WIDTHS * width / band.reduction + BESIDE_PX
    major, minor = (0, 1) if band.upright else (1, 0)
    at = np.interp(np.arange((rows, cols)[major]), path[:, major], path[:, minor])
    off = np.abs(np.arange((rows, cols)[minor])[:, None] - at)
    rest = (off if major else off.T) > reach
    return find_band(band.reduction, [each * rest for each in bright], sigmas)


def _unfocused(sight):
    """The refusal of a picture whose steepest step is soft, or None."""
    context, factor = sight.context, sight.band.reduction
    if not context.certain or context.left is None or context.right is None:
        return None
    blur = steepest_step(sight.small, factor)
    least = np.hypot(SOFTEST_PX, 2.5 * factor)  # the reduced picture is no sharper
    if blur > least and 9 * blur > context.right - context.left:
        return doubt("out_of_focus", f"(blur about {blur:.0f} pixels)", where=Where(value=blur))
    return None


def short_stretch(factor, bright, sigmas):
    """Part of the picture along the edge in which alone the land can be seen.

    Parameters
    ----------
    factor, bright, sigmas
        As for `find_band`.

    Returns
    -------
    band : BandPath
    first, last : int
        Places of its path.
    """
    band = find_band(factor, bright, sigmas, share=FEW)
    usual = float(np.quantile(band.strength, 1 - FEW))
    found = runs(band.strength > 0.4 * usual)
    joined = [found[0].tolist()]
    for first, last in found[1:].tolist():
        if first - joined[-1][1] <= BRIDGED * len(band.strength):
            joined[-1][1] = last
        else:
            joined.append([first, last])
    first, last = max(joined, key=lambda run: run[1] - run[0])
    return band, first, last
