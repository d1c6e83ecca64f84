"""Edge width from an apex-view photograph: the band found, fitted, judged, summed up."""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.photo.apex.apex_chips import find_chips
from edgetest.photo.apex.apex_result import ApexMeasurement, WidthSummary, refused
from edgetest.photo.apex.band_sides import CLIPPED, fit_sides
from edgetest.photo.apex.find_band import find_band, reduce, ridges, strongest_possible
from edgetest.photo.apex.first_guess import look_around
from edgetest.photo.apex.mean_width import TONE_U_PX, mean_width
from edgetest.photo.apex.narrow_band import narrow_width, pool_profile
from edgetest.photo.apex.overexposed import overexposed_width
from edgetest.photo.apex.profile_models import explain_profile
from edgetest.photo.apex.refusal_reasons import pixel_noise, plainer_reason, short_stretch
from edgetest.photo.apex.refusal_rules import (
    DARKER,
    SECOND_BAND,
    bands_beside,
    judge,
    shape_misfit,
    structure,
)
from edgetest.photo.linear_light import grey_of
from edgetest.photo.smooth import robust_line

SMALLEST_PX = 24
FEWEST_PLACES = 12
NARROW = 3.0  # blurs
MOST_SATURATED_U = 0.08  # half-width of the interval over the width
OUT_OF_FOCUS = 0.015  # shared misfit of a soft picture: the lens's disc, not the land
OVERLOOKED = ("no_band", "glints_only", "inverted")  # told where the edge is short, too
LEAST_SHARE, WHOLE, SURE_SNR = 0.12, 0.6, 15.0  # of a short edge
FINEST_UM = 0.06  # a lens of aperture 1.4 blurs green light by 0.08 µm (0.21 wavelength / NA)
WIDEST_UM = 3000.0
EXCHANGED = 0.4  # of the width: so long a movement may be the land, and the land the movement
MOST_MOVED = 0.25  # of the width: a movement across the edge from here on leaves it open
DISC_PX = 5.0  # a shorter movement cannot be told from the lens's disc
LEAST_ROUND = 0.1  # of the land's light, lost towards its sides
LEAST_ROLLED = 0.3  # of the blur, that one side is softer and the other sharper
SOFT_PX = 4.0  # a blur from here on, as wide as the band, is a picture out of focus


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
    scale = {"um_per_px": float(um_per_px), "scale_relative_u": float(scale_relative_u)}
    origin = np.zeros(2)
    if region is not None:
        row0, col0, row1, col1 = (round(float(v)) for v in region)
        row0, col0 = max(0, row0), max(0, col0)
        grey = np.ascontiguousarray(grey[row0:row1, col0:col1])
        origin = np.array([row0, col0], dtype=float)
    if grey.ndim != 2 or min(grey.shape) < SMALLEST_PX:
        return refused(doubt("too_small"), **scale)
    known = {"blur_px": blur_px, "tone_known": light.tone_known, "scale": scale}
    result = _measured(grey, origin, excluded=excluded, **known)
    if result.status == "refused" and result.reasons[0].code in OVERLOOKED:
        return _short_edge(grey, origin, excluded, known) or result
    return result


def _short_edge(grey, origin, excluded, known):
    """An edge that the picture shows on a short stretch, measured there, or None."""
    small, factor = reduce(grey)
    bright, _, sigmas = ridges(small)
    band, first, last = short_stretch(small, factor, bright, sigmas)
    if (last - first) * factor < SMALLEST_PX:
        return None
    part = [slice(None), slice(None)]
    part[0 if band.upright else 1] = slice(first * factor, last * factor)
    corner = origin.copy()
    corner[0 if band.upright else 1] += first * factor
    # Beyond the stretch the path wanders: the edge is led on straight to the border.
    run = band.centre_rc[last - 1] - band.centre_rc[first]
    along = np.hypot(*run) / abs(run[0 if band.upright else 1])
    start = float(first * factor * along) * known["scale"]["um_per_px"]
    excluded = [(low - start, high - start) for low, high in excluded]
    result = _measured(np.ascontiguousarray(grey[tuple(part)]), corner, excluded=excluded, **known)
    if result.width_um is None or result.share_measured < WHOLE or result.snr < SURE_SNR:
        return None
    codes = [one.code for one in result.doubts]
    if "narrow_band" in codes:
        return None
    share = (last - first) / len(band.strength)
    if share < LEAST_SHARE:
        return refused(doubt("too_short"), **known["scale"])
    shown = result.share_measured * share
    partly = doubt("partly_measured", where=Where(value=float(shown)))
    return replace(
        result,
        share_measured=shown,
        position_um=result.position_um + start,
        chips=tuple(replace(c, position_um=c.position_um + start) for c in result.chips),
        doubts=result.doubts if partly.code in codes else (*result.doubts, partly),
    )


def _measured(grey, origin, *, excluded, blur_px, tone_known, scale):
    """The band of a picture found, judged and summed up."""
    um = scale["um_per_px"]
    small, factor = reduce(grey)
    light = np.percentile(small, [1, 50, 99.9])
    if light[2] < 0.004:
        return refused(doubt("too_dark"), **scale)
    if light[2] - light[0] < 0.02 * light[2] + 0.002:
        return refused(doubt("no_contrast"), **scale)
    bright, dark, sigmas = ridges(small)
    band = find_band(small, factor, bright, sigmas)
    rivals = strongest_possible(dark) > DARKER * float(np.quantile(band.strength, 0.75))
    dark_band = find_band(small, factor, dark, sigmas) if rivals else None
    context = look_around(small, band)
    sides = None
    if context.left is not None and context.right is not None:
        sides = fit_sides(grey, small, band, context, blur_px=blur_px)
        if _too_narrow(sides):
            sides = fit_sides(grey, small, band, context, blur_px=blur_px, held=True)
    used = usable(sides) if sides is not None else np.zeros(0, dtype=bool)
    reason = judge(context, sides, used, band, dark_band)
    if sides is None or reason is not None:
        reason = plainer_reason(reason or doubt("no_band"), grey, small, context, factor)
        return refused(reason, **scale)
    position_um = sides.track.s * um
    for first, last in excluded:
        used = used & ~((position_um >= first) & (position_um <= last))
    if used.sum() < FEWEST_PLACES:
        return refused(doubt("too_short"), **scale)
    overlay = _overlay(sides, used, origin, position_um)
    if is_narrow(sides, used):
        if sides.saturated:
            return refused(doubt("saturated"), **scale)
        return _narrow(grey, sides, used, band, blur_px, tone_known, scale, overlay)
    chips, struck = find_chips(grey, sides, shows_band(sides), used, scale["um_per_px"])
    if (used & ~struck).sum() < FEWEST_PLACES:
        struck[:] = False
    used = used & ~struck
    if sides.saturated:
        sides = overexposed_width(grey, sides, used, band.upright, CLIPPED)
        if sides is None:
            return refused(doubt("saturated"), **scale)
        overlay = _overlay(sides, used, origin, position_um)
    overlay["used"] = used
    return _summed_up(grey, sides, used, struck, chips, context, scale, tone_known, overlay)


def _too_narrow(sides):
    """The free fit did not hold, or holds a width that it cannot tell from the blur."""
    if sides.wide or sides.saturated:
        return False
    width, blur = (float(np.median(a)) for a in (np.abs(sides.width_px), sides.blur_px))
    return width < NARROW * blur or (width < 6 * blur and usable(sides).mean() < 0.5)


def is_narrow(sides, used):
    """The land is less than `NARROW` blurs wide: places cannot be fitted one by one."""
    if sides.held or not used.any():
        return sides.held
    return bool(np.median(sides.width_px[used]) < NARROW * np.median(sides.blur_px[used]))


def shows_band(sides):
    """Places that show the land at all, chipped or not."""
    usual = float(np.quantile(sides.contrast, 0.75))
    return (sides.seen > 0.97) & (sides.contrast > 0.5 * usual) & (sides.clear > 0.7)


def usable(sides):
    """Places whose profile shows the band whole and fits the model."""
    inside = sides.seen > 0.97
    if inside.sum() < FEWEST_PLACES:
        return inside
    narrow = is_narrow(sides, inside)
    # Land and width of a narrow band trade against each other; their product does not.
    strength = sides.contrast * sides.width_px if narrow else sides.contrast
    usual = max(float(np.quantile(strength[inside], 0.75)), 1e-6)
    whole = inside & (strength > 0.4 * usual) & (strength < 2.5 * usual)
    if whole.sum() < FEWEST_PLACES:
        return whole
    fits = sides.clear > 0.75
    fits &= sides.misfit < 4 * float(np.quantile(sides.misfit[whole], 0.4)) + 0.02
    if not narrow and (whole & fits).any():
        middle = float(np.median(sides.width_px[whole & fits]))
        fits &= sides.stderr_px < 0.5 + 0.1 * np.abs(sides.width_px)
        fits &= np.abs(sides.width_px - middle) < 0.6 * middle + 2
    # A gap's or a speck's blur reaches its neighbours.
    blur = float(np.median(sides.blur_px)) / sides.block
    return whole & ~_spread(~whole, 3 * blur) & ~_spread(~fits, 1.5 * blur)


def _spread(flags, reach):
    """Flags drawn out by `reach` places to either side."""
    half = int(np.ceil(reach))
    return np.convolve(flags.astype(float), np.ones(2 * half + 1), mode="same") > 0.5


def _overlay(sides, used, origin, position_um):
    """What a drawing needs: middle and sides in pixels of the photograph."""
    track = sides.track

    def at(offset):
        return track.centre_rc + offset[:, None] * track.normal_rc + origin

    return {
        "centre_rc": at((sides.left + sides.right) / 2),
        "left_rc": at(sides.left),
        "right_rc": at(sides.right),
        "used": used,
        "width_px": sides.width_px,
        "position_um": position_um,
    }


def _common(sides, used, scale, blur_px):
    """Numbers that every measurement carries."""
    snr = float(np.median(sides.contrast[used])) / max(sides.noise, 1e-6)
    return {
        "measured_length_um": float(used.sum() * sides.block * scale["um_per_px"]),
        "share_measured": float(used.mean()),
        "blur_px": blur_px,
        "snr": snr,
    }


def _summed_up(grey, sides, used, struck, chips, context, scale, tone_known, overlay):
    """Width place by place, summed up."""
    um = scale["um_per_px"]
    width = sides.width_px[used]
    blur = float(np.median(sides.blur_px[used]))
    shape = shape_misfit(sides, used)
    profile = None if sides.saturated else explain_profile(sides, used, blur)
    reason = _blurred(profile, blur, shape)
    if reason is not None:
        return refused(reason, **scale)
    if profile is not None and _may_have_moved(profile):
        # Land and movement may have to be exchanged: the interval reaches that far.
        far = max(profile.best.width_px - profile.moved.extra, 0) / 1.96
        if profile.moved.extra > EXCHANGED * profile.best.width_px:
            profile = replace(profile, u_px=float(np.hypot(profile.u_px, far)))
    found = mean_width(
        sides.width_px,
        used,
        sides.block,
        blur,
        shared_u_px=sides.shared_u_px,
        structure=structure(sides, used),
        shape=0.0 if profile is not None and profile.explained else shape,
        profile=profile,
        shown=sides.contrast > 0.5 * np.quantile(sides.contrast[used], 0.5),
        chipped=struck,
        tone_known=tone_known,
        saturated=sides.saturated,
        cut_noise=_cut_noise(grey, sides, used),
    )
    if sides.saturated and 1.96 * found.u_px > MOST_SATURATED_U * found.mean_px:
        return refused(doubt("saturated"), **scale)
    mean, sd, u_um = found.mean_px, found.sd_px, found.u_px * um
    half = 1.96 * float(np.hypot(u_um, mean * um * scale["scale_relative_u"]))
    p05, p50, p95 = (np.percentile(width, [5, 50, 95]) * um).tolist()
    summary = WidthSummary(mean * um, mean * um - half, mean * um + half, sd * um, p05, p50, p95)
    return ApexMeasurement(
        "measured",
        width_um=summary,
        width_u_um=u_um,
        chips=tuple(chips),
        doubts=tuple(_doubts(sides, used, found, chips, context, tone_known, profile, um)),
        **_common(sides, used, scale, blur),
        **scale,
        **overlay,
    )


def _narrow(grey, sides, used, band, blur_px, tone_known, scale, overlay):
    """One pooled profile: a width where it can be told from the blur, else an upper limit."""
    um = scale["um_per_px"]
    total = float(np.median(np.hypot(sides.blur_px[used], sides.width_px[used] / 3.46)))
    smooth, _ = robust_line((sides.left + sides.right) / 2, 24 / sides.block, weight=used + 1e-3)
    centre = sides.track.centre_rc + smooth[:, None] * sides.track.normal_rc
    pooled = pool_profile(grey, centre, used, band.upright, 5 * total + 3)
    if pooled is None:
        return refused(doubt("too_short"), **scale)
    found = narrow_width(pooled, blur_px=blur_px)
    if not found.resolved and blur_px is None and found.blur_px > SOFT_PX:
        return refused(_out_of_focus(found.blur_px), **scale)
    tone_px = 0.0 if tone_known else TONE_U_PX * found.blur_px / 1.3
    doubts = [] if tone_known else [doubt("tone_unknown")]
    summary, below_um, u_um = None, None, None
    if found.resolved:
        doubts.append(doubt("narrow_band"))
        relative = found.width_px * scale["scale_relative_u"]
        low = found.width_px - np.hypot(
            found.width_px - found.low_px, 1.96 * np.hypot(tone_px, relative)
        )
        high = found.width_px + np.hypot(
            found.high_px - found.width_px, 1.96 * np.hypot(tone_px, relative)
        )
        mean = found.width_px * um
        u_um = float(np.hypot((found.high_px - found.low_px) / 3.92, tone_px)) * um
        summary = WidthSummary(
            mean, float(low) * um, float(high) * um, np.nan, np.nan, mean, np.nan
        )
    else:
        doubts.append(doubt("below_resolution"))
        below_um = (found.upper_px + 1.64 * tone_px) * um * (1 + 1.64 * scale["scale_relative_u"])
    return ApexMeasurement(
        "measured",
        width_um=summary,
        below_um=below_um,
        width_u_um=u_um,
        doubts=tuple(doubts),
        **_common(sides, used, scale, found.blur_px),
        **scale,
        **overlay,
    )


def _cut_noise(grey, sides, used):
    """Noise over the contrast where it reaches below black, which the camera cuts off."""
    noise = pixel_noise(grey)
    ground = float(np.median(np.minimum(sides.below, sides.above)[used]))
    return noise / float(np.median(sides.contrast[used])) if ground < 2 * noise else 0.0


def _blurred(profile, blur, shape):
    """Reason to refuse a picture whose blur leaves the width open, or None."""
    if profile is None:
        return None
    best, disc, soft = profile.best, profile.disc, blur > SOFT_PX
    # A land behind a longer movement looks like a wider land behind a shorter one.
    if best.name == "moved" and best.extra > MOST_MOVED * best.width_px:
        if soft and disc is not None and disc.chi2 < 1.25 * best.chi2:
            return _out_of_focus(blur)
        more = f"(by about {best.extra:.0f} pixels across the edge)"
        return doubt("motion_blur", more, where=Where(value=float(best.extra)))
    if not soft or (best.name == "plain" and shape < OUT_OF_FOCUS):
        return None
    # Behind a disc wider than itself a narrow land looks like a wide rounded one.
    blunt = best.name == "rounded" and best.blur_px > SOFT_PX
    blunt |= best.name == "disc" and 2 * best.extra > best.width_px
    return _out_of_focus(blur) if blunt or not profile.explained else None


def _out_of_focus(blur):
    """The refusal of a picture that is blurred by so many pixels."""
    return doubt("out_of_focus", f"(blur {blur:.1f} pixels)", where=Where(value=float(blur)))


def _may_have_moved(profile):
    """What looks like a lens's disc may as well be a movement."""
    moved = profile.moved
    return profile.best.name == "disc" and moved is not None and moved.extra > DISC_PX


def _doubts(sides, used, found, chips, context, tone_known, profile, um):
    """Doubts of a band measured place by place."""
    blur = sides.blur_px[used]
    usual = float(np.median(blur))
    if not tone_known:
        yield doubt("tone_unknown")
    if chips:
        yield doubt("chips_found")
    if sides.saturated:
        yield doubt("saturated_band")
    if np.ptp(blur) > 0.5 * usual + 0.5:
        yield doubt("focus_varies")
    if usual > SOFT_PX:
        yield doubt("soft_focus", f"(blur {usual:.1f} pixels)", where=Where(value=usual))
    if used.mean() < 0.7:
        yield doubt("partly_measured", where=Where(value=float(used.mean())))
    if any(height <= SECOND_BAND for _, height in bands_beside(context)):
        yield doubt("second_band_faint")
    if found.sd_px > 0.25 * found.mean_px:
        yield doubt("uneven_width")
    if profile is not None:
        best = profile.best
        if best.name == "moved" or _may_have_moved(profile):
            yield doubt("camera_moved")
        if best.name == "rounded" and best.extra > LEAST_ROUND:
            yield doubt("rounded_land")
        if best.name == "rolled" and abs(best.extra) > LEAST_ROLLED * best.blur_px:
            yield doubt("rolled_edge")
        if best.name == "sharpened":
            yield doubt("sharpened")
        if not profile.explained:
            yield doubt("unlike_profile")
    if usual * um < FINEST_UM or found.mean_px * um > WIDEST_UM:
        yield doubt("scale_mismatch")
    if sides.noise > 0.1 * float(np.median(sides.contrast[used])):
        yield doubt("noisy")
