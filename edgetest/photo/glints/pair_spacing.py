"""How far apart do two bright lines run, and how well is that known?

The lines are fitted at every place with and without light between them; the mean over the
places is taken of both, and the interval spans both.
"""

from dataclasses import dataclass, field

import cv2
import numpy as np

from edgetest.estimate import plain
from edgetest.photo.apex.find_band import reduce
from edgetest.photo.apex.mean_width import independent_share
from edgetest.photo.glints.find_pair import BLOCK_PX, find_pair
from edgetest.photo.glints.fit_pair import GROUND, fit_pair
from edgetest.photo.linear_light import grey_of
from edgetest.photo.smooth import robust_line

FINE_SD_PX = 3.0  # lines wider than this on the reduced picture lose nothing by it
UNEVEN = 4.0  # times as bright as the other line: then it is no line of the same crest
FAINT = 0.25  # of the ground's light: a line that rises less may be anything
WHOLE = 1.5  # deviations of a line that lie within the picture at a place that counts
FEWEST, LEAST_SHARE = 10, 0.25  # places that count, and their share of those in the picture
SMALLEST_PX = 24
OFF = 0.25  # of the usual spacing: a place farther off shows something else
WEAK = 0.3  # of a line's usual height: a place where it is weaker does not count
TREND_PX = 60.0  # along the lines; slower changes are the edge's own
# Deviations of a line over which it may be overexposed: its flanks tell its middle. In 18 edges of
# `tests/benchmarks/side_light.py` (even seeds) with up to 2.25 nothing was lost.
# A line that is white from flank to flank has 2.35.
MOST_FULL = 2.3
BOTH_LINES = 2.5  # spacing of two lines, one four times as bright, over their joint deviation


def _no_places():
    return np.empty((0, 2))


@dataclass(frozen=True)
class LineSpacing:
    """Two lines of one crest, how far apart; or one alone; or the reason why there are none.

    Attributes
    ----------
    found : {"two lines", "one line", "none"}
    reason : str
        Code of the doubt where nothing was found.
    spacing_px, low_px, high_px : float or None
        Mean distance of the lines; both ends span the fits with and without light between.
    u_px : float or None
        Standard error of either mean, from the scatter along the lines.
    at_most_px : float or None
        Where there is one line alone: two lines within it are no farther apart.
    line_sd_px : float or None
        Deviation of one line, as a Gaussian: the crest's own and the lens's blur.
    ratio : float or None
        Brightness of the first line (left of the path, upper) over that of the second.
    length_px : float
        Length of the edge that counts.
    position_px, spacing_along_px, used : ndarray, shape (n,)
    first_rc, second_rc : ndarray, shape (n, 2)
        Both lines (row, column), pixels of the photograph.
    """

    found: str
    reason: str = ""
    spacing_px: float | None = None
    low_px: float | None = None
    high_px: float | None = None
    u_px: float | None = None
    at_most_px: float | None = None
    line_sd_px: float | None = None
    sd_along_px: float | None = None
    ratio: float | None = None
    length_px: float = 0.0
    position_px: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    spacing_along_px: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    used: np.ndarray = field(default_factory=lambda: np.empty(0, dtype=bool), repr=False)
    first_rc: np.ndarray = field(default_factory=_no_places, repr=False)
    second_rc: np.ndarray = field(default_factory=_no_places, repr=False)

    def to_dict(self):
        """Plain values for JSON, without the arrays of the overlay."""
        spacing = ("spacing_px", "low_px", "high_px", "u_px", "at_most_px")
        lines = ("line_sd_px", "sd_along_px", "ratio", "length_px")
        values = {key: plain(getattr(self, key)) for key in (*spacing, *lines)}
        return {"found": self.found, **values}


def pair_spacing(light):
    """Distance of the two bright lines in a photograph.

    Parameters
    ----------
    light : Light

    Returns
    -------
    LineSpacing

    Raises
    ------
    UnusableInput
        If the picture is an array, which does not say on which curve its values are stored.
    """
    grey = grey_of(light)
    if min(grey.shape) < SMALLEST_PX:
        return LineSpacing("none", "too_small")
    small, factor = reduce(grey)
    over = light.saturated
    reduced = None if over is None else reduce(over.astype(np.float32))[0] > 0
    pair, reason = find_pair(small, reduced)
    if factor > 1 and (pair is None or pair.sd_px < FINE_SD_PX):
        factor = 1
        pair, reason = find_pair(grey, over)
    if pair is None:
        return LineSpacing("none", reason)
    if full_width(pair) > MOST_FULL * pair.sd_px:
        return LineSpacing("none", "saturated_lines")
    if pair.lines is None:
        return _one_line(pair, factor)
    return _two_lines(pair, factor)


def _one_line(pair, factor):
    """A line alone: two lines within it are at most so far apart."""
    sd_px = pair.sd_px * factor
    return LineSpacing("one line", "one_line", at_most_px=BOTH_LINES * sd_px, line_sd_px=sd_px)


def full_width(pair):
    """How wide the lines are overexposed, pixels: the wider one, amid the places."""
    width = 0.0
    for place in pair.lines or (0.0,):
        near = np.abs(pair.strip.x - place) <= 3 * pair.sd_px
        width = max(width, float(np.mean(pair.full[:, near].sum(axis=1))))
    return width


def _two_lines(pair, factor):
    """Both lines fitted at every place, and the mean of their distance."""
    strip = pair.strip
    spacing, middle = pair.lines[1] - pair.lines[0], sum(pair.lines) / 2
    reach = spacing / 2 + GROUND * pair.sd_px + 2
    near = np.abs(strip.x - middle) <= reach
    x, values, weight = strip.x[near], strip.values[:, near], strip.weight[:, near]
    inner = np.abs(x - middle) <= spacing / 2 + WHOLE * pair.sd_px
    whole = weight[:, inner].min(axis=1) > 0
    if whole.sum() < FEWEST:
        return LineSpacing("none", "lines_leave_picture")
    values, weight = values[whole].astype(float), weight[whole].astype(float)
    counted = weight * ~pair.full[:, near][whole]
    values = cv2.GaussianBlur(values, (0, 0), sigmaX=0.01, sigmaY=1.0)
    start = (middle, spacing, pair.sd_px)
    fits = [fit_pair(values, counted, x, start, filled=filled) for filled in (True, False)]
    # Lines that the picture cuts off look narrower at first than the fit finds them.
    shown = np.abs(x - middle) <= spacing / 2 + WHOLE * max(fit.sd_px for fit in fits)
    whole_lines = (weight[:, shown].min(axis=1) > 0) & (shown[0] == shown[-1])
    used = np.logical_and.reduce([whole_lines, *(_counted(fit) for fit in fits)])
    if used.sum() < max(FEWEST, LEAST_SHARE * used.size):
        code = "lines_unlike" if whole_lines.mean() > LEAST_SHARE else "lines_leave_picture"
        return LineSpacing("none", code)
    means = [_mean(fit.spacing, used) for fit in fits]
    full = fits[0]
    ground = np.median(np.maximum(full.below, full.above)[used])
    heights = [float(np.median(side[used])) for side in (full.first, full.second)]
    if min(heights) < FAINT * ground:
        return LineSpacing("none", "faint_lines")
    ratio = heights[0] / heights[1]
    if max(ratio, 1 / ratio) > UNEVEN:
        return LineSpacing("none", "uneven_lines", ratio=ratio)
    track = strip.track
    centre, normal = track.centre_rc[whole], track.normal_rc[whole]
    sides = [centre + (full.middle + k * full.spacing / 2)[:, None] * normal for k in (-1, 1)]
    spacings = [mean for mean, _, _ in means]
    return LineSpacing(
        "two lines",
        spacing_px=float(np.mean(spacings)) * factor,
        low_px=min(spacings) * factor,
        high_px=max(spacings) * factor,
        u_px=max(u for _, u, _ in means) * factor,
        line_sd_px=full.sd_px * factor,
        sd_along_px=means[0][2] * factor,
        ratio=ratio,
        length_px=float(used.sum() * BLOCK_PX * factor),
        position_px=track.s[whole] * factor,
        spacing_along_px=full.spacing * factor,
        used=used,
        first_rc=(sides[0] + 0.5) * factor - 0.5,
        second_rc=(sides[1] + 0.5) * factor - 0.5,
    )


def _counted(fit):
    """Places where both lines stand, about as far apart as usual."""
    usual = np.median(fit.spacing)
    strong = (fit.first > WEAK * np.median(fit.first)) & (fit.second > WEAK * np.median(fit.second))
    like = np.abs(fit.spacing - usual) < OFF * usual
    calm = fit.misfit < 3 * np.median(fit.misfit)
    return strong & like & calm & np.isfinite(fit.spacing)


def _mean(spacing, used):
    """Mean along the edge, outliers left out, its standard error, and the real spread."""
    line, trust = robust_line(spacing, TREND_PX / BLOCK_PX, weight=used.astype(float))
    off = np.where(used, spacing - line, 0.0)
    kept = used & (trust > 0)
    mean = float(np.average(spacing[kept], weights=trust[kept]))
    scatter = np.sqrt(np.mean(off[kept] ** 2))
    share = independent_share(off, kept)
    return mean, float(scatter / np.sqrt(kept.sum() * share)), float(np.std(line[kept]))
