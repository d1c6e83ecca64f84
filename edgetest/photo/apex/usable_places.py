"""Which places along the edge count: those whose profile shows the band whole and fits."""

import numpy as np

NARROW = 3.0  # blurs: a land less wide cannot be fitted place by place
FEWEST_PLACES = 12
SEEN = 0.97  # of the samples near the worse side lie inside the picture

# Of what is usual at a side: where the land runs off the picture, a side lies on the land itself
# and has no step (0.06 at most); the land's and the grounds' texture leaves 0.5.
LEAST_STEP = 0.2


def too_narrow(sides):
    """The free fit did not hold, or holds a width that it cannot tell from the blur."""
    if sides.wide or sides.saturated:
        return False
    width, blur = (float(np.median(a)) for a in (sides.width_px, sides.blur_px))
    # A land of negative width is a round crest's foot, fitted with its sides exchanged.
    return width < NARROW * blur or (width < 6 * blur and usable(sides).mean() < 0.5)


def is_narrow(sides, used):
    """The land is less than `NARROW` blurs wide: places cannot be fitted one by one."""
    if sides.held or not used.any():
        return sides.held
    return bool(np.median(sides.width_px[used]) < NARROW * np.median(sides.blur_px[used]))


def shows_band(sides):
    """Places that show the land at all, chipped or not."""
    usual = float(np.quantile(sides.contrast, 0.75))
    return (sides.seen > SEEN) & (sides.contrast > 0.5 * usual) & (sides.clear > 0.7)


def usable(sides):
    """Places whose profile shows the band whole and fits the model."""
    inside = sides.seen > SEEN
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
    for step in () if narrow else (sides.land - sides.below, sides.land - sides.above):
        fits &= step > LEAST_STEP * float(np.quantile(step[whole], 0.75))
    fits &= sides.misfit < 4 * float(np.quantile(sides.misfit[whole], 0.4)) + 0.02
    if not narrow and (whole & fits).any():
        middle = float(np.median(sides.width_px[whole & fits]))
        fits &= sides.stderr_px < 0.5 + 0.1 * np.abs(sides.width_px)
        fits &= np.abs(sides.width_px - middle) < 0.6 * middle + 2
    # A gap's or a speck's blur reaches its neighbours.
    blur = float(np.median(sides.blur_px)) / sides.block
    return whole & ~dilated(~whole, 3 * blur) & ~dilated(~fits, 1.5 * blur)


def dilated(flags, reach):
    """Binary dilation: flags drawn out by `reach` places to either side, however few there are."""
    half = int(np.ceil(reach))
    total = np.convolve(flags.astype(float), np.ones(2 * half + 1))
    return total[half : half + flags.size] > 0.5
