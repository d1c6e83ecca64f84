"""Limits of agreement (Bland & Altman): does a second look agree with the first, and does it drift?

The differences of pairs are one sample: their mean is what the second look reads more, their
scatter how far two looks at one thing lie apart, their slope on time whether the eye drifts.
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import chdtri, ndtri, stdtrit

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, checked_level, json_fields

# So few pairs leave the standard deviation known within 0.64 and 2.2 times itself (chi-square);
# with 4 it would be 2.9 times, and one slip of the hand decides the answer.
LEAST_PAIRS = 6


@dataclass(frozen=True)
class Agreement:
    """What pairs of looks at the same things say; `second` less `first` throughout.

    Attributes
    ----------
    pairs : int
    bias : Estimate
        Mean difference, with Student's interval.
    sd_difference : float
        Standard deviation of the differences about their mean.
    lower, upper : Estimate
        Limits of agreement: between them lie `level` of the differences.
    within : Estimate
        Standard deviation of one look, sqrt(sum d^2 / 2n), what the looks differ by on average
        included.
    repeatability : float
        Two looks differ by more than this in one of twenty: 1.96 sqrt(2) `within`.
    drift : Estimate or None
        Slope of the difference per unit of time; None without times, or with all alike.
    span : float
        From the first time to the last.
    """

    pairs: int
    bias: Estimate
    sd_difference: float
    lower: Estimate
    upper: Estimate
    within: Estimate
    repeatability: float
    drift: Estimate | None = None
    span: float = 0.0

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def summary(self):
        """How the second look reads, as a maker reads it out."""
        bias = self.bias
        way = "more" if bias.value > 0 else "less"
        sign = 1 if bias.value > 0 else -1
        low, high = sorted((sign * bias.low, sign * bias.high))
        told = Estimate(sign * bias.value, low, high, bias.unit).summary()
        sure = "" if bias.low > 0 or bias.high < 0 else "; that may be chance"
        return f"The second look reads {told} {way}{sure} ({self.pairs} pairs)."


def agreement(first, second, *, time=None, unit="", level=0.95):
    """Agreement of two looks at the same things, after Bland and Altman.

    Parameters
    ----------
    first, second : array_like, shape (n,)
        Reading of each thing at the first and at the second look, in one unit.
    time : array_like, shape (n,), optional
        When the second look was made, or its number in the row: the drift is per unit of it.
    unit : str
        Of the readings.
    level : float
        Coverage of the intervals and share between the limits.

    Returns
    -------
    Agreement

    Raises
    ------
    UnusableInput
        Fewer than six pairs, lengths that differ, or values that are no finite numbers.

    Notes
    -----
    Of n pairs whose differences have the mean b (the bias) and the standard deviation s, the
    limits of agreement are b ± z s, with z = 1.96 for 95 % [1]_. Bias and slope have Student's
    interval with n - 1 and n - 2 degrees of freedom. A limit of agreement has the standard error
    s sqrt(1/n + z^2 / (2 (n - 1))) [2]_. The standard deviation of one look has the interval of
    chi-square with n degrees of freedom, which holds where the bias is small. Where scatter has
    heavy tails these last two intervals hold the truth less often: about 85 % in place of 95 %
    (tests/benchmarks/agreement_coverage.py).

    References
    ----------
    .. [1] J. M. Bland, D. G. Altman, "Statistical methods for assessing agreement between two
       methods of clinical measurement", Lancet 327 (1986) 307-310.
    .. [2] J. M. Bland, D. G. Altman, "Measuring agreement in method comparison studies",
       Statistical Methods in Medical Research 8 (1999) 135-160.
    """
    level = checked_level(level)
    first, second = _column(first, "first"), _column(second, "second")
    n = len(first)
    if n < LEAST_PAIRS:
        raise UnusableInput(
            f"{n} pair{'s' * (n != 1)} of looks", "pairs",
            f"look at {LEAST_PAIRS - n} more a second time: fewer than {LEAST_PAIRS} tell nothing",
        )  # fmt: skip
    if len(second) != n:
        raise UnusableInput(f"{n} first and {len(second)} second looks", "pairs", "give pairs")
    d = second - first
    tail = (1 + level) / 2
    mean, sd = float(d.mean()), float(d.std(ddof=1))
    t, z = stdtrit(n - 1, tail), ndtri(tail)
    spread = sd * sqrt(1 / n + z**2 / (2 * (n - 1)))
    squares = float((d**2).sum())
    drift, span = _drift(d, time, tail, unit, level)

    def told(value, half):
        return Estimate(float(value), float(value - half), float(value + half), unit, level)

    low, high = np.sqrt(squares / 2 / chdtri(n, np.array([1 - tail, tail]))).tolist()
    within = sqrt(squares / (2 * n))
    return Agreement(
        pairs=n,
        bias=told(mean, t * sd / sqrt(n)),
        sd_difference=sd,
        lower=told(mean - z * sd, t * spread),
        upper=told(mean + z * sd, t * spread),
        within=Estimate(within, low, high, unit, level),
        repeatability=float(ndtri(0.975)) * sqrt(2) * within,
        drift=drift,
        span=span,
    )


def _drift(d, time, tail, unit, level):
    """Slope of the differences on time by least squares, and the span of time."""
    if time is None:
        return None, 0.0
    time = _column(time, "time")
    if len(time) != len(d):
        raise UnusableInput(f"{len(time)} times for {len(d)} pairs", "time", "give one to each")
    apart = time - time.mean()
    if not apart.any():
        return None, 0.0
    squares = float(apart @ apart)
    slope = float(apart @ d) / squares
    left = d - d.mean() - slope * apart
    half = stdtrit(len(d) - 2, tail) * sqrt(float(left @ left) / (len(d) - 2) / squares)
    estimate = Estimate(slope, slope - half, slope + half, unit, level)
    return estimate, float(np.ptp(time))


def _column(given, name):
    """A column of finite numbers."""
    values = np.asarray(given, dtype=float)
    if values.ndim != 1 or not np.isfinite(values).all():
        raise UnusableInput("not a column of finite numbers", name, "leave blanks out")
    return values
