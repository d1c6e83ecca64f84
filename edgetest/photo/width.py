"""Edge width from an apex-view photograph: the band found, fitted, judged, summed up."""

import numpy as np

from edgetest.photo.apex import ApexMeasurement, WidthSummary, refused
from edgetest.photo.band import find_band, reduce, ridges
from edgetest.photo.interval import mean_width
from edgetest.photo.judge import judge
from edgetest.photo.quality import refusal, warning
from edgetest.photo.sides import fit_sides
from edgetest.photo.trace import look_around

SMALLEST_PX = 24


def measure_apex(
    grey,
    um_per_px,
    *,
    saturated=None,
    scale_relative_u=0.0,
    tone_known=True,
    region=None,
    blur_px=None,
    excluded=(),
):
    """Measure the width of the bright land in an apex-view photograph.

    Parameters
    ----------
    grey : array_like, shape (rows, cols)
        Linear light, 0 to 1.
    um_per_px : float
        Scale.
    saturated : array_like of bool, shape (rows, cols), optional
        Pixels at the upper end of any channel.
    scale_relative_u : float
        Relative standard uncertainty of the scale.
    tone_known : bool
        False where the camera's curve had to be assumed; the interval widens.
    region : (row0, col0, row1, col1), optional
        Part of the picture to look at.
    blur_px : float, optional
        Blur (standard deviation, pixels) known from elsewhere at the same focus, for
        instance from the lines of a stage micrometer.
    excluded : sequence of (from_um, to_um)
        Stretches along the edge struck out by a person.

    Returns
    -------
    ApexMeasurement
        Refusals included; a bad photograph never raises.
    """
    if um_per_px is None or not np.isfinite(um_per_px) or um_per_px <= 0:
        return refused(refusal("no_scale"), scale_relative_u=scale_relative_u)
    scale = {"um_per_px": float(um_per_px), "scale_relative_u": float(scale_relative_u)}
    grey = np.ascontiguousarray(grey, dtype=np.float32)
    origin = np.zeros(2)
    if region is not None:
        row0, col0, row1, col1 = (round(float(v)) for v in region)
        row0, col0 = max(0, row0), max(0, col0)
        grey = np.ascontiguousarray(grey[row0:row1, col0:col1])
        origin = np.array([row0, col0], dtype=float)
    if grey.ndim != 2 or min(grey.shape) < SMALLEST_PX:
        return refused(refusal("too_small"), **scale)
    small, factor = reduce(grey)
    light = np.percentile(small, [1, 50, 99.9])
    if light[2] < 0.004:
        return refused(refusal("too_dark"), **scale)
    if light[2] - light[0] < 0.02 * light[2] + 0.002:
        return refused(refusal("no_contrast"), **scale)
    bright, dark, sigmas = ridges(small)
    band = find_band(small, factor, bright, sigmas)
    dark_band = find_band(small, factor, dark, sigmas)
    context = look_around(small, band)
    sides = None
    if context.left is not None and context.right is not None:
        sides = fit_sides(grey, small, band, context, blur_px=blur_px)
    used = _usable(sides) if sides is not None else np.zeros(0, dtype=bool)
    reason = judge(context, sides, used, band, dark_band)
    if reason is not None:
        return refused(reason, **scale)
    return _summed_up(sides, used, origin, scale, tone_known, excluded)


def _usable(sides):
    """Places whose profile shows the band whole and fits the model."""
    contrast = sides.contrast
    usual = max(float(np.quantile(contrast, 0.75)), 1e-6)
    whole = (sides.seen > 0.97) & (contrast > 0.4 * usual) & (contrast < 2.5 * usual)
    if whole.sum() < 8:
        return whole
    fits = (sides.clear > 0.75) & (
        sides.misfit < 4 * float(np.quantile(sides.misfit[whole], 0.4)) + 0.02
    )
    firm = sides.stderr_px < 0.5 + 0.1 * np.abs(sides.width_px)
    middle = float(np.median(sides.width_px[whole & fits]))
    near = np.abs(sides.width_px - middle) < 0.6 * middle + 2
    # A gap's or a speck's blur reaches its neighbours.
    blur = float(np.median(sides.blur_px)) / sides.block
    whole = ~_spread(~whole, 3 * blur)
    fits = ~_spread(~(fits & firm & near), 1.5 * blur)
    return whole & fits


def _spread(flags, reach):
    """Flags drawn out by `reach` places to either side."""
    half = int(np.ceil(reach))
    return np.convolve(flags.astype(float), np.ones(2 * half + 1), mode="same") > 0.5


def _summed_up(sides, used, origin, scale, tone_known, excluded):
    """Result of a fitted band."""
    um = scale["um_per_px"]
    position_um = sides.track.s * um
    for first, last in excluded:
        used &= ~((position_um >= first) & (position_um <= last))
    if used.sum() < 12:
        return refused(refusal("too_short"), **scale)
    width = sides.width_px[used]
    blur = float(np.median(sides.blur_px[used]))
    found = mean_width(sides.width_px, used, sides.block, blur, tone_known=tone_known)
    mean, sd, u_um = found.mean_px, found.sd_px, found.u_px * um
    half = 1.96 * float(np.hypot(u_um, mean * um * scale["scale_relative_u"]))
    p05, p50, p95 = (np.percentile(width, [5, 50, 95]) * um).tolist()
    summary = WidthSummary(mean * um, mean * um - half, mean * um + half, sd * um, p05, p50, p95)
    track = sides.track
    sides_rc = [
        track.centre_rc + offset[:, None] * track.normal_rc + origin
        for offset in ((sides.left + sides.right) / 2, sides.left, sides.right)
    ]
    snr = float(np.median(sides.contrast[used])) / max(sides.noise, 1e-6)
    warnings = [] if tone_known else [warning("tone_unknown")]
    return ApexMeasurement(
        "measured",
        width_um=summary,
        measured_length_um=float(used.sum() * sides.block * um),
        share_measured=float(used.mean()),
        blur_px=blur,
        snr=snr,
        width_u_um=u_um,
        warnings=tuple(warnings),
        centre_rc=sides_rc[0],
        left_rc=sides_rc[1],
        right_rc=sides_rc[2],
        used=used,
        width_px=sides.width_px,
        position_um=position_um,
        **scale,
    )
