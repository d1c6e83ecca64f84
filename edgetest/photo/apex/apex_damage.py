"""Which lips, notches and rolls does the land have, and how deep are they?

A departure of a border from its own smooth line, in units of that side's own spread: outward a
lip, inward a notch, both sides together a roll. Where the land is of uneven width its sides wander
alike, and what they have in common is taken off first. There is no limit on depth over length.
"""

from dataclasses import replace

import numpy as np
from scipy.special import ndtr, ndtri

from edgetest.photo.apex.apex_result import Chip
from edgetest.photo.apex.border_path import START_PX, follow_borders, robust_whittaker, steady_track
from edgetest.photo.apex.dust_beside import LARGEST_PX, dust_beside
from edgetest.photo.apex.usable_places import FEWEST_PLACES, dilated
from edgetest.photo.smooth import running_median, runs

# Measured on the even seeds of the second world (tests/benchmarks/pictures), chipped, plain, dusty
# and hard pictures.
LEVEL_PX = 45.0  # the light of land and ground changes no faster than this along the edge
LEAST_PX = 1.4  # at 1.0 hard pictures have 0.40 damages invented, here 0.13; no true one is lost
SHORTEST_PX = 4.0
END_PX = 2  # damage that touches the end of the edge in the picture has no size
SHARPNESS = 8.0  # spreads of the sound side; at 6 precision falls from 0.99 to 0.96, recall stays
VALLEY = 0.3  # a ragged bottom is one notch; parted at 0.8, as side views are, half are in pieces
BESIDE_PX, SOUND_BESIDE = 30.0, 0.4  # such a share of so long a stretch on either side is sound
LAND = 0.7  # of the land's light just inside a sound border
FINER_PX, SHORT_PX = (80.0, 80.0, 80.0), 25.0  # finer line for short damage: recall + 3 %
# Light halfway to the line less that of a blurred border: a lip may shine at 0.6 of the land, no
# scar is brighter than a third.
LIGHT_OFF = {-1: (-np.inf, 0.3), 1: (-0.42, 0.2)}
DULLEST = 0.55  # of the land's light: a duller lip has no half level
# Specks expected on the borders, and size of what may be one: 22 of 28 are dropped in 50 dusty
# pictures, 2 of 119 true ones in 100 chipped ones.
DUSTY, SPECK, SPECK_BLURRED_PX = 0.25, 1.3, 2.0
COMMON = 0.5  # correlation of the sides from which the land counts as uneven in width
SOUND_SPREADS = 3.5  # departures beyond so many spreads tell nothing of how the sides agree
THIN = 3.0  # blurs: of a land that is less wide both borders are out of place
GONE_PX = 2.0  # the two paths meet to within this where nothing is left of the land
UNSEEN = 0.25  # relative uncertainty of a depth that ends beyond the land's other side
FOREIGN = "foreign"  # dust, a scratch or a label hides the border
ALIKE = 0.5  # lesser depth over greater of a roll's two sides


def find_damage(grey, sides, whole, um_per_px):
    """Lips, notches and rolls of the land.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        The picture; damage may reach farther out than the strip that was fitted.
    sides : FittedSides
    whole : ndarray of bool, shape (n,)
        Places whose profile shows the band.
    um_per_px : float

    Returns
    -------
    damage : list of Chip
        In order along the edge.
    struck, hidden : ndarray of bool, shape (n,)
        Places that damage takes up, and such where dust or a scratch hides a border.
    """
    if whole.sum() < FEWEST_PLACES:
        return [], np.zeros(len(whole), dtype=bool), np.zeros(len(whole), dtype=bool)
    block, blur = sides.block, float(np.median(sides.blur_px[whole]))
    track = steady_track(sides.track, block)
    at = (np.arange(len(track.s)) - (block - 1) / 2) / block

    def drawn_out(values):
        return np.interp(at, np.arange(len(values)), values)

    levels, width = _usual_course(sides, whole)
    borders = follow_borders(
        grey,
        track,
        drawn_out(width),
        [drawn_out(level) for level in levels],
        drawn_out(whole) > 0.5,
    )
    borders = _told_apart(borders, blur)
    found = [
        {"side": side} | size
        for side, border, other in zip((-1, 1), borders, borders[::-1], strict=True)
        for size in _sized(border, other, blur)
    ]
    found, foreign = _parted(found, borders, blur)
    chips = sorted((_chip(size, um_per_px) for size in found), key=lambda chip: chip.position_um)
    return chips, _taken_up(found, sides, blur), _taken_up(foreign, sides, blur)


def _parted(found, borders, blur):
    """Damage, rolls joined, and what is none: dust, scratches, labels."""
    foreign = [size for size in found if size["kind"] == FOREIGN]
    steel = _rolls_joined([size for size in found if size["kind"] != FOREIGN], borders)
    if all(size["kind"] == "roll" or size["length"] >= LARGEST_PX for size in steel):
        return steel, foreign
    dust = dust_beside(borders, blur)
    foreign += [size for size in steel if _is_dust(size, dust)]
    return [size for size in steel if not _is_dust(size, dust)], foreign


def _taken_up(found, sides, blur):
    """Places that departures take up."""
    middle = np.arange(len(sides.left)) * sides.block + (sides.block - 1) / 2
    taken = np.zeros(len(middle), dtype=bool)
    for size in found:
        half = 0.62 * size["length"] + 1.5 * blur + sides.block
        taken |= np.abs(middle - size["centre"]) < half
    return taken


def _chip(size, um_per_px):
    """Sizes of a departure, pixels, as damage, µm."""
    return Chip(
        position_um=float(size["centre"] + 0.5) * um_per_px,
        length_um=float(size["length"]) * um_per_px,
        depth_um=float(size["depth"]) * um_per_px,
        length_u_um=float(size["length_u"]) * um_per_px,
        depth_u_um=float(size["depth_u"]) * um_per_px,
        side=size["side"],
        kind=size["kind"],
    )


def _usual_course(sides, whole):
    """Light of the land and of both grounds, and the width, as if there were no damage."""
    index = np.arange(len(whole))
    # So slow a course is told by a few places in each stretch.
    step = max(1, int(LEVEL_PX / sides.block / 8))
    size = int(2 * LEVEL_PX / sides.block / step)

    def course(values, reach):
        return np.interp(index, index[::step], running_median(values[::step], reach))

    # Inside deep damage the strip that was fitted shows no ground.
    width = course(sides.width_px, 2 * size)
    usual = whole & (np.abs(sides.width_px - width) < 1 + 0.06 * width)
    usual = usual if usual.any() else whole
    levels = [
        course(np.interp(index, index[usual], level[usual]), size)
        for level in (sides.land, sides.below, sides.above)
    ]
    return levels, width


def _told_apart(borders, blur):
    """The borders without what the blur makes of one where the other's damage leaves little.

    Where nothing is left of the land, it is the side's whose border is gone for longer.
    """
    one, other = borders
    width = one.line + other.line
    left = width + one.off + other.off
    thin = dilated(left < THIN * blur, 2 * blur)
    offs = [one.off.copy(), other.off.copy()]
    nothing = np.zeros((2, len(left)), dtype=bool)
    for first, last in runs(thin):
        around = slice(max(first - int(THIN * blur), 0), last + int(THIN * blur))
        lost = [float(-np.minimum(off[around], 0).sum()) for off in offs]
        struck = int(lost[1] > lost[0])
        part = slice(first, last)
        nothing[struck, part] = left[part] < GONE_PX
        offs[1 - struck][part] = np.maximum(offs[1 - struck][part], 0)
    offs = [np.where(gone, -width, off) for gone, off in zip(nothing, offs, strict=True)]
    one, other = (
        replace(border, off=off, gone=gone)
        for border, off, gone in zip(borders, offs, nothing, strict=True)
    )
    return one, other


def _in_common(off, other):
    """Slope of one side on the other where the land is of uneven width; 0 where they differ."""
    sd, other_sd = (1.4826 * np.median(np.abs(e)) + 1e-3 for e in (off, other))
    both = (np.abs(off) < SOUND_SPREADS * sd) & (np.abs(other) < SOUND_SPREADS * other_sd)
    if both.sum() < BESIDE_PX:
        return 0.0
    cross, own = float(off[both] @ other[both]), float(other[both] @ other[both])
    alike = cross / np.sqrt(max(own * float(off[both] @ off[both]), 1e-9))
    return cross / own if alike > COMMON else 0.0


def _sized(border, other, blur):
    """Departures of one side that are damage, with their sizes."""
    off, opposite = (np.where(side.seen, side.off, 0.0) for side in (border, other))
    if np.abs(off).max() < LEAST_PX:
        return
    if border.seen.sum() < START_PX:
        return
    slope = _in_common(off, opposite)
    lone = off - slope * opposite
    # Short damage stands out from a line that follows the side's own waves more closely.
    finer = lone - robust_whittaker(lone, border.seen + 1e-3, np.zeros(len(lone)), FINER_PX)
    found: list[dict] = []
    for e, longest in ((lone, np.inf), (finer, SHORT_PX)):
        for size in _departures(e, border, blur):
            taken = any(abs(size["centre"] - one["centre"]) < one["length"] / 2 for one in found)
            if size["length"] > longest or taken:
                continue
            found.append(size)
    for size in found:
        whose = _whose(size, off, opposite) if slope else "own"
        if whose == "own":
            yield size
        elif whose == "roll" and size["kind"] != FOREIGN:
            share = 1 / (1 + slope)
            yield size | {
                "kind": "roll",
                "depth": share * size["depth"],
                "depth_u": share * size["depth_u"],
            }


def _whose(size, off, other):
    """Which side moved, or both: what is left for the uneven width to explain is least."""
    first, last = (int(size["centre"] + share * size["length"]) for share in (-0.25, 0.25))
    here = slice(max(first, 0), last + 1)
    own, opposite = float(np.median(off[here])), float(np.median(other[here]))
    left = {"own": abs(opposite), "other": abs(own), "roll": abs(own + opposite) / 2}
    return min(left, key=lambda which: left[which])


def _departures(e, border, blur):
    """Departures of one side from its line, with their sizes, and whether they are of steel."""
    # scipy.signal is slow to import, and most pictures have no use for it.
    from edgetest.photo.chip_model import size_departures
    from edgetest.photo.departures import edge_spread, find_departures

    sound = border.seen & (np.abs(e) < 4 * 1.4826 * np.median(np.abs(e[border.seen])))
    spread, reach = edge_spread(e, sound)
    if not np.isfinite(spread):
        return
    least = max(LEAST_PX, SHARPNESS * spread)
    found = [
        stretch
        for stretch in find_departures(e, sound, blur, valley=VALLEY)
        if np.abs(e[stretch.low : stretch.high]).max() > 0.7 * least
    ]
    free = np.ones(len(e), dtype=bool)
    for stretch in found:
        pad = int(2 * blur) + 2
        free[max(stretch.low - pad, 0) : stretch.high + pad] = False
    calm = border.seen & (np.abs(e) < np.maximum(4 * spread, LEAST_PX))
    calm &= border.light(np.minimum(border.off, 0) - 3) > LAND
    for stretch, size in zip(found, size_departures(e, found, blur, spread, reach), strict=True):
        size = _as_seen(size, e, border, stretch, blur)
        whole_in = stretch.low > END_PX and stretch.high < len(e) - END_PX
        long = SHORTEST_PX <= size["length"] <= len(e) / 3
        if whole_in and long and size["depth"] >= least and _lies_between(stretch, calm, free):
            yield size


def _as_seen(size, e, border, stretch, blur):
    """A departure with its depth as the light shows it, and its kind."""
    size = _deepest(size, e, stretch) | {"outward": stretch.sign}
    height = stretch.sign * e[stretch.low : stretch.high]
    deep = stretch.low + np.flatnonzero(height > height.max() / 2)
    if stretch.sign > 0:
        size = _dull_lip(size, e, border, deep, blur)
    elif border.gone[stretch.low : stretch.high].any():
        depth = min(size["depth"], float(height.max()))
        size |= {"depth": depth, "depth_u": UNSEEN * depth}
    if not _is_steel(e, border, stretch, deep, blur):
        return size | {"kind": FOREIGN}
    return size | {"kind": "lip" if stretch.sign > 0 else "notch"}


def _deepest(size, off, stretch):
    """The size with its depth where the border itself goes furthest, not the smooth form.

    What the blur hides is the form's; what the border shows beyond the form is a ragged bottom.
    """
    shown = float((stretch.sign * off[stretch.low : stretch.high]).max())
    beyond = shown - size["height"]
    return size | {
        "depth": size["depth"] + beyond,
        "depth_u": float(np.hypot(size["depth_u"], 0.5 * beyond)),
    }


def _dull_lip(size, e, border, deep, blur):
    """A lip's depth where it shines less than the land: its half level lies farther out."""
    shine = border.light(border.off - e / 2)[deep] / ndtr(e[deep] / 2 / blur)
    more = blur * float(ndtri(0.5 / np.clip(np.median(shine), DULLEST, 1.0)))
    return size | {"depth": size["depth"] + more, "depth_u": np.hypot(size["depth_u"], more / 2)}


def _is_steel(e, border, stretch, deep, blur):
    """Whether a departure has, halfway to its line, the light of land or ground."""
    halfway = border.light(border.off - e / 2)[deep] - ndtr(e[deep] / 2 / blur)
    least, most = LIGHT_OFF[stretch.sign]
    return least < float(np.median(halfway)) < most


def _lies_between(stretch, calm, free):
    """Whether a departure lies between sound places; other departures count on neither side."""
    near = int(BESIDE_PX)
    before, after = slice(0, stretch.low), slice(stretch.high, None)
    beside = calm[before][free[before]][-near:], calm[after][free[after]][:near]
    return all(side.size and side.mean() >= SOUND_BESIDE for side in beside)


def _is_dust(size, dust):
    """Whether specks must lie on the borders, and a departure is no longer than they are."""
    if size["kind"] == "roll" or dust.expected < DUSTY:
        return False
    return size["length"] < SPECK * dust.largest_px + SPECK_BLURRED_PX


def _rolls_joined(found, borders):
    """A side that departs while the other follows it is the land moved sideways: a roll."""
    left = [size for size in found if size["side"] < 0]
    right = [size for size in found if size["side"] > 0]
    joined = []
    for one in left:
        partner = next((other for other in right if _is_roll(one, other)), None)
        if partner is None:
            joined.append(_perhaps_roll(one, borders[1]))
            continue
        right.remove(partner)
        both = {key: (one[key] + partner[key]) / 2 for key in ("centre", "length", "depth")}
        both |= {key: np.hypot(one[key], partner[key]) / 2 for key in ("length_u", "depth_u")}
        joined.append(both | {"kind": "roll", "side": -one["outward"]})
    return joined + [_perhaps_roll(other, borders[0]) for other in right]


def _perhaps_roll(size, other):
    """A departure, or a roll where the other side follows it without standing out by itself."""
    side = size["side"] * size["outward"]
    if size["kind"] == "roll":
        return size | {"side": side}
    first, last = (int(size["centre"] + share * size["length"]) for share in (-0.25, 0.25))
    follows = -size["outward"] * float(np.median(other.off[max(first, 0) : last + 1]))
    if not ALIKE * size["depth"] < follows < size["depth"] / ALIKE:
        return size
    return size | {"kind": "roll", "depth": (size["depth"] + follows) / 2, "side": side}


def _is_roll(one, other):
    """Whether departures of the two sides are one movement."""
    depths = sorted((one["depth"], other["depth"]))
    apart = abs(one["centre"] - other["centre"])
    return (
        one["outward"] != other["outward"]
        and depths[0] > ALIKE * depths[1]
        and apart < 0.3 * max(one["length"], other["length"]) + 2
    )
