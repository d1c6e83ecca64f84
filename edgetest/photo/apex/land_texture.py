"""How uneven is the land along a whole edge, once all its places are laid over each other?"""

import numpy as np

INSIDE_BLURS = (1.0, 0.5, 0.0)  # from the sides inward; the first that leaves enough columns
FEWEST_COLUMNS = 4
MOSTLY_INSIDE = 0.6


def land_texture(sides, used):
    """Relative standard deviation across the land of its light's mean along the edge.

    Scratches along the grind do not average out over the places, noise that does not know its
    neighbours does: its share is taken off.

    Parameters
    ----------
    sides : FittedSides
    used : ndarray of bool, shape (n,)

    Returns
    -------
    float
        0 where no column of the strip lies within the land.
    """
    found = []
    for light in _within(sides, used):
        if light.shape[1] >= 2:
            white = light.var(axis=0).mean() / len(light)
            found.append(max(float((light.mean(axis=0) ** 2).mean() - white), 0.0))
    return float(np.sqrt(np.mean(found))) if found else 0.0


def _within(sides, used):
    """Residuals within the land relative to the contrast, one array a side or a land."""
    blur, contrast = (float(np.median(a[used])) for a in (sides.blur_px, sides.contrast))
    residual = sides.residual.astype(float) / contrast
    if sides.wide:  # either side by itself, columns from outside inward
        inward = np.arange(residual.shape[1]) - residual.shape[1] // 2
        return [
            half[used][:, inward > INSIDE_BLURS[0] * blur] for half in np.split(residual, 2, axis=0)
        ]
    columns = np.zeros(sides.x.size, dtype=bool)
    for blurs in INSIDE_BLURS:
        inside = (sides.x > sides.left[used][:, None] + blurs * blur) & (
            sides.x < sides.right[used][:, None] - blurs * blur
        )
        columns = inside.mean(axis=0) > MOSTLY_INSIDE
        if columns.sum() >= FEWEST_COLUMNS:
            break
    return [residual[used][:, columns]]
