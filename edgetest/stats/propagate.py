"""Uncertainty of inputs carried through a formula: by draws (JCGM 101) and linearly (GUM)."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate


@dataclass(frozen=True)
class Input:
    """A measured quantity: value and standard uncertainty, normally distributed.

    With `df` degrees of freedom it is Student's t, and `u` its scale: s / sqrt(n).
    """

    value: float
    u: float = 0.0
    df: float = np.inf

    def draw(self, rng, draws):
        """Draws of the quantity, shape (draws,)."""
        if self.u == 0:
            return np.full(draws, float(self.value))
        if np.isfinite(self.df):
            return self.value + self.u * rng.standard_t(self.df, draws)
        return self.value + self.u * rng.standard_normal(draws)


def draw_inputs(inputs, rng, draws):
    """Monte Carlo propagation (JCGM 101): draws of every input by name, each on its own.

    Raises
    ------
    UnusableInput
        If a value is missing or an uncertainty negative.
    """
    for name, one in inputs.items():
        if not (np.isfinite(one.value) and np.isfinite(one.u) and one.u >= 0):
            what = f"value {one.value:g}, uncertainty {one.u:g}"
            raise UnusableInput(what, name, "give a number and an uncertainty of zero or more")
    return {name: one.draw(rng, draws) for name, one in inputs.items()}


def interval(draws, value, unit, *, level=0.95, method="Monte Carlo"):
    """An estimate from its draws: probabilistically symmetric interval about the best value."""
    low, high = np.quantile(draws, [(1 - level) / 2, (1 + level) / 2])
    return Estimate(float(value), float(low), float(high), unit, level, method)


def linear_u(function, inputs):
    """GUM linear propagation: standard uncertainty, first order, numerical derivatives.

    Parameters
    ----------
    function : callable
        Takes the inputs by keyword, returns a number or an array.
    inputs : mapping of str to Input

    Returns
    -------
    float or ndarray
        Combined standard uncertainty.

    References
    ----------
    .. [1] JCGM 100:2008, section 5.1.2, with central differences of one u either side.
    """
    best = {name: one.value for name, one in inputs.items()}
    variance = np.zeros_like(np.asarray(function(**best), dtype=float))
    for name, one in inputs.items():
        if one.u > 0:
            high = np.asarray(function(**{**best, name: one.value + one.u}), dtype=float)
            low = np.asarray(function(**{**best, name: one.value - one.u}), dtype=float)
            variance = variance + ((high - low) / 2) ** 2
    root = np.sqrt(variance)
    return float(root) if root.ndim == 0 else root
