"""How fine are the readings: the step of the scale that they were read on, from their numbers."""

import numpy as np

# A division of a graticule, or the half, quarter, fifth or tenth of one.
STEPS = np.array([
    50, 25, 20, 12.5, 10, 5, 4, 2.5, 2, 1.25, 1, 0.5, 0.25, 0.2, 0.125, 0.1, 0.05, 0.025, 0.02,
    0.01, 0.005, 0.002, 0.001,
])  # fmt: skip
MOST = 0.9  # of the readings are whole steps: a slip of the pen hides no scale. Our choice
FEWEST = 8  # readings that tell of a scale. Our choice
NEAR = 1e-6  # of a step; what a decimal number differs by in its last binary digits


def reading_step(values):
    """The coarsest step of which nearly all readings are whole multiples.

    Parameters
    ----------
    values : array_like
        Readings, in their unit; those that are no number are left out.

    Returns
    -------
    float
        0.0 where the readings are too few, or finer than any step.
    """
    values = np.asarray(values, dtype=float)
    values = values[np.isfinite(values)]
    if len(values) < FEWEST:
        return 0.0
    steps = values[:, None] / STEPS
    whole = (np.abs(steps - np.round(steps)) < NEAR).mean(axis=0)
    found = np.flatnonzero(whole >= MOST)
    return float(STEPS[found[0]]) if len(found) else 0.0
