"""Group-sequential t test (Wang and Tsiatis): may a study be read while it grows, and end early?

The looks are fixed beforehand. Each has its own level, so strict that a study with no true
difference crosses at any of them in 5 % of cases; the interval at that level is the repeated
confidence interval, right whether the study ends there or not.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from scipy.special import ndtr, ndtri, stdtr

from edgetest.errors import UnusableInput
from edgetest.estimate import checked_level

# Wang and Tsiatis' Delta: 0 asks most of the first looks, 0.5 asks the same of all. Chosen by
# the blades expected, tests/benchmarks/looks_table.py: at a ratio of 1.5 and a scatter of 0.15
# 0.25 takes 9.7, 0.5 takes 9.0, 0 takes 10.5; at 1.2 they find it in 0.51, 0.43 and 0.54.
SHAPE = 0.25
LEAST_SIZE = 3  # a side at the first look: with two, the t has 2 degrees of freedom
GREATEST_MOST = 40  # more looks than a shop will make; the levels of so many are hardly known
# Chance, at the data's own trend, to cross at the last look, below which going on is futile:
# of 16 blades 5.6 are saved where nothing differs, and 0.002 of power is lost at 1.5.
FUTILITY = 0.05
# Where the groups scatter alike and where one scatters three times as much: both hold.
SCATTER_RATIOS = (1.0, 3.0)
_STUDIES, _SEED = 150_000, 20_250
_LAYOUTS = ("groups", "blocks")


@dataclass(frozen=True)
class LookBounds:
    """When a study with looks may end.

    Attributes
    ----------
    sizes : tuple of int
        Blades a side at each look, ascending; the last is the greatest number.
    levels : tuple of float
        Coverage of the interval at each look: its repeated confidence interval.
    constant : float
        Wang and Tsiatis' constant: the last look's bound as a normal deviate.
    shape : float
        Their Delta.
    level : float
        Over all looks together.
    """

    sizes: tuple[int, ...]
    levels: tuple[float, ...]
    constant: float
    shape: float
    level: float

    @property
    def most(self):
        """Greatest number a side."""
        return self.sizes[-1]

    def bounds(self):
        """Bound of every look as a normal deviate, shape (looks,)."""
        return self.constant * (np.array(self.sizes) / self.most) ** (self.shape - 0.5)

    def look_at(self, size):
        """Which look a number a side is, from 0: the last one reached; None before the first."""
        reached = [k for k, at in enumerate(self.sizes) if at <= size]
        return reached[-1] if reached else None

    def decide(self, look, t, df):
        """What a look says: "stop", "futile", "go_on", or "end" at the last one.

        Parameters
        ----------
        look : int
            From 0.
        t, df : float
            Difference over its standard error, and its degrees of freedom.
        """
        z = float(normal_deviate(t, df))
        if z > self.bounds()[look]:
            return "stop"
        if look == len(self.sizes) - 1:
            return "end"
        looks = np.full((len(self.sizes), 1), z)
        return "futile" if self.futile(looks)[look, 0] else "go_on"

    def futile(self, z):
        """Whether going on would hardly lead to a claim, from the deviates z >= 0 of all looks.

        The chance to cross at the last look, predicted from the trend that the data show and its
        doubt (a flat prior), is below `FUTILITY`. Never at the last look. It binds nobody: the
        levels hold for those who go on.

        Parameters
        ----------
        z : ndarray, shape (looks, studies)

        Returns
        -------
        ndarray of bool, shape (looks, studies)
        """
        share = (np.array(self.sizes[:-1]) / self.most)[:, None]
        chance = ndtr((z[:-1] / np.sqrt(share) - self.constant) / np.sqrt((1 - share) / share))
        return np.vstack([chance < FUTILITY, np.zeros((1, z.shape[1]), dtype=bool)])


def normal_deviate(t, df):
    """The normal deviate that is as rare, both ways, as |t| with df degrees of freedom."""
    return -ndtri(np.maximum(stdtr(np.minimum(df, 1e7), -np.abs(t)), 1e-300))


@lru_cache(maxsize=64)
def look_bounds(sizes, *, level=0.95, shape=SHAPE, layout="groups"):
    """Levels of the looks of a study, calibrated to the degrees of freedom that it has.

    Parameters
    ----------
    sizes : tuple of int
        Blades a side at each look, ascending, 3 or more at the first.
    level : float
        1 minus the chance of a false claim at any look.
    shape : float
        Delta of the bounds ``c * (n / most)**(shape - 0.5)`` [1]_: 0 is O'Brien and Fleming's,
        0.5 Pocock's.
    layout : {"groups", "blocks"}
        "groups": Welch's t, its own degrees of freedom; "blocks": the t of differences within
        blocks, n - 1.

    Returns
    -------
    LookBounds
        From seeded simulated studies without a difference: t is turned into the normal deviate
        that is as rare, and the constant is what their largest weighted deviate exceeds in 5 %.
        Of groups, the larger constant of equal scatter and of scatter three times as large.

    Raises
    ------
    UnusableInput
        Sizes that do not ascend from 3 or more, an unknown layout, a level out of range.

    References
    ----------
    .. [1] S. K. Wang and A. A. Tsiatis, "Approximately optimal one-parameter boundaries for
       group sequential trials", Biometrics 43 (1987) 193-199. Repeated confidence intervals:
       C. Jennison and B. W. Turnbull, "Group Sequential Methods with Applications to Clinical
       Trials" (2000), chapter 9.
    """
    level = checked_level(level)
    ascending = all(a < b for a, b in pairwise(sizes))
    if not sizes or sizes[0] < LEAST_SIZE or not ascending:
        what = f"looks at {', '.join(f'{n:g}' for n in sizes) or 'no number'} a side"
        raise UnusableInput(what, "looks", f"let them ascend from {LEAST_SIZE} or more")
    if layout not in _LAYOUTS:
        raise UnusableInput(f'a layout "{layout}"', "looks", f"use {' or '.join(_LAYOUTS)}")
    share = np.array(sizes) / sizes[-1]
    weight = share ** (0.5 - shape)
    constant = 0.0
    for ratio in SCATTER_RATIOS if layout == "groups" else (1.0,):
        rng = np.random.default_rng(_SEED)
        t, df = growing_studies(sizes, _STUDIES, rng, layout=layout, scatter=(1.0, ratio))
        largest = (weight[:, None] * normal_deviate(t, df)).max(axis=0)
        constant = max(constant, float(np.quantile(largest, level)))
    levels = 1 - 2 * ndtr(-constant / weight)
    return LookBounds(tuple(sizes), tuple(levels.tolist()), constant, shape, level)


def growing_studies(sizes, studies, rng, *, layout="groups", scatter=(1.0, 1.0), difference=0.0):
    """Simulated studies that grow from look to look: t and its degrees of freedom at each.

    Parameters
    ----------
    sizes : sequence of int
        Blades a side at each look.
    studies : int
    rng : numpy.random.Generator
    layout : {"groups", "blocks"}
        As in `look_bounds`.
    scatter : (float, float)
        Standard deviation of either group.
    difference : float
        True difference, in the unit of `scatter`.

    Returns
    -------
    (ndarray, ndarray), each shape (looks, studies)
        Sums and sums of squares are drawn a stage at a time: normal, and chi-square.
    """
    shape = (1, studies) if layout == "blocks" else (2, studies)
    sd = np.array([np.hypot(*scatter)] if layout == "blocks" else scatter)[:, None]
    total, squares, before = np.zeros(shape), np.zeros(shape), 0
    t, df = [], []
    for size in sizes:
        more = size - before
        part = rng.standard_normal(shape) * sd * np.sqrt(more)
        squares = squares + part**2 / more
        if more > 1:
            squares = squares + rng.chisquare(more - 1, shape) * sd**2
        total, before = total + part, size
        variance = (squares - total**2 / size) / (size - 1) / size
        mean = total[-1] / size - (0.0 if layout == "blocks" else total[0] / size)
        t.append((mean + difference) / np.sqrt(variance.sum(axis=0)))
        df.append((size - 1) * variance.sum(axis=0) ** 2 / (variance**2).sum(axis=0))
    return np.array(t), np.array(df)
