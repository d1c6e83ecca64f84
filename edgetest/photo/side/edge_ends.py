"""What lies beyond the ends of the edge that was followed: a tip, or more of the blade's edge."""

import numpy as np

NO_TIP = (0.0, 0.0)
FEWEST_SLIM = 6  # places at which the blade is seen to slim
CHIP_SHARE = 0.06  # of the edge's length: so deep are chips, and so thick a tip that is left


def to_tip(mask, factor, line, inwards):
    """Pixels from the last point of the smooth line to the tip, and how fast it slims there.

    The thickness runs from the line to the far side of the blade, so that a chip at the tip
    does not thin it; near the tip it falls in a straight line.

    Parameters
    ----------
    mask : ndarray, shape (rows, cols)
        Blade, 1 sample per `factor` pixels.
    factor : float
    line, inwards : ndarray, shape (n, 2)
        Points of the smooth line towards the tip, a pixel apart, and unit normals into the
        blade.
    """
    far = min(len(line), int(140 * factor))
    line, inwards = line[-far:], inwards[-far:]
    arm = line[-min(far, int(60 * factor)) :]
    ahead = (arm[-1] - arm[0]) / max(np.linalg.norm(arm[-1] - arm[0]), 1e-9)
    steps = factor * np.arange(1.0, 100.0)
    along = np.concatenate([np.arange(-far, 0.0)[:: int(factor)], steps])
    at = np.vstack([line[:: int(factor)], line[-1] + steps[:, None] * ahead])
    inwards = np.vstack([inwards[:: int(factor)], np.tile(inwards[-1], (steps.size, 1))])
    depth = factor * np.arange(0.5, 140.0)
    x, y = np.moveaxis(
        np.rint((at + depth[:, None, None] * inwards + 0.5) / factor - 0.5).astype(int), -1, 0
    )
    seen = (x >= 0) & (x < mask.shape[1]) & (y >= 0) & (y < mask.shape[0])
    blade = seen & (mask[np.where(seen, y, 0), np.where(seen, x, 0)] > 0)
    thick = depth[len(depth) - 1 - np.argmax(blade[::-1], axis=0)] + 0.5 * factor
    beyond = np.minimum(len(depth) - np.argmax(blade[::-1], axis=0), len(depth) - 1)
    slim = blade.any(axis=0) & ~blade[-1] & (thick > 3 * factor)
    slim &= seen[beyond, np.arange(len(at))]
    if slim.sum() < FEWEST_SLIM:
        return NO_TIP
    x, y = along[slim], thick[slim]
    # The nearest stretch tells best, unless damage of the tip bends it.
    for stretch in (45, 100):
        near = x > x[-1] - stretch * factor
        if np.unique(x[near]).size < FEWEST_SLIM:
            return NO_TIP
        slope, start = np.polyfit(x[near], y[near], 1)
        off = np.abs(y[near] - slope * x[near] - start)
        for _ in range(5):
            trust = 1 / np.maximum(off, 0.5 * factor)
            slope, start = np.polyfit(x[near], y[near], 1, w=np.sqrt(trust))
            off = np.abs(y[near] - slope * x[near] - start)
        if off.max() < 1.5 * factor:
            break
    if slope > -0.02:
        return NO_TIP
    return float(np.clip(-start / slope, 0, 150 * factor)), float(-slope)


def goes_on(mask, factor, line, inwards, length):
    """Pixels by which the blade's edge goes on in the picture beyond the end of its smooth line.

    The line runs straight on; the edge goes on as long as there is blade within a chip's depth
    behind it.

    Parameters
    ----------
    mask : ndarray, shape (rows, cols)
        Blade, 1 sample per `factor` pixels.
    factor : int
    line, inwards : ndarray, shape (n, 2)
        As for `to_tip`.
    length : float
        Of the edge that was followed.
    """
    arm = line[-min(len(line), int(60 * factor)) :]
    ahead = (arm[-1] - arm[0]) / max(np.linalg.norm(arm[-1] - arm[0]), 1e-9)
    room = np.where(ahead > 0, np.array(mask.shape[::-1]) * factor - line[-1], line[-1])
    furthest = float(np.min(room / np.maximum(np.abs(ahead), 1e-9))) / factor
    steps = factor * np.arange(1.0, max(furthest, 1.0) + 2)
    depth = factor * np.arange(1.0, max(CHIP_SHARE * length / factor, 6.0))
    at = line[-1] + steps[:, None] * ahead
    x, y = np.moveaxis(
        np.rint((at[:, None] + depth[:, None] * inwards[-1] + 0.5) / factor - 0.5).astype(int),
        -1, 0,
    )  # fmt: skip
    seen = (x >= 0) & (x < mask.shape[1]) & (y >= 0) & (y < mask.shape[0])
    blade = (seen & (mask[np.where(seen, y, 0), np.where(seen, x, 0)] > 0)).any(axis=1)
    gone = np.flatnonzero(~blade)
    return float(steps[gone[0]] - factor) if gone.size else float(steps[-1])
