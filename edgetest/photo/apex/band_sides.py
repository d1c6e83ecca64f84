"""Both sides of the band at every place along the edge, below one pixel.

Rough path -> straightened strip -> half-level crossings -> finer path -> fit of the
blurred band (or, for a wide land, of either side by itself with its own land level).
"""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.photo.apex.first_guess import trace_sides
from edgetest.photo.apex.profile_fit import Terms, band_model, fit_profiles, step_model
from edgetest.photo.apex.straighten import Track, make_track, unroll
from edgetest.photo.smooth import local_line, robust_line, running_median

WIDE_PX = 40.0  # from here on either side has its own land level
BLUR_KNOTS = 4
SATURATED = 0.97  # a land at the upper end of the scale
CLIPPED = 0.985  # a pixel at the upper end


@dataclass(frozen=True)
class FittedSides:
    """The band at every block along the edge; pixels, linear light.

    Attributes
    ----------
    track : Track
        Middle line and normals, one place a block.
    left, right : ndarray, shape (n,)
        Offsets of the sides from the track.
    width_px : ndarray, shape (n,)
        Width along the true normal of the middle line.
    land, below, above : ndarray, shape (n,)
        Levels of land and ground.
    blur_px : ndarray, shape (n,)
    stderr_px : ndarray, shape (n,)
        Standard error of the width from residual noise, neighbours within the profile
        taken as independent.
    misfit : ndarray, shape (n,)
        Root mean square residual relative to the contrast.
    seen, clear : ndarray, shape (n,)
        Share of the samples near the worse side that lie inside the picture, and that
        the fit did not set aside as foreign (dust, a scratch).
    noise : float
        Robust standard deviation of the residuals.
    shared_u_px : float
        Standard error of the mean width through what all places share.
    saturated : bool
        The land is overexposed; its level comes from the flanks.
    block : int
        Pixels along the edge in a block.
    wide : bool
        Sides were fitted by themselves.
    held : bool
        The band looks narrower than the blur allows to fit: its width was held, only its
        place, light and ground were fitted.
    """

    track: Track
    left: np.ndarray
    right: np.ndarray
    width_px: np.ndarray
    land: np.ndarray
    below: np.ndarray
    above: np.ndarray
    blur_px: np.ndarray
    stderr_px: np.ndarray
    misfit: np.ndarray
    seen: np.ndarray
    clear: np.ndarray
    noise: float
    shared_u_px: float
    saturated: bool
    block: int
    wide: bool
    held: bool
    x: np.ndarray
    values: np.ndarray
    weight: np.ndarray
    residual: np.ndarray

    @property
    def contrast(self):
        """Land over the mean of both grounds."""
        return self.land - (self.below + self.above) / 2


def fit_sides(grey, small, band, context, *, blur_px=None, held=False):
    """Fit the band found by `find_band` at full resolution.

    Parameters
    ----------
    grey, small : ndarray, shape (rows, cols), float32
        The picture and the reduced one.
    band : BandPath
    context : Context
        With both crossings.
    blur_px : float, optional
        Blur where it is known from elsewhere.
    held : bool
        Hold the width at about the blur and fit only place, light and ground.

    Returns
    -------
    FittedSides
    """
    points, width = _on_reduced(small, band, context)
    track = make_track(points, grey.shape)
    block = int(np.clip(round(len(track.s) / 400), 1, 4))
    strip = unroll(grey, track, width / 2 + 4.0 * band.reduction + 12, block=block)
    points, rough = _centre_points(strip, width, band.upright, 24 / block)
    track = make_track(_in_picture(points, track, grey.shape), grey.shape)
    width = rough.width
    blur = rough.blur_px
    margin = float(np.clip(4.5 * blur + 3, 8, 60))
    clipped = _overexposed(rough.land)
    if width > max(WIDE_PX, 12 * blur) and not clipped and not held:
        return _fit_wide(grey, track, block, rough, width, blur, margin)
    known = blur_px is not None
    return _fit_band(grey, track, block, width, margin, blur_px if known else blur, known, held)


def _on_reduced(small, band, context):
    """Middle of the band on the reduced picture, in pixels of the full one, and its width."""
    factor = band.reduction
    track = make_track((band.centre_rc + 0.5) / factor - 0.5, small.shape)
    width = (context.right - context.left) / factor
    shift = np.full(len(track.s), (context.left + context.right) / 2 / factor)
    strip = unroll(small, track, 0.9 * width + 10, centre=shift)
    points, rough = _centre_points(strip, width, band.upright, 20.0, shift=shift)
    points = _in_picture(points, track, small.shape)
    return (points + 0.5) * factor - 0.5, rough.width * factor


def _in_picture(points, track, shape):
    """The points, or those of the track where a foreign picture led all of them out."""
    inside = (points >= -0.5) & (points <= np.array(shape) - 0.5)
    return points if inside.all(axis=1).any() else track.centre_rc


def _centre_points(strip, width, upright, reach, *, shift=0.0):
    """Points through the middle of the band, smoothed in the picture's own coordinates.

    Smoothing their distance from the rough path would keep that path's staircase.
    """
    rough = trace_sides(strip, width)
    centre = running_median((rough.left + rough.right) / 2 + shift, 5)
    points = strip.track.centre_rc + centre[:, None] * strip.track.normal_rc
    trust = np.clip(rough.contrast / rough.usual - 0.3, 0, 0.5) + 1e-3
    trust = trust * np.where(
        np.abs(rough.right - rough.left - rough.width) < 0.4 * width + 3, 1, 0.02
    )
    main, cross = (0, 1) if upright else (1, 0)
    smooth = points.copy()
    smooth[:, main] = local_line(points[:, main], reach / 2)
    smooth[:, cross], _ = robust_line(points[:, cross], max(4.0, reach), weight=trust)
    return smooth, rough


def _overexposed(land):
    """A quarter of the places are at the upper end: the land is uneven, the rest soon will be."""
    return float(np.quantile(land, 0.75)) > SATURATED


def _basis(n):
    """Straight pieces between `BLUR_KNOTS` knots along the edge."""
    place = np.linspace(0, BLUR_KNOTS - 1, n)
    return np.clip(1 - np.abs(place[:, None] - np.arange(BLUR_KNOTS)[None, :]), 0, 1)


def _fit_band(grey, track, block, width, margin, blur, known, held):
    """Whole profiles, one land level each."""
    half = width / 2 + 1.3 * margin
    strip = unroll(grey, track, half, block=block)
    rough = trace_sides(strip, width)
    n = len(strip.values)
    left = running_median(rough.left, 7)
    right = running_median(rough.right, 7)
    ground = running_median(rough.below, 7), running_median(rough.above, 7)
    start = np.stack([left, right, running_median(rough.land, 5), *ground], axis=1)
    x = np.broadcast_to(strip.x, strip.values.shape)
    if held:
        middle = running_median((rough.left + rough.right) / 2, 9)
        start[:, 0], start[:, 1] = middle - 0.6 * blur, middle + 0.6 * blur
        start[:, 2] = start[:, 3:].mean(axis=1) + 2.2 * rough.usual
    elif _overexposed(rough.land):
        return _fit_saturated(strip, x, start, blur, known)
    if held:
        terms = Terms(hold_width=True, clip=np.inf)
        fit = fit_profiles(band_model, x, strip.values, strip.weight, start, blur, terms=terms)
        return _band_gathered(strip, fit, strip.weight, held=True)
    fit = fit_profiles(
        band_model,
        x,
        strip.values,
        strip.weight,
        start,
        np.full(BLUR_KNOTS, blur),
        basis=_basis(n),
        terms=Terms(fix_blur=known, steps=9),
    )
    # The blur kept the middle of a narrow land below the upper end, or only just at it.
    if _overexposed(fit.params[:, 2]) and _overexposed(strip.values.max(axis=1)):
        return _fit_saturated(strip, x, start, blur, known)
    return _band_gathered(strip, fit, strip.weight)


def _band_gathered(strip, fit, given, *, held=False):
    """Result of a fit of whole profiles."""
    left, right, land, below, above = fit.params.T
    seen, clear = [], []
    for side in (left, right):
        near = np.abs(strip.x - side[:, None]) <= np.maximum(2.5 * fit.blur_px, 2)[:, None]
        seen.append(_share(strip.weight, near))
        clear.append(_share(fit.weight, near & (given > 0)))
    return _gathered(strip, fit, (left, right), (land, below, above), (seen, clear), held=held)


def _fit_saturated(strip, x, start, blur, known):
    """Whole profiles of an overexposed land as the camera clipped them.

    The half level of the clipped picture lies outside the true one; what the flanks below the
    clip say of it (`edgetest.photo.apex.overexposed`) is known for all places together.
    """
    terms = Terms(fix_blur=known, clip=np.inf)
    fit = fit_profiles(band_model, x, strip.values, strip.weight, start, blur, terms=terms)
    return replace(_band_gathered(strip, fit, strip.weight), saturated=True)


def _fit_wide(grey, track, block, rough, width, blur, margin):
    """Either side by itself, samples only near it."""
    strip = unroll(grey, track, width / 2 + 1.3 * margin + 4, block=block)
    rough = trace_sides(strip, width)
    reach = max(3.0, 16.0 / block)
    left, _ = robust_line(running_median(rough.left, 5), reach, cut=4)
    right, _ = robust_line(running_median(rough.right, 5), reach, cut=4)
    n = len(strip.values)
    places = np.arange(n)
    offset = np.arange(-int(np.ceil(margin)), int(np.ceil(margin)) + 1)
    sides, values, weights = [], [], []
    for place, outward in ((left, -1), (right, 1)):
        nearest = np.rint(place).astype(int)
        index = nearest[:, None] - outward * offset[None, :] - int(strip.x[0])
        ok = (index >= 0) & (index < strip.x.size)
        index = np.clip(index, 0, strip.x.size - 1)
        values.append(strip.values[places[:, None], index])
        weights.append(strip.weight[places[:, None], index] * ok)
        sides.append(nearest)
    y, mask = np.concatenate(values), np.concatenate(weights)
    start = np.stack(
        [
            np.concatenate([left - sides[0], -(right - sides[1])]),
            np.concatenate([running_median(rough.below, 5), running_median(rough.above, 5)]),
            np.concatenate([rough.land, rough.land]),
        ],
        axis=1,
    )
    x = np.broadcast_to(offset.astype(float), y.shape)
    basis = np.concatenate([_basis(n)] * 2)
    fit = fit_profiles(step_model, x, y, mask, start, blur, basis=basis)
    left = sides[0] + fit.params[:n, 0]
    right = sides[1] - fit.params[n:, 0]
    below, above = fit.params[:n, 1], fit.params[n:, 1]
    land = (fit.params[:n, 2] + fit.params[n:, 2]) / 2
    near = np.abs(x - fit.params[:, :1]) <= np.maximum(2.5 * fit.blur_px, 2)[:, None]
    seen, clear = _share(mask, near), _share(fit.weight, near)
    shown = (seen[:n], seen[n:]), (clear[:n], clear[n:])
    return _gathered(strip, fit, (left, right), (land, below, above), shown, wide=True)


def _share(weight, near):
    """Mean weight of the samples near a side; 0 where the strip ends before it."""
    count = near.sum(axis=1)
    return np.where(count > 0, (weight * near).sum(axis=1) / np.maximum(count, 1), 0.0)


def _gathered(strip, fit, sides, levels, shown, *, wide=False, held=False):
    """Fit as offsets, widths along the true normal, and misfit of every block."""
    n = len(strip.values)
    (left, right), (land, below, above) = sides, levels
    reach = max(4.0, 24.0 / strip.block)
    line, _ = robust_line(running_median((left + right) / 2, 5), reach)
    tilt = local_line(np.gradient(line, strip.block), reach / 2)
    width = (right - left) / np.sqrt(1 + tilt**2)
    contrast = np.maximum(land - (below + above) / 2, 1e-6)
    square = (fit.residual.astype(float) ** 2).sum(axis=1)
    count = np.maximum((fit.weight > 0).sum(axis=1), 1)
    if wide:
        square, count = square[:n] + square[n:], count[:n] + count[n:]
        stderr = np.hypot(fit.stderr_width[:n], fit.stderr_width[n:])
        blur = (fit.blur_px[:n] + fit.blur_px[n:]) / 2
    else:
        stderr, blur = fit.stderr_width, fit.blur_px
    return FittedSides(
        track=strip.track,
        left=left,
        right=right,
        width_px=width,
        land=land,
        below=below,
        above=above,
        blur_px=blur,
        stderr_px=stderr,
        misfit=np.sqrt(square / count) / contrast,
        seen=np.minimum(*shown[0]),
        clear=np.minimum(*shown[1]),
        noise=fit.noise,
        shared_u_px=fit.shared_u,
        saturated=False,
        block=strip.block,
        wide=wide,
        held=held,
        x=strip.x,
        values=strip.values,
        weight=strip.weight,
        residual=fit.residual,
    )
