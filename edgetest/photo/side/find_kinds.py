"""What a departure of the outline is: a chip, a roll, dust, or one of two things and unsure.

Only a silhouette is seen, so what a find is must be read from its light and its form. Where
steel is missing the ground shines, as bright as beside it: light of another strength is a glint
on the bevel. What stands out is steel where it is dark and leaves the edge gently; what lets
light by or is slender as a hair is dust; what is steep or overhangs may be either.
"""

from dataclasses import dataclass

import numpy as np

CHIP, ROLL, DUST, UNSURE = "chip", "roll", "dust", "unsure"
GLINT_WORDS = "a chip, or a glint on the bevel"
ROLL_WORDS = "a roll, or dust"
FOLD_WORDS = "an edge folded over, or dust or a glint beside the edge"

OTHER_LIGHT = 0.08  # share of the contrast by which a glint's light differs from the ground's
FEWEST_CELLS = 4  # of light inside a find: with fewer it is not told
OPAQUE = 0.85  # of the blade's darkness: what lets more light by is dust
HAIR = 1.5  # so many times as high as long nothing of steel stands out
# Height over length, and width at half height over width at the foot. Drawn grains (half sunk to
# hardly touching) have 0.45 to 1.1 and 0.77 to 0.95 where the blur leaves their form, rolls 0.15 to
# 0.7 and 0.5 to 0.75; only the foot of a half round roll (0.87) is a grain's.
TALL, TALLEST = 0.45, 0.75  # where the blur hides the foot; where it does not
STEEP, STEEP_TALL = 0.76, 0.3
FORM_BLURS = 15.0  # longer than so many blurs a find shows its foot
OTHER_CROSSINGS = 0.15  # share of its samples with light behind the dark: it overhangs
SLIVER_BLURS = 2.0  # chips are longer than this many blurs, or no deeper than they are long


@dataclass(frozen=True)
class Telling:
    """A find's kind, and for an unsure one what it could be; depths in pixels that it spans."""

    kind: str
    could_be: str = ""
    low: float | None = None
    high: float | None = None


def tell(strip, places, line, stretch, size, blur, noise, halo):
    """Kind of one departure.

    Parameters
    ----------
    strip : Strip
    places : Places
    line : ndarray, shape (n,)
        Offset of the smooth line.
    stretch : Stretch
    size : dict
        As from `form_sizes`; its `kind` is what the pixels say of a small roll.
    blur, noise, halo : float
        The last as from `light_beyond`.

    Returns
    -------
    Telling
    """
    part = slice(stretch.low, stretch.high)
    crossed = ~places.single[part]
    overhangs = crossed.mean() > OTHER_CROSSINGS
    inside = _light_within(strip, places.edge, line, part, stretch.sign, blur)
    if stretch.sign < 0:
        other = OTHER_LIGHT + 1.5 * halo + 3 * noise / np.sqrt(max(inside.size, 1))
        return _chip_or_glint(size, inside, overhangs, blur, other, places, line, part)
    return _roll_or_dust(size, inside, overhangs, blur, places, line, part)


def _chip_or_glint(size, inside, overhangs, blur, other, places, line, part):
    """Of what is missing from the outline."""
    slim = size["length"] < min(SLIVER_BLURS * blur, size["depth"])
    if slim or (inside.size >= FEWEST_CELLS and abs(np.median(inside)) > other):
        return Telling(UNSURE, GLINT_WORDS, low=0.0)
    return _spanned(FOLD_WORDS, places, line, part) if overhangs else Telling(CHIP)


def _roll_or_dust(size, inside, overhangs, blur, places, line, part):
    """Of what stands out from it."""
    tall = size["depth"] / max(size["length"], 1.0)
    if (
        tall > HAIR
        or size["kind"] == "speck"
        or (inside.size >= FEWEST_CELLS and np.median(inside) < OPAQUE)
    ):
        return Telling(DUST)
    if overhangs:
        return _spanned(ROLL_WORDS, places, line, part)
    steep = tall > STEEP_TALL and _steepness(places.edge[part] - line[part]) > STEEP
    tallest = TALLEST if size["length"] > FORM_BLURS * blur else TALL
    if tall > tallest or steep or size["kind"] == UNSURE:
        return Telling(UNSURE, ROLL_WORDS, low=0.0)
    return Telling(ROLL)


def _light_within(strip, edge, line, part, sign, blur):
    """Blade's share of the light between smooth line and outline, clear of both.

    In a chip it is set against the ground beside it, so that a slope of the ground's light does
    not count.
    """
    clear = 1.5 * blur + 0.5
    rows = strip.offsets[:, None]
    low, high = (edge, line) if sign < 0 else (line, edge)
    cells = (rows > low[part] + clear) & (rows < high[part] - (0 if sign < 0 else clear))
    cover = strip.cover[:, part]
    if sign > 0:
        return cover[cells]
    beside = (rows > line[part] + clear) & (rows < line[part] + clear + 6)
    return cover[cells] - (np.median(cover[beside]) if beside.any() else 0.0)


def light_beyond(strip, line, sound, blur):
    """How far the ground's light beside the sound edge differs from the ground's, a camera's halo.

    Sharpening leaves one some pixels wide; inside a chip it is as strong.
    """
    columns = np.flatnonzero(sound)[::4]
    if not columns.size:
        return 0.0
    row = np.rint(line[columns] + 1.5 * blur + 1 - strip.offsets[0]).astype(int)
    rows = np.clip(row[None, :] + np.arange(4)[:, None], 0, len(strip.offsets) - 1)
    return float(np.abs(np.median(strip.cover[rows, columns[None, :]], axis=1)).max())


def _steepness(height):
    """Width at half height over width at a tenth."""
    top = height.max()
    return float(np.mean(height > 0.5 * top) / max(np.mean(height > 0.1 * top), 1e-9))


def _spanned(could_be, places, line, part):
    """Unsure, between the outermost and the innermost crossing."""
    depths = [
        float(np.max(np.abs(where[part] - line[part]))) for where in (places.outer, places.inner)
    ]
    return Telling(UNSURE, could_be, low=min(depths), high=max(depths))
