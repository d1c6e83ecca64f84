"""How deep a find is whose form fits badly: the outline's own summit, and how well it is known."""

import numpy as np

BADLY = 1.2  # so many times what roughness and misfit let expect, and the form is not believed
FORM_SHARE = 0.03  # of the height that a fitting form leaves
# Hooked and ragged ones of a second world: the summit seen was short of the true one by 2 %
# (median) and by 0.2 px, the form's own was off by up to a third.
LOSS_SHARE, LOSS_PX = 0.05, 0.2  # most that blur takes off the summit of a form not believed
LEFT_U = 0.5  # of what a form leaves that is believed: the summit of a rough chip is rough, too
LOSS_U = 0.35  # of what the blur took off, as the form has it


def with_own_summit(size, form, e, stretch, spread):
    """Sizes with the depth held against the outline itself.

    Parameters
    ----------
    size : dict
        As from `form_sizes`, pixels.
    form : Form
    e : ndarray, shape (n,)
        Departures of the outline, pixels.
    stretch : Stretch
    spread : float
        Of the sound edge.

    Returns
    -------
    dict
        Where the form leaves more than roughness and misfit explain, the depth is the outline's
        summit with at most a little blur taken out, and the uncertainty holds the spread of what
        the form left. What the blur took off a summit is known by the form alone: a share of it
        is uncertain.
    """
    part = slice(max(stretch.low, form.low), min(stretch.high, form.high))
    shown = stretch.sign * form.heights[part.start - form.low : part.stop - form.low]
    seen = stretch.sign * e[part]
    if seen.size < 3:
        return size
    loss = max(float(np.exp(form.theta[3]) - shown.max()), 0.0)
    left = float(np.sqrt(np.mean((seen - shown) ** 2)))
    depth, u = (
        size["depth"],
        np.sqrt(size["depth_u"] ** 2 + (LOSS_U * loss) ** 2 + (LEFT_U * left) ** 2),
    )
    if left > BADLY * np.hypot(spread, FORM_SHARE * float(seen.max())):
        depth = float(seen.max()) + min(loss, LOSS_SHARE * float(seen.max()) + LOSS_PX)
        u = np.hypot(size["depth_u"], left)
    return {**size, "depth": depth, "depth_u": float(u)}
