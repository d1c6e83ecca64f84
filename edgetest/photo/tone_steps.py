"""On which curve does a camera store light? From patches, or pictures, of known relative light.

A printed step wedge shows patches of known density in a row; a sheet of paper under steady light,
taken at several shutter times, shows the same steps without a wedge (common practice, no source).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput

CURVE_POINTS = 65
FEWEST_STEPS, ENOUGH_STEPS = 4, 8
SAMPLES = 400  # of the row of patches, along it
LEVEL = 0.5 / 255  # added before the logarithm: half a step of an 8-bit file
INSIDE = 0.6  # of a patch, away from its borders
NARROWEST = 0.7  # of the usual patch: a wedge has patches of about one width
ACROSS = 0.4  # of the picture, in its middle, that the patches must fill across the row
# Of the step to the next patch: a patch whose rows or columns scatter more, or whose halves differ
# more, is none. The halves of a slope cut into pieces differ by 0.3.
SCATTER, HALVES = 0.35, 0.15
OUT_OF_ORDER = 0.35  # of the usual step: a value that falls by more was given for another patch
SMALLEST_PATCH = 4  # pixels
UNEVEN_SHEET = 0.03  # of its stored level
WHITE = 0.998  # of full scale: a step from here on is clipped
CLOSE = 2.0  # percent of the light, that a step lies off the curve through the others
SHALLOW, STEEP = 0.3, 8.0  # powers with which the curve goes on beyond the steps
REACHES = 0.7  # of full scale: a land is stored up here
PICTURE_MEND = "crop the picture to the row of patches, filling it, evenly lit and not overexposed"


@dataclass(frozen=True)
class ToneSteps:
    """The tone curve of a camera as grey steps show it.

    Attributes
    ----------
    stored, light : tuple of float
        Each usable step, darkest first: what the camera stored, 0 to 1, and its light, full
        scale 1.
    curve : tuple of float
        Light 0 to 1 at evenly spaced stored values 0 to 1.
    off_percent : float
        How far a step lies from the curve through the others (root mean square, leave one out).
    doubts : tuple of Doubt
    """

    stored: tuple[float, ...]
    light: tuple[float, ...]
    curve: tuple[float, ...]
    off_percent: float
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        steps = [{"stored": s, "light": v} for s, v in zip(self.stored, self.light, strict=True)]
        numbers = {"curve": list(self.curve), "steps": steps, "off_percent": self.off_percent}
        return {**numbers, **told(self.doubts)}

    def summary(self):
        """The curve in a sentence."""
        low, high = self.stored[0], self.stored[-1]
        return (
            f"tone curve from {len(self.stored)} steps, stored {100 * low:.0f} to {100 * high:.0f} "
            f"% of full scale; a step lies {self.off_percent:.2g} % off a curve through the others"
        )


def tone_of_steps(stored, light):
    """The curve from stored values of known light (monotone piecewise cubic, log against log).

    Parameters
    ----------
    stored : array_like, shape (n,)
        What the camera stored of every step, 0 to 1.
    light : array_like, shape (n,)
        Relative light of every step, any unit, above 0.

    Returns
    -------
    ToneSteps

    Raises
    ------
    UnusableInput
        If fewer than four steps lie between black and full scale, or stored values do not
        rise with the light.

    References
    ----------
    .. [1] F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM J.
       Numer. Anal. 17 (1980) 238-246 (from memory).
    """
    stored, light = np.asarray(stored, dtype=float), known_light(light)
    if stored.shape != light.shape:
        what = f"{light.size} lights for {stored.size} steps"
        raise UnusableInput(what, "steps", "give the light of every step, such as 0.9,0.45,0.22")
    order = np.argsort(light)
    stored, light = stored[order], light[order]
    usable = (stored > LEVEL) & (stored < WHITE)
    stored, light = stored[usable], light[usable]
    if stored.size < FEWEST_STEPS:
        what = f"{stored.size} steps lie between black and full scale, {FEWEST_STEPS} are needed"
        raise UnusableInput(what, "steps", "expose so that most steps are neither black nor white")
    rising = np.asarray(isotonic_regression(stored).x)
    if np.abs(rising - stored).max() > OUT_OF_ORDER * (rising[-1] - rising[0]) / stored.size:
        what = "stored values do not rise with the light of the steps"
        raise UnusableInput(what, "steps", "check the order and the values; " + PICTURE_MEND)
    first = np.concatenate([[True], np.diff(rising) > 0])
    stored, light = rising[first], light[first]
    if stored.size < FEWEST_STEPS:
        raise UnusableInput(
            "steps look alike", "steps", "use steps that differ, and " + PICTURE_MEND
        )
    full = float(_light_at(1.0, stored, light))
    places = np.linspace(0, 1, CURVE_POINTS)
    curve = np.concatenate([[0.0], _light_at(places[1:], stored, light) / full])
    left_out = [
        _light_at(stored[k], np.delete(stored, k), np.delete(light, k)) / light[k] - 1
        for k in range(1, stored.size - 1)
    ]
    off = float(100 * np.sqrt(np.mean(np.square(left_out))))
    met = (
        ("few_tone_steps", stored.size < ENOUGH_STEPS, stored.size),
        ("tone_steps_dark", stored[-1] < REACHES, float(stored[-1])),
        ("tone_steps_off", off > CLOSE, off),
    )
    return ToneSteps(
        tuple(np.round(stored, 6).tolist()),
        tuple(np.round(light / full, 8).tolist()),
        tuple(np.round(curve, 7).tolist()),
        off,
        tuple(doubt(code, where=Where(value=value)) for code, is_met, value in met if is_met),
    )


def known_light(light):
    """The light of steps as an array.

    Raises
    ------
    UnusableInput
        If one is not above zero.
    """
    light = np.asarray(light, dtype=float)
    if not (np.isfinite(light) & (light > 0)).all():
        what = "the light of a step is not above zero"
        raise UnusableInput(what, "steps", "give the light of every step, such as 0.9,0.45,0.22")
    return light


def _light_at(places, stored, light):
    """Light at stored values: PCHIP of its logarithm, going on as a power beyond the steps."""
    x, y = np.log(stored), np.log(light)
    along = PchipInterpolator(x, y)
    at = np.log(places)
    slopes = np.clip(along(x[[0, -1]], 1), SHALLOW, STEEP)
    inner = along(np.clip(at, x[0], x[-1]))
    return np.exp(
        inner + slopes[0] * np.minimum(at - x[0], 0) + slopes[1] * np.maximum(at - x[-1], 0)
    )


def patches_in(grey, number):
    """Stored values of patches that lie in a row and fill the picture, in their order.

    The row is cut into stretches of least scatter (optimal segmentation by dynamic
    programming, Fisher 1958, from memory); a stretch's inner part gives its value.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        Stored grey, 0 to 1.
    number : int
        Of patches.

    Returns
    -------
    ndarray, shape (number,)

    Raises
    ------
    UnusableInput
        If the picture shows no such row.
    """
    if number < FEWEST_STEPS:
        raise UnusableInput(f"{number} steps are too few", "steps", f"use {FEWEST_STEPS} or more")
    values, uneven = min((_row_along(turned, number) for turned in (grey, grey.T)),
                         key=lambda row: row[1])  # fmt: skip
    steps = np.diff(values[values < WHITE])
    if uneven > 1 or not (np.all(steps > 0) or np.all(steps < 0)):
        what = f"no row of {number} even patches, each lighter than the last, is seen"
        raise UnusableInput(what, "grey steps", PICTURE_MEND)
    return values


def even_level(grey):
    """Stored value of a picture of one even surface, from its middle.

    Raises
    ------
    UnusableInput
        If the middle is not even.
    """
    spare = [int((1 - ACROSS) / 2 * side) for side in grey.shape]
    middle = grey[spare[0] : grey.shape[0] - spare[0], spare[1] : grey.shape[1] - spare[1]]
    level = float(middle.mean())
    if max(_scatter(middle), _halves(middle)) > UNEVEN_SHEET * level + LEVEL:
        raise UnusableInput(
            "the middle of the picture is not one even surface",
            "grey steps",
            "photograph a sheet of white paper, out of focus, under steady light",
        )
    return level


def _row_along(grey, number):
    """Values of the patches of a row along the columns; their worst unevenness, 1 just allowed."""
    rows, columns = grey.shape
    if columns < SMALLEST_PATCH * number:
        return np.zeros(number), np.inf
    spare = int((1 - ACROSS) / 2 * rows)
    strip = grey[spare : rows - spare]
    mean = strip.mean(axis=0)
    samples = min(SAMPLES, columns)
    coarse = cv2.resize(mean[None, :], (samples, 1), interpolation=cv2.INTER_AREA)[0]
    cuts = _cuts(np.log(coarse.astype(float) + LEVEL), number) * columns / samples
    if not cuts.size:
        return np.zeros(number), np.inf
    margin = (1 - INSIDE) / 2 * np.diff(cuts)
    ends = zip(np.ceil(cuts[:-1] + margin), np.floor(cuts[1:] - margin), strict=True)
    parts = [strip[:, int(low) : max(int(high), int(low) + 1)] for low, high in ends]
    values = np.array([float(part.mean()) for part in parts])
    step = np.abs(np.diff(values))
    near = np.minimum(np.append(step, np.inf), np.insert(step, 0, np.inf))
    uneven = np.array([max(_scatter(part) / SCATTER, _halves(part) / HALVES) for part in parts])
    uneven /= np.maximum(near, 1e-9)
    return values, float(uneven[values < WHITE].max(initial=0.0 if uneven.size > 1 else np.inf))


def _scatter(part):
    """Scatter of the means of rows and of columns of a patch, beyond what noise makes of them."""
    noise = float(np.var(part))
    beyond = [float(np.var(part.mean(axis=k))) - noise / part.shape[k] for k in (0, 1)]
    return float(np.sqrt(max(0.0, *beyond)))


def _halves(part):
    """By how much the halves of a patch differ, along it or across it."""
    cut = [side // 2 for side in part.shape]
    rows = part[: cut[0]].mean() - part[cut[0] :].mean() if cut[0] else 0.0
    columns = part[:, : cut[1]].mean() - part[:, cut[1] :].mean() if cut[1] else 0.0
    return max(abs(float(rows)), abs(float(columns)))


def _cuts(profile, number):
    """Borders of the stretches of least scatter, ends included."""
    count = profile.size
    one, two = (np.concatenate([[0.0], np.cumsum(profile**power)]) for power in (1, 2))
    first, last = np.arange(count + 1)[:, None], np.arange(count + 1)[None, :]
    long = last - first
    scatter = (two[last] - two[first]) - (one[last] - one[first]) ** 2 / np.maximum(long, 1)
    scatter = np.where(long >= NARROWEST * count / number, scatter, np.inf)
    best, back = scatter[0], []
    for _ in range(number - 1):
        ways = best[:, None] + scatter
        back.append(np.argmin(ways, axis=0))
        best = ways.min(axis=0)
    if not np.isfinite(best[count]):
        return np.empty(0)
    cuts = [count]
    for before in reversed(back):
        cuts.append(int(before[cuts[-1]]))
    return np.array([0, *reversed(cuts)], dtype=float)
