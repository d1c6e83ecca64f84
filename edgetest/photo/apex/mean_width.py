"""How well the mean width is known: noise and texture, stretches not measured, model, tone.

The interval is of one thing: the mean width of the edge that the picture shows, chips
left out. That the width really varies along the edge is no error of this mean; only
where a stretch could not be measured does the variation count, for what is guessed there.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.photo.apex.land_texture import land_texture
from edgetest.photo.apex.refusal_rules import structure
from edgetest.photo.smooth import local_line, runs

MODEL_U_PX = 0.004  # pixels, interpolation and rounding differ from the model by this much
# Blurs of width error for the land's unevenness that its places share. Second world, even seeds,
# with the camera's sharpening in the interval: 'plain' 100 %, 'hard' 93 % hold the width.
TEXTURE_U = 4.0
STRUCTURE_U = 0.8  # blurs of width error for a misfit that neighbours share; by simulation
SHAPE_U, OVERLAP_BLURS = 3.0, 7.0  # found with a defocus disc in place of the Gaussian
DRAWN = 1.5
# Blurs, for what a camera's mask and local contrast do to an overexposed land, where neither can be
# undone. Of 15 such lands by sharpening cameras (second world, even seeds) 8 intervals hold the
# width with 0.03, 13 with 0.1.
SATURATED_U = 0.1
CUT_NOISE_U = 0.8  # blurs: the ground's foot is lifted more than the land's
END_PLACES = 12
DETREND_PX = 14.0  # along the edge; slower changes are taken for the edge's own


@dataclass(frozen=True)
class MeanWidth:
    """Mean width along the edge with its standard uncertainty, pixels.

    `sd_px` is the real spread along the edge.
    """

    mean_px: float
    u_px: float
    sd_px: float


def mean_width(sides, used, *, shape, profile, chipped, cut_noise):
    """Mean of the width along the edge that the picture shows.

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)
        Places that count.
    shape : float
        Misfit that all places share: a lens or a land unlike the model.
    profile : ProfileShape or None
        What the mean profile says of lens and land, and how it corrects the width.
    chipped : ndarray of bool, shape (n,)
        Places that a chip takes up: no part of the edge whose width is meant.
    cut_noise : float
        Noise relative to the contrast, where the dark ground cuts off its lower half.

    Returns
    -------
    MeanWidth
    """
    blur_px, structured = float(np.median(sides.blur_px[used])), structure(sides, used)
    uneven = 0.0 if sides.saturated else land_texture(sides, used)
    shown = sides.contrast > 0.5 * np.quantile(sides.contrast[used], 0.5)
    first, last = _shown_span(used, used | shown)
    counted = ~chipped[first:last]
    width, used = sides.width_px[first:last][counted], used[first:last][counted]
    filled, off, kept = _bridged(width, used, max(4.0, DETREND_PX / sides.block))
    share = independent_share(off, used)
    variance = float(np.mean(off[used] ** 2)) / kept**2
    count = used.sum()
    scatter = np.sqrt(variance / (count * share))
    slow = max(float(np.var(filled[used])) - variance, 0.0)
    gaps = _gap_uncertainty(filled, used, slow, variance)
    model = np.hypot(MODEL_U_PX, STRUCTURE_U * structured * blur_px)
    model = np.hypot(model, TEXTURE_U * uneven * blur_px)
    # Both sides' halos overlap where the land is a few blurs wide; on a wide one they do not.
    overlap = min(1.0, (OVERLAP_BLURS * blur_px / max(float(filled.mean()), 1e-6)) ** 3)
    model = np.hypot(model, SHAPE_U * shape * blur_px * overlap)
    # Straightening draws the noise out over a pixel or two, so it is not white.
    shared = (1.0 if sides.saturated else DRAWN) * sides.shared_u_px
    if sides.saturated:
        model = np.hypot(model, SATURATED_U * blur_px)
    model = np.hypot(model, CUT_NOISE_U * cut_noise * blur_px)
    shift = 0.0
    if profile is not None:
        shift, model = profile.shift_px, np.hypot(model, profile.u_px)
    return MeanWidth(
        mean_px=float(filled.mean()) + shift,
        u_px=float(np.sqrt(scatter**2 + gaps**2 + model**2 + shared**2)),
        sd_px=float(np.sqrt(slow)),
    )


def _bridged(width, used, reach):
    """Width with its gaps bridged, its deviation from a local linear regression, and the share.

    The share is of a deviation's size that the regression leaves.
    """
    index = np.arange(width.size)
    trend = local_line(np.interp(index, index[used], width[used]), reach, weight=used + 1e-6)
    # A gap is bridged from what is usual on its sides, not from the last places before it;
    # beyond the outermost used places the mean of a few of them stands in.
    few = width[used][:END_PLACES], width[used][-END_PLACES:]
    ends = float(np.mean(few[0])), float(np.mean(few[1]))
    bridge = np.interp(index, index[used], trend[used], left=ends[0], right=ends[1])
    filled = np.where(used, width, bridge)
    # The trend follows a little of the scatter: a Gaussian line of this reach takes up
    # 1 / (2 sqrt(pi) reach) of white noise.
    kept = 1 - 1 / (2 * np.sqrt(np.pi) * reach)
    return filled, np.where(used, filled - trend, 0.0), kept


def _shown_span(used, shown):
    """First and past-the-last place of the edge: from used places outward while it mostly shows.

    A label over the end of the edge does not end it.
    """
    places = np.flatnonzero(used)
    first, last = int(places[0]), int(places[-1]) + 1
    return first - _reach(shown[:first][::-1]), last + _reach(shown[last:])


def _reach(shown):
    """How many places from the first on show the edge by at least a half."""
    share = np.cumsum(shown) / np.arange(1, shown.size + 1)
    mostly = np.flatnonzero((share >= 0.5) & shown)
    return int(mostly[-1]) + 1 if mostly.size else 0


def independent_share(values, used):
    """Effective number of independent values over their number, from the autocorrelation.

    Sum of the autocorrelation up to the first lag where it falls below 0.05 (initial
    positive sequence), neighbours counted only where both are used.
    """
    values = np.where(used, values - values[used].mean(), 0.0)
    if not np.any(values):
        return 1.0
    length = 1 << (2 * values.size - 1).bit_length()
    power = np.abs(np.fft.rfft(values, length)) ** 2
    pairs = np.abs(np.fft.rfft(used.astype(float), length)) ** 2
    most = max(2, values.size // 4)
    auto = np.fft.irfft(power, length)[:most]
    count = np.fft.irfft(pairs, length)[:most]
    rho = (auto / np.maximum(count, 1)) / (auto[0] / count[0])
    small = np.flatnonzero(rho < 0.05)
    stop = int(small[0]) if small.size else most
    return float(1 / (1 + 2 * rho[1:stop].sum()))


def _gap_uncertainty(filled, used, slow_variance, variance):
    """Standard uncertainty from what was interpolated over the gaps.

    A gap of length g in a series of correlation length c is known, between its ends, to
    about the slow variance times min(1, g / (2 c)); gaps are independent of each other.
    """
    if used.all() or slow_variance <= 0:
        return 0.0
    smooth = local_line(filled, 4.0)
    share = independent_share(smooth, np.ones(smooth.size, dtype=bool))
    correlation = 0.5 / max(share, 1e-6)
    gaps = np.diff(runs(~used), axis=1).ravel().astype(float)
    unknown = np.minimum(1.0, gaps / (2 * correlation)) * slow_variance
    # A long gap holds several independent stretches.
    pieces = np.maximum(1.0, gaps / (2 * correlation))
    total = np.sum(gaps**2 * (unknown / pieces + variance / 4)) / filled.size**2
    return float(np.sqrt(total))
