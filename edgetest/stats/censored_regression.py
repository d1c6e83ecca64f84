"""Contrast of a normal linear model whose values are exact or known to an interval.

The profile log-likelihood of the contrast is read on Student's scale: where it has fallen by
n/2·log(1 + t²/df) from its greatest value, with n values and df degrees of freedom, the contrast
lies t standard errors away. Where all values are exact this is the t interval of least squares,
to the last digit. Groups with a scatter each are joined by the distances of their own limits
(MOVER [1]_), which gives Welch's t where all values are exact.

References
----------
.. [1] G. Y. Zou and A. Donner, "Construction of confidence limits about effect measures: a
   general approach", Statistics in Medicine 27 (2008) 1693-1702.
"""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from edgetest.stats.contrast import student_cdf
from edgetest.stats.interval_likelihood import NARROW, highest, middles

FARTHEST = 20.0  # log of the factor beyond which an end counts as open
NO_SPREAD = 1e-9  # of log life: values that are the same to all digits
_REACH, _POINTS = 7.0, 45  # asinh of the farthest t, and points on each side of the middle
_NEAR = 0.02  # t within which lies the middle that is named
T = np.sinh(np.linspace(-_REACH, _REACH, 2 * _POINTS + 1))


@dataclass(frozen=True)
class CensoredContrast:
    """Second group minus first on the log scale; reads like `edgetest.stats.contrast.Contrast`.

    `shift[i]` is the difference that lies `T[i]` standard errors above the middle (below it
    where `T[i]` is negative); infinite where the values leave that end open.
    """

    difference: float  # the middle; infinite or nan where an end or both are open
    df: float  # closed values, less the effects that they tell; below 1 there are no limits
    shift: np.ndarray
    method: str

    def _at(self, t):
        """The difference t standard errors away; infinite where none is."""
        known = np.isfinite(self.shift)
        told = T[known]
        if len(told) < 2 or not told[0] <= t <= told[-1]:
            return float(np.copysign(np.inf, t))
        return float(np.interp(t, told, self.shift[known]))

    @cached_property
    def stderr(self):
        """Half of what lies within one standard error on both sides."""
        return (self._at(1.0) - self._at(-1.0)) / 2 if self.df >= 1 else np.inf

    def limits(self, level, family):
        """Ends of the interval at `level`, jointly over a `Family`; infinite where open."""
        if self.df < 1:
            return -np.inf, np.inf
        t = family.quantile(level, self.df)
        return self._at(-t), self._at(t)

    def probability_above(self, shift=0.0):
        """Confidence that the difference is above `shift`, from the t distribution."""
        known = np.isfinite(self.shift)
        if self.df < 1 or known.sum() < 2:
            return 0.5
        t = np.interp(shift, self.shift[known], T[known])
        return float(student_cdf(-t, self.df))

    def widened(self, variance):
        """The contrast with a further, known `variance` of the difference added."""
        if not (variance > 0 and np.isfinite(self.difference)):
            return self
        arm = np.hypot(self.shift - self.difference, T * np.sqrt(variance))
        return replace(self, shift=self.difference + np.sign(T) * arm)


def censored_contrast(design, log_low, log_high, weights, *, scatter=None):
    """A contrast of the effects of a linear model of log lives known to an interval.

    Parameters
    ----------
    design : array_like, shape (n, p)
        Effects of each row, such as heat treatments and blocks; may be of deficient rank.
    log_low, log_high : array_like, shape (n,)
        Natural logs of what each life lies between; equal where known, -inf and inf where open.
    weights : array_like, shape (p,)
        Of the effects in the contrast.
    scatter : array_like of int, shape (n,), optional
        Group of each row that has a scatter of its own: 0, 1 ...; no effect may be shared
        between groups. Left out, all rows have one. A group of which fewer values than its
        effects and one more are closed tells no scatter: then all rows have one.

    Returns
    -------
    CensoredContrast
        `df` 0 and no limits where the values tell no scatter, or the design not the contrast.

    References
    ----------
    Limits of a profile likelihood on Student's scale: own construction, by simulation; the
    table stands among the guide's tables.
    """
    design = np.atleast_2d(np.asarray(design, dtype=float))
    low, high = (np.asarray(end, dtype=float) for end in (log_low, log_high))
    weights = np.asarray(weights, dtype=float)
    told = np.isfinite(low) | np.isfinite(high)
    design, low, high = design[told], low[told], high[told]
    if scatter is None:
        return _one_scatter(design, low, high, weights)
    scatter = np.asarray(scatter)[told]
    parts = []
    for group in np.unique(scatter):
        rows = scatter == group
        own = weights * (design[rows] != 0).any(axis=0)
        if own.any():
            parts.append((_one_scatter(design[rows], low[rows], high[rows], own), rows.sum()))
    if any(part.df < 1 for part, _ in parts):
        return _one_scatter(design, low, high, weights)
    return _joined(parts)


def _joined(parts):
    """Groups with a scatter each: arms of their limits added in squares, df by their shares.

    The degrees of freedom are Welch's, guarded where a group is of two as in
    `edgetest.stats.contrast.guarded_t`.
    """
    found = [part for part, _ in parts]
    variance = np.array([part.stderr**2 for part in found])
    share = variance / variance.sum() if np.isfinite(variance).all() else np.ones(len(found))
    share = share / share.sum()
    df = np.array([part.df for part in found])
    power = 2 if min(n for _, n in parts) > 2 else 1
    middle = sum(part.difference for part in found)
    arms = np.sqrt(sum((part.shift - part.difference) ** 2 for part in found))
    return CensoredContrast(
        float(middle), float(1 / (share**power / df).sum()), middle + np.sign(T) * arms, METHOD
    )


METHOD = "t by likelihood, lives known to intervals"


def _one_scatter(design, low, high, weights):
    """The contrast where all rows share one scatter; the last ones are remembered."""
    if len(low) == 0:
        return CensoredContrast(np.nan, 0.0, np.full(len(T), np.nan), METHOD)
    return _of_bytes(*(np.ascontiguousarray(x).tobytes() for x in (design, low, high, weights)))


@lru_cache(maxsize=128)
def _of_bytes(design, low, high, weights):
    """`_one_scatter` by the arrays' bytes, which can be remembered."""
    low, high, weights = (np.frombuffer(x) for x in (low, high, weights))
    design = np.frombuffer(design).reshape(len(low), len(weights))
    closed = np.isfinite(low) & np.isfinite(high)
    exact = closed & (high - low < NARROW)
    rank = np.linalg.matrix_rank(design[closed]) if closed.any() else 0
    df = float(closed.sum() - rank)
    _, size, turn = np.linalg.svd(design, full_matrices=False)
    basis = turn[size > 1e-9 * size.max()].T
    asked = basis.T @ weights
    told = np.allclose(basis @ asked, weights)
    whole = design @ basis
    mid = np.linalg.lstsq(whole, middles(low, high), rcond=None)[0]
    rest = middles(low, high) - whole @ mid
    if not told or df < 1 or (exact[closed].all() and _alike(design[closed], low[closed])):
        known = told and closed.all()
        return CensoredContrast(
            float(asked @ mid) if known else np.nan, 0.0, np.full(len(T), np.nan), METHOD
        )
    unit = np.sqrt(asked @ np.linalg.solve(whole.T @ whole, asked))
    if exact.all():
        stderr = unit * np.sqrt(rest @ rest / df)
        middle = float(asked @ mid)
        return CensoredContrast(middle, df, middle + T * stderr, "t")
    width = np.where(closed, high - low, 0.0).mean()
    unit *= np.sqrt(rest @ rest / df) + width
    t, shift, _best = _profile(whole, low, high, asked, float(asked @ mid), unit, closed.sum(), df)
    return _inverted(t, shift, df)


def _alike(design, value):
    """Whether values are met by their effects to all digits."""
    found = np.linalg.lstsq(design, value, rcond=None)[0]
    return np.abs(value - design @ found).max() < NO_SPREAD


def _profile(whole, low, high, asked, middle, unit, n, df):
    """Differences, and how many standard errors away the likelihood puts each."""
    along = asked / (asked @ asked)
    null = np.linalg.svd(asked[None])[2][1:].T
    top, params = highest(whole, low[None], high[None])
    likeliest = float(params[0, 1:] @ asked / params[0, 0])
    centre = float(np.clip(likeliest, middle - 3 * unit, middle + 3 * unit))
    reach = np.arcsinh(FARTHEST / unit)
    shift = centre + unit * np.sinh(np.linspace(-reach, reach, 2 * _POINTS + 1))
    moved = shift[:, None] * (whole @ along)
    reached, _ = highest(whole @ null, low - moved, high - moved)
    fall = np.maximum(max(top[0], reached.max()) - reached, 0.0)
    t = np.sign(shift - likeliest) * np.sqrt(df * np.expm1(2 * fall / n))
    return np.maximum.accumulate(t), shift, likeliest


def _inverted(t, shift, df):
    """The contrast from differences and their t: its limits at each of `T`."""
    from scipy.interpolate import PchipInterpolator  # loads much that known lives do not need

    rising = t + 1e-7 * np.linspace(-1, 1, len(t))
    inverse = PchipInterpolator(rising, shift)
    inside = (rising[0] <= T) & (rising[-1] >= T)
    limits = np.where(inside, inverse(np.clip(T, rising[0], rising[-1])), np.copysign(np.inf, T))
    ends = [
        float(inverse(end)) if rising[0] <= end <= rising[-1] else np.copysign(np.inf, end)
        for end in (-_NEAR, _NEAR)
    ]
    with np.errstate(invalid="ignore"):
        return CensoredContrast((ends[0] + ends[1]) / 2, df, limits, METHOD)
