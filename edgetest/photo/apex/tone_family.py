"""How far does the width move when the camera stored light on another curve than was undone?

The mean profile of the edge is turned from the curve that was assumed to every curve of a
bounded family of cameras, and the blurred band is fitted to each (sensitivity analysis). The
family holds what cameras write: powers of light, light itself, and light bent by a toe, a
shoulder or local contrast before it is stored on the sRGB curve.
"""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.photo.apex.explanations import fit_explanation
from edgetest.photo.apex.profile_models import mean_profile
from edgetest.photo.linear_light import srgb_decode, srgb_encode

# A curve under which the mean profile fits so many times worse than under the best one is not
# the camera's. Of 153 pictures by known cameras (second world, even seeds) the true curve fitted
# at most 2.8 times worse; four times leaves room for lenses that are none of these.
RULED_OUT = 4.0
TOP = 0.9999  # of a shoulder: nearer to white its light is anything
# Of the blur: the widths on curves of twelve grey steps and on the cameras' true ones differed by
# 0.031 blurs (root mean square, second world, even seeds; local contrast, no curve, included).
CALIBRATED_U = 0.03
# Light stored as it is, and on a soft power: undoing sRGB hides their bands in a contrast that is
# far too high (second world, even seeds: 5 of 60 pictures by any camera, all of them found so).
SOFTER = (1.0, 1.5)
PLACES = np.linspace(0, 1, 1025)


def bent(light, slope, middle):
    """Scene light of light behind a toe and a shoulder (log-logistic characteristic curve)."""
    return middle * (light / (1 + middle**slope - light)) ** (1 / slope)


def pressed(light, knee):
    """Scene light of light that is pressed together above a knee (exponential shoulder)."""
    room = 1 - knee
    over = np.clip((light - knee) / room, 0, TOP)
    return np.where(light < knee, light, knee - room * np.log(1 - over))


def locally_contrasted(light, amount):
    """Scene light of light whose stored values were drawn away from those of the dark ground."""
    return np.asarray(srgb_decode(srgb_encode(light) / (1 + amount)), dtype=float)


# Scene light, as a function of the light that undoing the file's own curve gives.
RENDERED = {
    "with a toe and a soft shoulder": lambda light: bent(light, 1.2, 0.55),
    "with a deep toe and a shoulder": lambda light: bent(light, 1.6, 0.55),
    "with a shoulder": lambda light: pressed(light, 0.6),
    "with local contrast": lambda light: locally_contrasted(light, 0.4),
}
# The same where no file names a curve, so that sRGB was assumed.
STORED = {
    "of gamma 1.6": lambda light: srgb_encode(light).astype(float) ** 1.6,
    "of gamma 2.8": lambda light: srgb_encode(light).astype(float) ** 2.8,
    "in linear light": lambda light: srgb_encode(light).astype(float),
}


@dataclass(frozen=True)
class Tone:
    """What is known of the curve on which a picture's light was stored.

    Attributes
    ----------
    known : bool
        Stated or calibrated.
    named : bool
        The file names the curve of its values; that tells nothing of the camera's own bending.
    power : float, optional
        Of `SOFTER`, taken in place of sRGB, the usual guess.
    calibrated : bool
        The curve was measured on grey steps, and is a little unsure itself.
    undone : str
        The curve that was undone, as a `Light` names it.
    """

    known: bool = True
    named: bool = False
    power: float | None = None
    calibrated: bool = False
    undone: str = "srgb"

    @property
    def u_blurs(self):
        """What a calibrated curve leaves open of the width, standard uncertainty, in blurs."""
        return CALIBRATED_U if self.calibrated else 0.0

    def curves(self):
        """Scene light at evenly spaced values of the light that was taken, for every camera.

        Returns
        -------
        list of ndarray, shape (1025,)
        """
        light = PLACES
        if self.power is not None:
            light = np.asarray(srgb_decode(PLACES ** (1 / self.power)), dtype=float)
        turns = RENDERED if self.named else RENDERED | STORED
        found = [np.asarray(turn(light), dtype=float) for turn in turns.values()]
        return found if self.power is None else [*found, light]

    @property
    def doubt_rows(self):
        """What is not known, as rows of code, condition, value."""
        return (("tone_named" if self.named else "tone_unknown", not self.known, None),)


def softer_light(grey, power):
    """Light by a power of the stored values, from what was taken for light on the sRGB curve."""
    return srgb_encode(grey) ** np.float32(power)


def turned(light, curve):
    """Light 0 to 1 turned by a curve of the family; beyond 0 and 1 it goes straight on."""
    inside = np.interp(light, PLACES, curve)
    ends = (curve[1] - curve[0]) / PLACES[1], (curve[-1] - curve[-2]) / PLACES[1]
    return inside + ends[0] * np.minimum(light, 0) + ends[1] * np.maximum(np.subtract(light, 1), 0)


def tone_reach(sides, used, tone):
    """How far below and above the width may lie for any camera of the family.

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)
    tone : Tone

    Returns
    -------
    down_px, up_px : float
        Both 0 or more.
    """
    if tone.known:
        return 0.0, 0.0
    t, value, sd, width = mean_profile(sides, used)
    blur = float(np.median(sides.blur_px[used]))
    ground = float(np.median((sides.below + sides.above)[used]) / 2)
    contrast = float(np.median(sides.contrast[used]))

    def fitted(turn):
        """Width and misfit of the profile on another curve, its land again one unit high."""
        floor, top = turn(ground), turn(ground + contrast)
        lit = ground + contrast * value
        steep = (turn(lit + contrast * sd) - turn(lit - contrast * sd)) / 2
        new = (turn(lit) - floor) / (top - floor)
        spread = np.hypot(steep / (top - floor), np.median(sd) / 4)
        return fit_explanation("plain", (t, new, spread), width, blur)

    first = fitted(lambda light: light)
    others = [fitted(lambda light, c=curve: turned(light, c)) for curve in tone.curves()]
    least = min(one.chi2 for one in (first, *others))
    moved = [one.width_px - first.width_px for one in others if one.chi2 <= RULED_OUT * least + 1]
    return -min(0.0, *moved), max(0.0, *moved)


def narrow_on_any_tone(pooled, found, tone, measure):
    """A narrow width, its limits drawn out to hold what every curve of the family makes of it.

    Parameters
    ----------
    pooled : Pooled
    found : NarrowWidth
        On the curve that was assumed.
    tone : Tone
    measure : callable
        Of a pooled profile: its width.

    Returns
    -------
    NarrowWidth
        `low_px` is 0 where a curve of the family leaves only an upper limit.
    """
    if tone.known:
        return found
    floor = pooled.ground
    seen = [found]
    for curve in tone.curves():
        lit = turned(floor + pooled.unit * pooled.value, curve)
        steep = (turned(floor + pooled.unit * (pooled.value + pooled.sd), curve) - lit) / pooled.sd
        value = lit - turned(floor, curve)
        flux = np.trapezoid(value, pooled.distance)
        new = replace(pooled, value=value / flux, sd=pooled.sd * np.abs(steep) / flux)
        seen.append(measure(new))
    low = min(one.low_px if one.resolved else 0.0 for one in seen)
    return replace(
        found,
        low_px=low if found.resolved else found.low_px,
        high_px=max(one.high_px if one.resolved else one.upper_px for one in seen),
        upper_px=max(one.upper_px for one in seen),
    )
