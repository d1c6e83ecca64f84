"""How much of each cell does a body cover? Areas under outlines, exact across rows.

Coverage by signed crossings of every column of cells (the winding number of a closed outline),
so bodies may hook and undercut; columns are sampled in their middle.
"""

import numpy as np


def coverage(points, rows, cols):
    """Share of each cell (rows, cols) inside a closed outline of points x, y (n, 2) in cells."""
    x, y = np.asarray(points, float).T
    x1, y1 = np.roll(x, -1), np.roll(y, -1)
    grown = np.zeros((rows + 2, cols), np.float32)
    low, high = np.minimum(x, x1), np.maximum(x, x1)
    first = np.ceil(np.clip(low, -1, cols + 1) - 0.5).astype(int)
    last = np.ceil(np.clip(high, -1, cols + 1) - 0.5).astype(int)
    first, last = np.clip(first, 0, cols), np.clip(last, 0, cols)
    counts = last - first
    side = np.repeat(np.arange(len(x)), counts)
    column = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    column += np.repeat(first, counts)
    run = x1 - x
    share = (column + 0.5 - x[side]) / np.where(run[side] == 0, 1, run[side])
    height = np.clip(y[side] + share * (y1 - y)[side], 0, rows)
    sign = np.where(run[side] > 0, 1.0, -1.0)
    whole = np.floor(height).astype(int)
    rest = height - whole
    np.add.at(grown, (whole, column), sign * (1 - rest))
    np.add.at(grown, (whole + 1, column), sign * rest)
    return np.clip(np.abs(np.cumsum(grown, axis=0)[:rows]), 0, 1)


def blob(rng, middle, radius, rough=0.25, points=48):
    """Outline of a grain: a circle with random harmonics, (points, 2)."""
    turn = np.linspace(0, 2 * np.pi, points, endpoint=False)
    reach = np.ones(points)
    for order in range(2, 7):
        reach += (
            rough / order**0.7 * rng.standard_normal() * np.cos(order * turn + rng.uniform(0, 6.3))
        )
    reach = radius * np.maximum(reach, 0.3)
    squeeze = rng.uniform(0.65, 1.0)
    lean = rng.uniform(0, np.pi)
    flat = np.stack([reach * np.cos(turn), squeeze * reach * np.sin(turn)])
    spun = np.array([[np.cos(lean), -np.sin(lean)], [np.sin(lean), np.cos(lean)]]) @ flat
    return np.asarray(middle) + spun.T


def strand(rng, start, heading, length, width):
    """Outline of a fibre from ``start``: a bent ribbon that thins towards its end."""
    steps = 60
    turn = (
        heading
        + np.cumsum(rng.standard_normal(steps)) * 0.06
        + rng.uniform(-1.5, 1.5) * (np.linspace(0, 1, steps))
    )
    path = np.asarray(start) + np.cumsum(
        np.stack([np.cos(turn), np.sin(turn)], 1) * length / steps, axis=0
    )
    half = width / 2 * np.linspace(1, 0.6, steps)[:, None] * rng.uniform(0.85, 1.15, (steps, 1))
    across = np.stack([-np.sin(turn), np.cos(turn)], 1)
    return np.concatenate([path + half * across, (path - half * across)[::-1]])
