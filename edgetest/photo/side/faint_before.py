"""How deep was the first outline where the second has damage and the first none that counts?

Matched filter (least squares of a known form against a line), its uncertainty from what the same
filter gives along the sound edge. What is too shallow to be found by itself shows so.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.estimate import plain

LEVEL = 1.96  # standard uncertainties of a departure's interval of 95 %
AROUND = 1.0  # lengths of the damage on each side that give the level it is read from
FEWEST = 40  # places along the sound edge that tell how the filter scatters
SOUND_SHARE = 0.7  # of the filter's reach that must be free of damage to be one of them
# Standard uncertainties from which on the first outline was damaged there already: made pairs with
# even seeds had 4 to 32 where it was, 2.5 at most where it was not (40 places).
SIGNS_OF_IT = 3.0


@dataclass(frozen=True)
class FaintBefore:
    """Depth of the first outline at the place and form of later damage, µm.

    `listed` where the first measurement has a find there that it is not sure of, or took for dust.
    """

    depth_um: float
    u_um: float
    listed: bool = False

    @property
    def seen(self):
        """Whether something was there already."""
        return self.listed or self.depth_um > SIGNS_OF_IT * self.u_um

    def interval(self, factor):
        """Depth, low and high; at least 0."""
        half = factor * self.u_um
        return max(self.depth_um - half, 0.0), max(self.depth_um + half, 0.0)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "depth_um": plain(self.depth_um),
            "u_um": plain(self.u_um),
            "listed_as_unsure": self.listed,
        }


def faint_before(before, after, laid, damage, sign):
    """Depth of the first outline where only the second has damage that counts.

    Parameters
    ----------
    before, after : ProfileMeasurement
    laid : LaidTogether
    damage : Departure
        Of the second.
    sign : int
        −1 for a chip, 1 for a roll.

    Returns
    -------
    FaintBefore or None
        None where the first has too little sound edge to tell.
    """
    listed = _listed(before, laid, damage)
    if listed is not None:
        return listed
    step = before.um_per_px
    form, there = _form(after, laid, damage, sign, step)
    power = float(form @ form)
    first = before.position_um[0]
    grid = np.arange(first, before.position_um[-1], step)
    if power <= 0 or grid.size < form.size:
        return None
    line = sign * np.interp(grid, before.position_um, before.departure_um)
    sound = _sound(before, grid)
    read = np.correlate(np.where(sound, line, 0.0), form, "same") / power
    free = np.convolve(sound, np.ones(form.size) / form.size, "same") >= SOUND_SHARE
    at = (there - first) / step
    apart = np.abs(np.arange(grid.size) - at) > form.size / 2
    quiet = read[free & apart]
    if quiet.size < FEWEST:
        return None
    slack = int(np.ceil(2 * laid.shift_u_um / step))
    nearby = np.arange(round(at) - slack, round(at) + slack + 1)
    depth = read[np.clip(nearby, 0, grid.size - 1)].max()
    middle = np.median(quiet)
    u = 1.4826 * float(np.median(np.abs(quiet - middle)))
    return FaintBefore(float(depth), max(u, 1e-6))


def _listed(before, laid, damage):
    """What the first has there that is unsure or dust, or None."""
    there = laid.on_first(damage.position_um)
    reach = 3 * laid.shift_u_um
    near = [
        one
        for one in (*before.unsure, *before.dust)
        if abs(one.position_um - there) <= 0.5 * max(one.length_um, damage.length_um) + reach
    ]
    if not near:
        return None
    one = max(near, key=lambda find: find.depth_um)
    low, high = one.depth_low_um, max(one.depth_high_um, one.depth_um)
    return FaintBefore((low + high) / 2, (high - low) / (2 * LEVEL), listed=True)


def _form(after, laid, damage, sign, step):
    """Form of the damage, of depth 1 over its surroundings, in steps; and its middle."""
    there = laid.on_first(damage.position_um)
    half = max(3, int(np.ceil((0.5 + AROUND) * damage.length_um / step)))
    offsets = step * np.arange(-half, half + 1)
    height = sign * np.interp(
        laid.on_second(there + offsets), after.position_um, after.departure_um
    )
    inside = np.abs(offsets) <= 0.6 * damage.length_um
    form = np.where(inside, np.clip(height / damage.depth_um, 0.0, None), 0.0)
    return form - form.mean(), there


def _sound(before, grid):
    """Where the first is free of damage."""
    sound = np.ones(grid.size, bool)
    for one in (*before.chips, *before.rolls, *before.unsure):
        sound &= np.abs(grid - one.position_um) > 0.6 * one.length_um
    return sound
