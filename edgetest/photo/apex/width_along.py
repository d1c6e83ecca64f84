"""The width of a band that was found, with its interval and its doubts."""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.photo.apex.apex_result import ApexMeasurement, Chip, WidthSummary
from edgetest.photo.apex.band_sides import FittedSides
from edgetest.photo.apex.explanations import APERTURES
from edgetest.photo.apex.fine_detail import finer_than
from edgetest.photo.apex.first_guess import Context
from edgetest.photo.apex.focus_rules import (
    IN_FOCUS_PX,
    NARROW_SOFT_PX,
    SOFT_PX,
    too_blurred,
)
from edgetest.photo.apex.mask_model import curve_of
from edgetest.photo.apex.mean_width import mean_width
from edgetest.photo.apex.narrow_band import narrow_width, pool_profile
from edgetest.photo.apex.profile_models import explain_profile
from edgetest.photo.apex.refusal_reasons import pixel_noise
from edgetest.photo.apex.refusal_rules import SECOND_BAND, bands_beside, shape_misfit
from edgetest.photo.apex.round_crest import BELL_U, bell_limit, bell_width, detail_beside
from edgetest.photo.apex.tone_family import Tone, narrow_on_any_tone, tone_reach
from edgetest.photo.smooth import robust_line

NORMAL_95, NORMAL_95_ONE_SIDED = 1.96, 1.64
MOST_SATURATED_U = 0.08  # half-width of the interval over the width
FINEST_UM = 0.06  # a lens of aperture 1.4 blurs green light by 0.08 µm (0.21 wavelength / NA)
WIDEST_UM = 3000.0
# Of the width: so long a movement may be the land, and the land the movement. At 0.4 a land of
# 10 px moved by 25 read 25.0 +- 0.5; down to here 1 more interval of 160 grows (second world).
EXCHANGED = 0.25
DISC_PX = 5.0  # a shorter movement cannot be told from the lens's disc
# A lens in focus blurs less. Of 11 limits of round crests in focus four lay below the truth without
# the bell's own, all at 2.1 to 2.8 px, with it none (second world, even seeds).
CREST_PX = 2.0
# A flat land behind a soft lens looks as a bell of so few blurs does; fitted so, crests read up to
# 5 % off, 1.5 half-intervals (second world, even seeds).
CREST_BLURS = 5.0
LEAST_ROUND = 0.1  # of the land's light, lost towards its sides
LEAST_ROLLED = 0.3  # of the blur, that one side is softer and the other sharper


@dataclass(frozen=True)
class Setup:
    """What is known of a picture before it is looked at."""

    um_per_px: float
    scale_relative_u: float
    tone: Tone
    blur_px: float | None

    def refused(self, reason):
        """The refusal of a picture, for a `Doubt` or the code of one."""
        reason = reason if isinstance(reason, Doubt) else doubt(reason)
        return ApexMeasurement("refused", (reason,), **self.scale)

    @property
    def scale(self):
        """The scale as a measurement holds it."""
        return {"um_per_px": self.um_per_px, "scale_relative_u": self.scale_relative_u}


@dataclass(frozen=True)
class FoundBand:
    """The land of an edge as it was found: its sides, and the places that count.

    `struck` are places that a chip takes up.
    """

    sides: FittedSides
    used: np.ndarray
    context: Context
    upright: bool
    chips: tuple[Chip, ...] = ()
    struck: np.ndarray | None = None


def width_along(grey, band, setup, origin):
    """Width place by place, summed up; refused where blur or light leaves it open.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    band : FoundBand
    setup : Setup
    origin : ndarray, shape (2,)
        Corner of `grey` in pixels of the photograph.

    Returns
    -------
    ApexMeasurement
    """
    sides, used, um = band.sides, band.used, setup.um_per_px
    blur = float(np.median(sides.blur_px[used]))
    shape = shape_misfit(sides, used)
    finer = partial(finer_than, grey, sides)
    curve = curve_of(setup.tone.undone)
    profile = None if sides.saturated else explain_profile(sides, used, blur, finer, curve)
    reason = too_blurred(profile, blur, shape)
    if reason is not None:
        return setup.refused(reason)
    profile = _perhaps_crest(_perhaps_exchanged(profile), blur)
    found = mean_width(
        sides,
        used,
        shape=0.0 if profile is not None and profile.explained else shape,
        profile=profile,
        chipped=band.struck,
        cut_noise=_cut_noise(grey, sides, used),
    )
    if sides.saturated and NORMAL_95 * found.u_px > MOST_SATURATED_U * found.mean_px:
        return setup.refused("saturated")
    mean, sd, u_um = found.mean_px, found.sd_px, found.u_px * um
    shared = np.hypot(mean * um * setup.scale_relative_u, setup.tone.u_blurs * blur * um)
    half = NORMAL_95 * float(np.hypot(u_um, shared))
    down, up = tone_reach(sides, used, setup.tone)
    low, high = (mean - down) * um - half, (mean + up) * um + half
    if profile is not None and profile.behind is not None:
        # The light of a round crest may be a bell as wide as it looks.
        widest = mean + max(-profile.shift_px, 0.0)
        below_um = max(high, (1 + BELL_U) * widest * um)
        doubts = (*_doubts(band, found, setup), doubt("wide_or_blurred"))
        return _measured(band, setup, origin, blur, below_um=below_um, doubts=doubts)
    p05, p50, p95 = (np.percentile(sides.width_px[used], [5, 50, 95]) * um).tolist()
    return _measured(
        band,
        setup,
        origin,
        blur,
        width_um=WidthSummary(mean * um, low, high, sd * um, p05, p50, p95),
        width_u_um=u_um,
        chips=band.chips,
        doubts=(*_doubts(band, found, setup), *_profile_doubts(profile), *_last(band, found, um)),
    )


def width_pooled(grey, band, setup, origin):
    """One pooled profile: a width where it can be told from the blur, else an upper limit.

    Parameters and result as for `width_along`.
    """
    sides, used, um = band.sides, band.used, setup.um_per_px
    total = float(np.median(np.hypot(sides.blur_px[used], sides.width_px[used] / 3.46)))
    smooth, _ = robust_line((sides.left + sides.right) / 2, 24 / sides.block, weight=used + 1e-3)
    centre = sides.track.centre_rc + smooth[:, None] * sides.track.normal_rc
    pooled = pool_profile(grey, centre, used, band.upright, 5 * total + 3)
    if pooled is None:
        return setup.refused("too_short")
    measure = partial(_flat_or_round, blur_px=setup.blur_px)
    found, codes = measure(pooled), ("narrow_band", "below_resolution")
    if setup.blur_px is None and found.blur_px > NARROW_SOFT_PX:
        detail = detail_beside(grey, replace(sides, left=smooth, right=smooth), total)
        measure = partial(bell_width, detail=detail)
        found, codes = measure(pooled), ("round_crest", "soft_or_round")
    alone, found = found, narrow_on_any_tone(pooled, found, setup.tone, measure)
    if found.resolved:
        code, numbers = codes[0], _resolved(found, alone, setup)
    else:
        below_um = found.upper_px * um * (1 + NORMAL_95_ONE_SIDED * setup.scale_relative_u)
        code, numbers = codes[1], {"below_um": below_um}
    doubts = (*_met(*setup.tone.doubt_rows), doubt(code))
    return _measured(band, setup, origin, found.blur_px, doubts=doubts, **numbers)


def _flat_or_round(pooled, *, blur_px):
    """A narrow land; its upper limit holds a round crest too where the blur may be the crest's."""
    found = narrow_width(pooled, blur_px=blur_px)
    if found.resolved or blur_px is not None or found.blur_px < CREST_PX:
        return found
    return replace(found, upper_px=max(found.upper_px, bell_limit(pooled)))


def _resolved(found, alone, setup):
    """Width of a narrow land with its interval, which is not symmetric; `alone` on one tone."""
    um, width = setup.um_per_px, found.width_px
    common = np.hypot(width * setup.scale_relative_u, setup.tone.u_blurs * found.blur_px)
    common *= NORMAL_95
    low = width - np.hypot(width - found.low_px, common)
    high = width + np.hypot(found.high_px - width, common)
    mean, u_px = width * um, (alone.high_px - alone.low_px) / 3.92
    return {
        "width_um": WidthSummary(
            mean, float(low) * um, float(high) * um, np.nan, np.nan, mean, np.nan
        ),
        "width_u_um": float(u_px) * um,
    }


def _measured(band, setup, origin, blur_px, **numbers):
    """A measurement with what every one carries: the numbers above and the overlay's arrays."""
    sides, used, track = band.sides, band.used, band.sides.track

    def at(offset):
        return track.centre_rc + offset[:, None] * track.normal_rc + origin

    return ApexMeasurement(
        "measured",
        measured_length_um=float(used.sum() * sides.block * setup.um_per_px),
        share_measured=float(used.mean()),
        blur_px=blur_px,
        snr=float(np.median(sides.contrast[used])) / max(sides.noise, 1e-6),
        centre_rc=at((sides.left + sides.right) / 2),
        left_rc=at(sides.left),
        right_rc=at(sides.right),
        used=used,
        width_px=sides.width_px,
        position_um=track.s * setup.um_per_px,
        **setup.scale,
        **numbers,
    )


def _cut_noise(grey, sides, used):
    """Noise over the contrast where it reaches below black, which the camera cuts off."""
    noise = pixel_noise(grey)
    ground = float(np.median(np.minimum(sides.below, sides.above)[used]))
    return noise / float(np.median(sides.contrast[used])) if ground < 2 * noise else 0.0


def _may_have_moved(profile):
    """What looks like a lens's disc may as well be a movement."""
    moved = profile.moved
    return profile.best.name in APERTURES and moved is not None and moved.extra > DISC_PX


def _perhaps_exchanged(profile):
    """The profile whose interval reaches to where land and movement change places."""
    if profile is None or not _may_have_moved(profile):
        return profile
    best, moved = profile.best, profile.moved
    far = max(best.width_px - moved.extra, 0) / NORMAL_95
    if moved.extra <= EXCHANGED * best.width_px:
        return profile
    return replace(profile, u_px=float(np.hypot(profile.u_px, far)))


def _perhaps_crest(profile, blur):
    """The profile whose interval holds a round crest's bell, where the blur may be the crest's."""
    if profile is None or blur < IN_FOCUS_PX or profile.best.width_px > CREST_BLURS * blur:
        return profile
    bell = BELL_U * profile.best.width_px / NORMAL_95
    return replace(profile, u_px=float(np.hypot(profile.u_px, bell)))


def _met(*rows):
    """Doubts whose condition is met, from rows of (code, condition, value met there)."""
    for code, condition, value in rows:
        if condition:
            more = f"(blur {value:.1f} pixels)" if code == "soft_focus" else ""
            yield doubt(code, more, where=Where(value=None if value is None else float(value)))


def _doubts(band, found, setup):
    """Doubts of a band measured place by place."""
    sides, used, blur = band.sides, band.used, band.sides.blur_px[band.used]
    usual = float(np.median(blur))
    return _met(
        *setup.tone.doubt_rows,
        ("chips_found", band.chips, None),
        ("saturated_band", sides.saturated, None),
        ("focus_varies", np.ptp(blur) > 0.5 * usual + 0.5, np.ptp(blur)),
        ("soft_focus", usual > SOFT_PX, usual),
        ("partly_measured", used.mean() < 0.7, used.mean()),
        (
            "second_band_faint",
            any(height <= SECOND_BAND for _, height in bands_beside(band.context)),
            None,
        ),
        ("uneven_width", found.sd_px > 0.25 * found.mean_px, found.sd_px / found.mean_px),
    )


def _profile_doubts(profile):
    """Doubts that the mean profile raises."""
    if profile is None:
        return ()
    best = profile.best
    return _met(
        ("camera_moved", best.name == "moved" or _may_have_moved(profile), None),
        ("rounded_land", best.name == "rounded" and best.extra > LEAST_ROUND, best.extra),
        (
            "rolled_edge",
            best.name == "rolled" and abs(best.extra) > LEAST_ROLLED * best.blur_px,
            None,
        ),
        ("sharpened", profile.sharpened is not None and profile.sharpened.sure, None),
        ("unlike_profile", not profile.explained, None),
    )


def _last(band, found, um):
    """Doubts of the scale and of the noise."""
    sides, used, mean_um = band.sides, band.used, found.mean_px * um
    usual_um = float(np.median(sides.blur_px[used])) * um
    noise = sides.noise / float(np.median(sides.contrast[used]))
    return _met(
        ("scale_mismatch", usual_um < FINEST_UM or mean_um > WIDEST_UM, mean_um),
        ("noisy", sides.noise > 0.1 * float(np.median(sides.contrast[used])), noise),
    )
