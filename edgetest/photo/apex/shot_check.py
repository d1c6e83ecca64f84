"""Would this shot do, before it is kept: focus, light, angle, size and place of the edge?

For a person at the microscope: some ten milliseconds, on the reduced picture and a strip along
the edge. It measures no width that counts; what is measured of the kept picture decides.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, of_gravity, told
from edgetest.estimate import plain
from edgetest.photo.apex.band_sides import CLIPPED
from edgetest.photo.apex.find_band import find_band, reduce, ridges
from edgetest.photo.apex.first_guess import look_around, trace_sides
from edgetest.photo.apex.refusal_reasons import SECOND_LINE, line_beside, pixel_noise
from edgetest.photo.apex.refusal_rules import DARK_REWARD, DARKER, SECOND_BAND, bands_beside
from edgetest.photo.apex.straighten import make_track, unroll
from edgetest.photo.linear_light import grey_of

# Each limit stands between good and broken pictures of the kinds in tests/benchmarks/pictures,
# even seeds; the guide's table shot_words.
SMALLEST_PX = 48  # of a picture's sides
DARK = 0.03  # light of the land: too dark at 0.02 and below, a dim camera's at 0.16
RUNS_THROUGH = 0.62  # response of the path: 0.64 and more where the edge runs right through
LIT_BEVEL = 0.5  # light of a bevel over the land's: dark bevels reach 0.11, haze 0.57 and more
EVEN_BEVELS = 0.4  # difference of the bevels over the land's light
OFF_SHARE = 0.02  # of the edge, with a border outside the picture
OFF_SURE = 0.08  # ... however the rest looks: a path that misses the edge reaches 0.05
MOST_CLIPPED = 0.3  # of the land at the camera's upper end: 0.87 and more where overexposed
SOME_CLIPPED = 0.02
SOFT_SHARE, SOFT_PX = 0.13, 2.2  # blur over the width, and in pixels, that more focus would mend
NARROW_PX = 8.0  # narrower lands are measured by another way, less surely
TURNED_DEG = 10.0  # from level or upright; frames are laid on each other to 4°
SOFTER = 1.3  # times the blur of the picture before
NOISY = 0.05  # of the land's light, pixel by pixel: good pictures reach 0.01, grainy ones 0.08
BLOCK_PX = 4  # places along the edge taken as one


@dataclass(frozen=True)
class ShotCheck:
    """What a shot shows of an edge, and what a person would better change.

    Attributes
    ----------
    width_px : float or None
        Rough width of the land, pixels; None, as the others, where no edge is seen.
    blur_px : float or None
        Blur (standard deviation of a Gaussian, pixels) of the land's sides, middle place.
    clipped : float or None
        Share of the land at the camera's upper end.
    land_light : float or None
        Linear light of the land, 0 to 1.
    light : {"both dark", "one side", "from all sides", "inverted"} or None
        How the bevels stand beside the land; "both dark" is as it should be.
    angle_deg : float or None
        Turn of the edge from the nearer of level and upright, positive clockwise.
    shown : float or None
        Share of the picture's length through which the edge is seen.
    off : float or None
        Share of the edge that lies at or beyond the picture's border.
    doubts : tuple of Doubt
        What to change, the gravest first; those that decide would spoil the picture.
    """

    width_px: float | None = None
    blur_px: float | None = None
    clipped: float | None = None
    land_light: float | None = None
    light: str | None = None
    angle_deg: float | None = None
    shown: float | None = None
    off: float | None = None
    doubts: tuple[Doubt, ...] = ()

    @property
    def good(self):
        """Whether nothing was seen that would spoil the picture."""
        return not of_gravity("decides", self.doubts)

    def words(self):
        """What to do, each as a few large words and what stands below them."""
        parts = (one.text.partition(": ") for one in self.doubts)
        return [(first.rstrip("."), rest) for first, _, rest in parts]

    def to_dict(self):
        """Plain values for JSON."""
        names = ("width_px", "blur_px", "clipped", "land_light", "angle_deg", "shown", "off")
        numbers = {name: plain(getattr(self, name)) for name in names}
        return {"good": self.good, **numbers, "light": self.light, **told(self.doubts)}

    def summary(self):
        """What to do, in a few words a line; or how good the shot is."""
        if self.doubts:
            return " ".join(one.text for one in self.doubts)
        return f"Good: the land is {self.width_px:.0f} pixels wide, blur {self.blur_px:.1f} pixels."


def check_shot(light, *, blur_before_px=None, times=1.0):
    """What a shot shows of an edge, and what a person would better change.

    Parameters
    ----------
    light : Light
        The picture, whole or reduced.
    blur_before_px : float, optional
        Blur of the last picture of the same place, pixels of the whole picture.
    times : float
        Pixels of the whole picture in one of `light`, where that was reduced; what is told is
        told in pixels of the whole.

    Returns
    -------
    ShotCheck
        Never raises for a picture, however small or bad.

    Raises
    ------
    UnusableInput
        If the picture is an array, which does not say on which curve its values are stored.
    """
    grey = grey_of(light)
    if min(grey.shape) < SMALLEST_PX:
        return ShotCheck(doubts=(doubt("shot_no_edge"),))
    small, factor = reduce(grey)
    if np.percentile(small, 99.9) < DARK:
        return ShotCheck(doubts=(doubt("shot_dark"),))
    bright, dark, sigmas = ridges(small)
    band = find_band(factor, bright, sigmas)
    context = look_around(small, band)
    inverted = _inverted(band, dark, factor, sigmas)
    if context.left is None or context.right is None:
        off = context.certain or band.reward >= RUNS_THROUGH
        code = "shot_inverted" if inverted else "shot_runs_off" if off else "shot_no_edge"
        return ShotCheck(doubts=(doubt(code),))
    seen = _seen(light, grey, band, context)
    if seen is None:
        return ShotCheck(doubts=(doubt("shot_no_edge"),))
    figures, bevels = seen
    for name in ("width_px", "blur_px"):
        figures[name] *= times
    figures["light"] = "inverted" if inverted else _light(*bevels)
    several = _another(bright, band, sigmas, context)
    codes = _place_and_light(figures, band.reward, several)
    if not codes and pixel_noise(grey) > NOISY * figures["land_light"]:
        codes = [doubt("shot_noisy")]
    if not codes:
        codes = _sharpness_and_size(figures, blur_before_px)
    elif codes[0].code == "shot_no_edge":
        figures = {}
    return ShotCheck(**figures, doubts=tuple(codes))


def _inverted(band, dark, factor, sigmas):
    """A dark band answers more strongly than the bright one."""
    other = find_band(factor, dark, sigmas)
    light, shade = (float(np.quantile(b.strength, 0.75)) for b in (band, other))
    return other.reward > DARK_REWARD and shade > DARKER * light


def _another(bright, band, sigmas, context):
    """Another bright line runs through the picture, along the edge or aslant to it."""
    if any(height > SECOND_BAND for _, height in bands_beside(context)):
        return True
    other = line_beside(bright, band, sigmas, context)
    light, second = (float(np.quantile(b.strength, 0.75)) for b in (band, other))
    alike = other.upright == band.upright and other.reward > RUNS_THROUGH
    return alike and second > SECOND_LINE * light


def _seen(light, grey, band, context):
    """The figures of the edge along its path, and the light of both bevels over the land's."""
    width = context.right - context.left
    track = make_track(band.centre_rc, grey.shape)
    if track.s.size < 8 * BLOCK_PX:
        return None
    strip = unroll(grey, track, max(12.0, 1.5 * width), block=BLOCK_PX)
    sides = trace_sides(strip, width)
    good = sides.contrast >= 0.5 * sides.usual
    if good.sum() < 8:
        return None
    core = np.abs(strip.x) <= max(1, round(0.25 * sides.width))
    full = grey >= CLIPPED if light.saturated is None else light.saturated | (grey >= CLIPPED)
    reach = float(strip.x[core].max())
    clipped = unroll(full.astype(np.float32), track, reach, block=BLOCK_PX)
    land, below, above = (
        float(np.median(each[good])) for each in (sides.land, sides.below, sides.above)
    )
    offset = (sides.left + sides.right)[:, None] / 2
    centre = (strip.track.centre_rc + offset * strip.track.normal_rc)[good]
    figures = {
        "width_px": sides.width,
        "blur_px": sides.blur_px,
        "clipped": float(clipped.values[good].mean()),
        "land_light": land,
        "angle_deg": _angle_deg(centre),
        "shown": float(good.mean()),
        "off": _off_share(centre, grey.shape, band.upright, sides.width / 2),
    }
    return figures, (below / max(land, 1e-6), above / max(land, 1e-6))


def _angle_deg(centre_rc):
    """Turn from the nearer of level and upright: the points' first principal axis."""
    off = centre_rc - np.median(centre_rc, axis=0)
    row, col = np.linalg.svd(off, full_matrices=False)[2][0]
    turn = float(np.degrees(np.arctan2(row, col)))
    return (turn + 45) % 90 - 45


def _off_share(centre_rc, shape, upright, half_px):
    """Share of places one of whose sides lies at the border that the edge runs along."""
    across = 1 if upright else 0
    gap = np.minimum(centre_rc[:, across], shape[across] - 1 - centre_rc[:, across])
    return float((gap < half_px + 2).mean())


def _light(below, above):
    """What the bevels' light, over the land's, says of the lamp."""
    if min(below, above) > LIT_BEVEL:
        return "from all sides"
    return "one side" if abs(below - above) > EVEN_BEVELS else "both dark"


def _place_and_light(figures, reward, several):
    """What keeps the edge from being seen at all."""
    light, through = figures["light"], reward >= RUNS_THROUGH
    if light == "inverted":
        return [doubt("shot_inverted")]
    sure = OFF_SHARE if through or light == "both dark" else OFF_SURE
    if figures["off"] > sure:
        return [doubt("shot_runs_off")]
    if not through:
        part = light == "both dark" and figures["width_px"] >= NARROW_PX
        if not part:
            return [doubt("shot_no_edge")]
        return [doubt("shot_part", where=Where(value=figures["shown"]), share=figures["shown"])]
    if figures["land_light"] < DARK:
        return [doubt("shot_dark")]
    if light != "both dark":
        return [doubt("shot_one_side" if light == "one side" else "shot_flat")]
    return [doubt("shot_several")] if several else []


def _sharpness_and_size(figures, blur_before_px):
    """What would make a picture better in which the edge is seen."""
    width, blur, clipped = figures["width_px"], figures["blur_px"], figures["clipped"]
    found = []
    if clipped > SOME_CLIPPED:
        code = "shot_bright" if clipped > MOST_CLIPPED else "shot_glare"
        found.append(doubt(code, where=Where(value=clipped), share=clipped))
    if blur > SOFT_PX and blur > SOFT_SHARE * width:
        found.append(doubt("shot_soft", where=Where(value=blur), blur=blur, width=width))
    elif blur_before_px is not None and blur > SOFTER * blur_before_px:
        where = Where(value=blur, expected=blur_before_px)
        found.append(doubt("shot_softer", where=where, blur=blur, before=blur_before_px))
    if width < NARROW_PX:
        found.append(doubt("shot_narrow", where=Where(value=width), width=width))
    if abs(figures["angle_deg"]) > TURNED_DEG:
        turn = figures["angle_deg"]
        found.append(doubt("shot_turned", where=Where(value=turn), turn=abs(turn)))
    return sorted(found, key=lambda one: one.gravity != "decides")
