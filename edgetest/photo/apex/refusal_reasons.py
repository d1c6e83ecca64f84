"""Why a picture shows no band that can be measured: noise, focus, or too little of the edge."""

import cv2
import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.find_band import find_band
from edgetest.photo.smooth import runs

FEW = 0.08  # of the picture: so much of the path holds the land at least
TOO_NOISY = 0.4  # noise over the light of the band and of the picture
SOFTEST_PX = 6.0  # the steepest step of a picture in focus is no softer
BRIDGED = 0.02  # of the path
NOISE_ROWS, NOISE_PIXELS = 100, 20000  # as many tell the noise to a hundredth


def pixel_noise(grey):
    """Standard deviation of noise that does not know its neighbours.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)

    Returns
    -------
    float
        From the differences that a plane does not leave (J. Immerkaer, "Fast noise
        variance estimation", Computer Vision and Image Understanding 64 (1996) 300-302),
        by their median.
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


def plainer_reason(reason, grey, small, context, factor):
    """A reason that says more than that there is no band.

    Parameters
    ----------
    reason : Doubt
        What speaks against the band.
    grey, small : ndarray, shape (rows, cols)
        The picture and the reduced one.
    context : Context
    factor : int
        Reduction.

    Returns
    -------
    Doubt
    """
    if reason.code not in ("no_band", "glints_only"):
        return reason
    light = context.land - min(context.below, context.above)
    if pixel_noise(grey) > TOO_NOISY * max(light, float(small.mean())):
        return doubt("too_noisy")
    if context.certain and context.left is not None and context.right is not None:
        blur = steepest_step(small, factor)
        least = np.hypot(SOFTEST_PX, 2.5 * factor)  # the reduced picture is no sharper
        if blur > least and 9 * blur > context.right - context.left:
            more = f"(blur about {blur:.0f} pixels)"
            return doubt("out_of_focus", more, where=Where(value=blur))
    return reason


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
