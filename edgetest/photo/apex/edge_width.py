"""Edge width from an apex-view photograph: the band found, fitted, judged, summed up."""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.apex_damage import find_damage
from edgetest.photo.apex.apex_result import refused
from edgetest.photo.apex.band_sides import CLIPPED, fit_sides
from edgetest.photo.apex.find_band import find_band, reduce, ridges, strongest_possible
from edgetest.photo.apex.first_guess import look_around
from edgetest.photo.apex.overexposed import overexposed_width
from edgetest.photo.apex.refusal_reasons import Sight, plainer_reason, short_stretch
from edgetest.photo.apex.refusal_rules import DARKER, objection
from edgetest.photo.apex.tone_family import SOFTER, Tone, softer_light
from edgetest.photo.apex.usable_places import (
    FEWEST_PLACES,
    is_narrow,
    shows_band,
    too_narrow,
    usable,
)
from edgetest.photo.apex.width_along import FoundBand, Setup, width_along, width_pooled
from edgetest.photo.linear_light import OWN_CURVE, grey_of

SMALLEST_PX = 24
OVERLOOKED = ("no_band", "glints_only", "inverted")  # told where the edge is short, too
LEAST_SHARE, WHOLE, SURE_SNR = 0.12, 0.6, 15.0  # of a short edge
# What a short edge must not be said to be: of 1,000 everyday crops 11 more would be measured.
UNSURE = frozenset(["narrow_band", "unlike_profile", "rolled_edge", "rounded_land"])
# What an edge that is measured on less than this share must not be said to be: of 603 everyday
# crops (odd seeds) 10 were measured without it and 3 with it; of 268 others (even seeds) none.
EVIDENT_SHARE = 0.55
# Light of the land over the brightest of the picture: good ones have 0.29 and more (540 of the
# second world, even seeds), a bevel taken for the land across a short edge 0.03.
DIM = 0.1
UNLIKE = UNSURE - {"narrow_band"} | {"saturated_band", "soft_focus", "focus_varies"}


def measure_apex(light, um_per_px, *, scale_relative_u=0.0, region=None, blur_px=None, excluded=()):
    """Measure the width of the bright land in an apex-view photograph.

    Parameters
    ----------
    light : Light
        The picture; where its tone curve had to be assumed, the interval widens.
    um_per_px : float
        Scale.
    scale_relative_u : float
        Relative standard uncertainty of the scale.
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

    Raises
    ------
    UnusableInput
        If the picture is an array, which does not say on which curve its values are stored.
    """
    grey = grey_of(light)
    if um_per_px is None or not np.isfinite(um_per_px) or um_per_px <= 0:
        return refused(doubt("no_scale"), scale_relative_u=scale_relative_u)
    tone = Tone(
        light.tone_known,
        light.tone_named,
        calibrated=light.tone == OWN_CURVE,
        undone=light.tone,
    )
    setup = Setup(float(um_per_px), float(scale_relative_u), tone, blur_px)
    origin = np.zeros(2)
    if region is not None:
        row0, col0, row1, col1 = (round(float(v)) for v in region)
        row0, col0 = max(0, row0), max(0, col0)
        grey = np.ascontiguousarray(grey[row0:row1, col0:col1])
        origin = np.array([row0, col0], dtype=float)
    if min(grey.shape) < SMALLEST_PX:
        return setup.refused("too_small")
    result = _whole_or_short(grey, setup, origin, excluded)
    if tone.known or tone.named or not _overlooked(result):
        return result
    for power in SOFTER:
        softer = replace(setup, tone=replace(tone, power=power))
        again = _whole_or_short(softer_light(grey, power), softer, origin, excluded)
        if again.status == "measured":
            return again
    return result


def _whole_or_short(grey, setup, origin, excluded):
    """The edge measured over the whole picture, or on the short stretch that shows it."""
    result = _measured(grey, setup, origin, excluded)
    if _overlooked(result):
        result = _short_edge(grey, setup, origin, excluded) or result
    if not excluded and result.status == "measured" and _part_of_something(result):
        return setup.refused("no_band")
    return result


def _part_of_something(result):
    """So little of it is like an edge, and that little is unlike one in another way too."""
    unlike = UNLIKE & {one.code for one in result.doubts}
    return bool(unlike) and result.share_measured < EVIDENT_SHARE


def _overlooked(result):
    """Nothing was found where there may be an edge."""
    return result.status == "refused" and result.reasons[0].code in OVERLOOKED


def _short_edge(grey, setup, origin, excluded):
    """An edge that the picture shows on a short stretch, measured there, or None."""
    small, factor = reduce(grey)
    bright, _, sigmas = ridges(small)
    band, first, last = short_stretch(factor, bright, sigmas)
    if (last - first) * factor < SMALLEST_PX:
        return None
    main = 0 if band.upright else 1
    part = [slice(None), slice(None)]
    part[main] = slice(first * factor, last * factor)
    corner = origin.copy()
    corner[main] += first * factor
    # Beyond the stretch the path wanders: the edge is led on straight to the border.
    run = band.centre_rc[last - 1] - band.centre_rc[first]
    along = np.hypot(*run) / abs(run[main])
    start = float(first * factor * along) * setup.um_per_px
    excluded = [(low - start, high - start) for low, high in excluded]
    result = _measured(np.ascontiguousarray(grey[tuple(part)]), setup, corner, excluded)
    if result.width_um is None or result.share_measured < WHOLE or result.snr < SURE_SNR:
        return None
    codes = [one.code for one in result.doubts]
    if UNSURE.intersection(codes):
        return None
    share = (last - first) / len(band.strength)
    if share < LEAST_SHARE:
        return setup.refused("too_short")
    shown = result.share_measured * share
    partly = doubt("partly_measured", where=Where(value=float(shown)))
    return replace(
        result,
        share_measured=shown,
        position_um=result.position_um + start,
        chips=tuple(replace(c, position_um=c.position_um + start) for c in result.chips),
        doubts=result.doubts if partly.code in codes else (*result.doubts, partly),
    )


def _measured(grey, setup, origin, excluded):
    """The band of a picture found, judged and summed up."""
    band, reason = _find(grey, setup.blur_px)
    if band is None:
        return setup.refused(reason)
    sides, used, position_um = band.sides, band.used, band.sides.track.s * setup.um_per_px
    for first, last in excluded:
        used = used & ~((position_um >= first) & (position_um <= last))
    if used.sum() < FEWEST_PLACES:
        return setup.refused("too_short")
    band = replace(band, used=used)
    if is_narrow(sides, used):
        if sides.saturated:
            return setup.refused("saturated")
        return width_pooled(grey, band, setup, origin)
    band = _without_damage(grey, band, setup.um_per_px)
    if sides.saturated:
        sides = overexposed_width(grey, sides, band.used, band.upright, CLIPPED)
        if sides is None:
            return setup.refused("saturated")
        band = replace(band, sides=sides)
    return width_along(grey, band, setup, origin)


def _find(grey, blur_px):
    """The band that nothing speaks against, or None and the reason."""
    small, factor = reduce(grey)
    light = np.percentile(small, [1, 50, 99.9])
    if light[2] < 0.004:
        return None, "too_dark"
    if light[2] - light[0] < 0.02 * light[2] + 0.002:
        return None, "no_contrast"
    # Ridges take more memory than the picture, and are asked for again by few.
    bright, dark, sigmas = ridges(small)
    darkest = strongest_possible(dark)
    del dark
    band = find_band(factor, bright, sigmas)
    del bright
    rivals = darkest > DARKER * float(np.quantile(band.strength, 0.75))
    dark_band = find_band(factor, ridges(small)[1], sigmas) if rivals else None
    context = look_around(small, band)
    sides, used = None, np.zeros(0, dtype=bool)
    if context.left is not None and context.right is not None:
        sides = fit_sides(grey, small, band, context, blur_px=blur_px)
        if too_narrow(sides):
            sides = fit_sides(grey, small, band, context, blur_px=blur_px, held=True)
        used = usable(sides)
    reason = objection(context, sides, used, (band, dark_band))
    if reason is None and context.land < DIM * light[2]:
        reason = doubt("no_band")
    if sides is None or reason is not None:
        bright, dark, sigmas = ridges(small)
        return None, plainer_reason(reason, Sight(grey, small, bright, dark, sigmas, band, context))
    return FoundBand(sides, used, context, band.upright), None


def _without_damage(grey, band, um_per_px):
    """The band with its damage, which takes up places that do not count any more."""
    chips, struck, hidden = find_damage(grey, band.sides, shows_band(band.sides), um_per_px)
    if (band.used & ~struck & ~hidden).sum() < FEWEST_PLACES:
        hidden[:] = False
    if (band.used & ~struck).sum() < FEWEST_PLACES:
        struck[:] = False
    return replace(band, used=band.used & ~struck & ~hidden, chips=tuple(chips), struck=struck)
