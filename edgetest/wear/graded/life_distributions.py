"""Lives known exactly, as bounds or as intervals: Weibull and lognormal, with groups.

A pass at 50 cuts and a fail at 75 is a life between 50 and 75; a blade still passing when
the rope ran out has a life above its last check. Each enters the likelihood as what it is.
"""

from dataclasses import dataclass
from math import exp, inf, log

import numpy as np
from scipy.special import chdtri, stdtrit

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, format_estimate, plain
from edgetest.stats.censoring import (
    LARGEST_SCATTER,
    LAWS,
    SMALLEST_SCATTER,
    Constraint,
    LifeLaw,
    Line,
    Lives,
    fit_line,
)

LEAST_ENDS = 3  # lives that reached their end, fewer of which hardly test a law; own choice
FARTHEST = 20.0  # log of the factor beyond which an end counts as open


@dataclass(frozen=True)
class GroupLife:
    """One group's median life and what it rests on."""

    group: str
    n: float  # blades
    ended: float  # of these, lives with an upper end: exact, interval or left-censored
    median: Estimate  # cuts


@dataclass(frozen=True)
class LifeFit:
    """Median lives of groups under one law with a common scatter."""

    law: str
    scatter: Estimate  # SD of log life (lognormal) or 1 / shape (Weibull)
    groups: tuple[GroupLife, ...]
    location: tuple[float, ...]  # of log life by group: mean (lognormal), log scale (Weibull)
    log_likelihood: float
    level: float
    threshold: str  # "t" or "chi-square"
    doubts: tuple[Doubt, ...]

    @property
    def shape(self):
        """Weibull's shape, 1 / scatter."""
        return 1 / self.scatter.value

    def to_dict(self):
        """JSON-plain values."""
        return {
            "law": self.law,
            "scatter": _ends(self.scatter),
            "groups": [
                {"group": g.group, "n": g.n, "ended": g.ended, "life": _ends(g.median, "cuts")}
                for g in self.groups
            ],
            "log_likelihood": plain(self.log_likelihood),
            "level": self.level,
            "threshold": self.threshold,
            **told(self.doubts),
        }

    def summary(self, titles=None):
        """The median lives and their scatter, a line each; `titles` by the groups' names."""
        named = [((titles or {}).get(g.group, g.group), g.median) for g in self.groups]
        lines = [f"{name}: half of the blades last {_words(life)} cuts." for name, life in named]
        lines.append(f"SD of log life between blades: {_words(self.scatter)}.")
        return "\n".join(lines)


def _words(estimate):
    """The estimate, or the one end that it has."""
    if estimate.low == 0 and estimate.high == inf:
        return "unknown"
    if estimate.value == inf:
        return f"{estimate.low:.3g} or more"
    if estimate.value == 0:
        return f"{estimate.high:.3g} or less"
    low = estimate.low if estimate.low > 0 else -inf
    return format_estimate(estimate.value, low, estimate.high)


def _ends(estimate, name="value"):
    return {
        name: plain(estimate.value),
        "low": plain(estimate.low),
        "high": plain(estimate.high),
    }


def fit_lives(
    lower, upper, *, count=None, group=None, law="lognormal", level=0.95, small_sample=True
):
    """Median lives of groups and their scatter, from exact, bounded and interval lives.

    Parameters
    ----------
    lower, upper : array_like, shape (n,)
        Life in cuts lies above `lower` and at most at `upper`. Equal: known exactly. `upper`
        inf or nan: still passing at `lower`. `lower` 0 or nan: dull already at `upper`.
    count : array_like, shape (n,), optional
        Blades that a row stands for.
    group : array_like of str, shape (n,), optional
        Heat treatment of each row; one group where left out.
    law : str
        "lognormal" or "weibull".
    level : float
        Coverage of intervals.
    small_sample : bool
        True: the profile likelihood is cut at n·log(1 + t²/df), which gives exactly the t
        interval for lognormal lives that are all known. False: at half of chi-square, as
        large-sample programs do.

    Returns
    -------
    LifeFit
        Scatter and medians by profile likelihood; an end that the data leave open is 0 or inf.

    Raises
    ------
    UnusableInput
        Lengths differ, an upper end below its lower, a life not above 0, an unknown law, or
        no blade that ended.
    """
    if law not in LAWS:
        raise UnusableInput(f'no law "{law}"', "law", f"name one of: {', '.join(LAWS)}")
    lives, names = _gather(lower, upper, count, group)
    problem = _Problem(LAWS[law], lives, names, level, small_sample)
    groups = tuple(problem.group_life(i) for i in range(len(names)))
    return LifeFit(
        law=law,
        scatter=problem.scatter(),
        groups=groups,
        location=tuple(float(x) for x in problem.location),
        log_likelihood=problem.best.log_likelihood,
        level=level,
        threshold="t" if problem.df >= 1 and small_sample else "chi-square",
        doubts=problem.doubts(),
    )


def _gather(lower, upper, count, group):
    """Rows as `Lives`, and the groups' names in order of appearance."""
    lower = np.atleast_1d(np.asarray(lower, dtype=float))
    upper = np.atleast_1d(np.asarray(upper, dtype=float))
    weight = np.ones(len(lower)) if count is None else np.asarray(count, dtype=float)
    labels = ["all"] * len(lower) if group is None else [str(g) for g in group]
    if not len(lower) == len(upper) == len(weight) == len(labels):
        raise UnusableInput("columns of different lengths", "lives", "give one value a row")
    lower, upper = np.nan_to_num(lower, nan=0.0), np.where(np.isnan(upper), inf, upper)
    if (lower < 0).any() or (upper <= 0).any() or np.isinf(lower).any():
        raise UnusableInput("a life is not above 0", "lives", "give cuts, 0 or nan for no bound")
    if (upper < lower).any():
        row = int(np.flatnonzero(upper < lower)[0])
        what = f"row {row + 1} ends at {upper[row]:g}, before it begins at {lower[row]:g}"
        raise UnusableInput(what, "lives", "give the last pass first, then the first fail")
    told = (weight > 0) & ~((lower == 0) & np.isinf(upper))
    if not (told & np.isfinite(upper)).any():
        raise UnusableInput("no blade reached its end", "lives", "cut further, or set the limit")
    names = list(dict.fromkeys(label for label, use in zip(labels, told, strict=True) if use))
    index = np.array([names.index(x) for x, use in zip(labels, told, strict=True) if use])
    with np.errstate(divide="ignore"):
        lives = Lives(np.log(lower[told]), np.log(upper[told]), index, weight[told])
    return lives, names


class _Problem:
    """Lives under one law: the best fit, and profiles of a median and of the scatter."""

    def __init__(self, law: LifeLaw, lives: Lives, names, level, small_sample):
        self.law, self.lives, self.names, self.level = law, lives, names, level
        count = len(names)
        self.n = np.bincount(lives.group, weights=lives.weight, minlength=count)
        ends = np.isfinite(lives.high) * lives.weight
        begins = np.isfinite(lives.low) * lives.weight
        self.ended = np.bincount(lives.group, weights=ends, minlength=count)
        self.begun = np.bincount(lives.group, weights=begins, minlength=count)
        # A group without an end has its likelihood's limit at an endless life.
        self.open = np.where(self.ended == 0, 1, np.where(self.begun == 0, -1, 0))
        self.told = self.lives.take(self.open[lives.group] == 0)
        if len(self.told.low) == 0:
            raise UnusableInput(
                "no group has a blade between a pass and a fail", "lives", "check at more stages"
            )
        self.best: Line = fit_line(law, self.told, count)
        effective = float(self.ended[self.open == 0].sum())
        self.df = effective - int((self.open == 0).sum())
        if small_sample and self.df >= 1:
            t = stdtrit(self.df, 0.5 + level / 2)
            self.drop = effective / 2 * log(1 + t**2 / self.df)
        else:
            self.drop = chdtri(1, 1 - level) / 2

    @property
    def perfect(self):
        """Whether intervals alone are met with certainty, whatever the scatter below theirs."""
        return not self.told.exact.any() and self.best.log_likelihood > -1e-6

    @property
    def location(self):
        """Of log life by group; endless or zero where the group's lives are only bounds."""
        found = self.best.theta[1:] / self.best.theta[0]
        return np.where(self.open == 0, found, np.where(self.open > 0, inf, -inf))

    def group_life(self, index):
        """Median life of a group."""
        sigma = 1 / self.best.theta[0]

        def hold(log_median):
            row = np.zeros(len(self.names))
            row[0] = log_median
            return Constraint(index + 1, row, -self.law.median)

        rows = self.lives.group == index
        if self.open[index]:
            known = self.lives.low[rows] if self.open[index] > 0 else self.lives.high[rows]
            start = float(known.mean()) + self.open[index] * min(3 + 5 * sigma, FARTHEST / 2)
            value = inf if self.open[index] > 0 else -inf
        else:
            start = value = float(self.location[index] + sigma * self.law.median)
        low, high = self._ends(hold, start, sigma, self.open[index], rows)
        if self.perfect and not self.open[index]:  # flat between two checks: name its middle
            value = (low + high) / 2
        return GroupLife(
            self.names[index],
            float(self.n[index]),
            float(self.ended[index]),
            self._estimate(value, low, high, "cuts"),
        )

    def scatter(self):
        """SD of log life, or 1 / shape, with its profile interval."""
        best = -log(self.best.theta[0])

        def drop(log_sigma):
            found = fit_line(self.law, self.told, len(self.names), scatter=exp(log_sigma))
            return self.best.log_likelihood - found.log_likelihood

        low = _cross(drop, best, -0.3, self.drop, log(SMALLEST_SCATTER))
        high = _cross(drop, best, 0.3, self.drop, log(LARGEST_SCATTER))
        return self._estimate(best, low, high, "")

    def _ends(self, hold, start, sigma, direction, rows):
        """Where the profile has fallen by the threshold on each side; open ends stay open."""
        lives = self.told if not direction else self._with(rows)

        def drop(value):
            found = fit_line(self.law, lives, len(self.names), hold=hold(value))
            return self.best.log_likelihood - found.log_likelihood

        step = max(sigma, 0.02)
        low = -inf if direction < 0 else _cross(drop, start, -step, self.drop, start - FARTHEST)
        high = inf if direction > 0 else _cross(drop, start, step, self.drop, start + FARTHEST)
        return low, high

    def _with(self, rows):
        """The told lives and those of the chosen rows."""
        return self.lives.take((self.open[self.lives.group] == 0) | rows)

    def _estimate(self, value, low, high, unit):
        value, low, high = (exp(x) if x < 700 else inf for x in (value, low, high))
        method = f"{self.law.name}, profile likelihood"
        return Estimate(value, low, high, unit, self.level, method)

    def doubts(self):
        """What is doubtful about the lives; `value` is the heat treatment or the number met."""
        found = []
        for name, way in zip(self.names, self.open, strict=True):
            if way:
                code = "never_dulled" if way > 0 else "dull_at_first_check"
                found.append(doubt(code, where=Where(value=name)))
        found.sort(key=lambda one: one.code != "never_dulled")
        if self.best.at_bound or self.perfect:
            found.append(doubt("scatter_not_seen"))
        if self.ended.sum() < LEAST_ENDS:
            found.append(doubt("few_ends", where=Where(value=float(self.ended.sum()))))
        return tuple(found)


def _cross(drop, start, step, threshold, limit):
    """First place from `start` along `step` where `drop` passes `threshold`; ±inf beyond `limit`.

    `drop` rises away from its minimum, so the crossing is bracketed by doubling steps, then
    closed in by Brent's method.
    """
    from scipy.optimize import brentq  # 0.1 s that known lives need not wait for

    sign = 1.0 if step > 0 else -1.0
    inner, outer = start, start + step
    if drop(inner) >= threshold:
        return float(inner)
    while True:
        if sign * (outer - limit) > 0:
            outer = limit
        if drop(outer) > threshold:
            return float(brentq(lambda at: drop(at) - threshold, inner, outer, xtol=1e-9))
        if outer == limit:
            return sign * inf
        inner, step = outer, 2 * step
        outer = inner + step
