"""What do several studies say together, which share some of what they compared?"""

from dataclasses import dataclass
from math import inf, nan

import numpy as np
from scipy.optimize import brentq
from scipy.stats import chi2
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.between_studies import FEWER, SHARES, TAIL, TAIL_BELOW, WeightedStudies

TINY = 1e-12
# Studies from which a next one is told of. Of the ranges that two gave, which are those that came
# out narrow, 90.4 % held the truth where shops had no control blade, and 90.4 % where quenches were
# parted (`tests.benchmarks.shop_worlds`, `batch_worlds`, odd seeds); of three, 95 % and more.
LEAST_AHEAD = 3
WIDEST = 4.6  # of a log interval, a factor of 100: wider ones of a next study tell nothing


@dataclass(frozen=True)
class StudyEffects:
    """Log effects of one study: `arms[1:]` each against `arms[0]`, with their covariance.

    Attributes
    ----------
    arms : tuple of str, length n
    log_effects : ndarray, shape (n - 1,)
    covariance : ndarray, shape (n - 1, n - 1)
        Of chance within the study.
    """

    arms: tuple[str, ...]
    log_effects: np.ndarray
    covariance: np.ndarray


@dataclass(frozen=True)
class Ahead:
    """Variances of log life that the next study adds: a steady arm's change, another's load."""

    steady: float = 0.0
    other: float = 0.0


NOTHING_AHEAD = Ahead()


@dataclass(frozen=True)
class PooledEffect:
    """One arm against another over all studies: a log effect, its ends, and the next study's.

    `low` and `high` hold the mean over studies; `next_low` and `next_high` the true effect in a
    further study. An end that nothing bounds is infinite. `studies` compared the two directly;
    `shares` is how much each study weighs, the sum being 1.
    """

    log_effect: float
    low: float
    high: float
    next_low: float
    next_high: float
    se: float
    df: int
    studies: int
    shares: tuple[float, ...]


@dataclass(frozen=True)
class LinkedStudies:
    """Random effects over linked studies.

    Attributes
    ----------
    arms : tuple of str
        The first is what all others are held against.
    between_sd, between_low, between_high : float
        Standard deviation, between studies, of the true log effect of one arm against another,
        and its 95 % interval by the Q profile, degrees of freedom being those that heavy tails
        leave; 0, 0 and inf where nothing is known of it (df 0).
    factor : float
        By which the variance is stretched for the scatter that was seen, at least 1.
    df : int
    """

    arms: tuple[str, ...]
    studies: tuple[StudyEffects, ...]
    between_sd: float
    between_low: float
    between_high: float
    factor: float
    df: int
    _mean: np.ndarray
    _covariance: np.ndarray
    _gain: np.ndarray
    _fit: WeightedStudies
    _ahead: Ahead

    def effect(self, arm, against, level=0.95, *, ahead=True):
        """One arm against another, by Student's t on the stretched variance.

        Parameters
        ----------
        arm, against : str
        level : float
        ahead : bool
            Look at the next study too; without, its ends are nan.

        Returns
        -------
        PooledEffect
        """
        row = _row(self.arms, arm, against)
        mean = float(row @ self._mean)
        se = float(np.sqrt(max(self.factor * (row @ self._covariance @ row), self._robust(row))))
        half = self._t(self.df, level) * se
        next_low, next_high = self._next(row, level, arm, against) if ahead else (nan, nan)
        gain, direct, at = row @ self._gain, 0, 0
        shares = []
        for study in self.studies:
            n = len(study.log_effects)
            shares.append(float(np.abs(gain[at : at + n]).sum()))
            direct += arm in study.arms and against in study.arms
            at += n
        total = sum(shares) or 1.0
        return PooledEffect(
            mean, mean - half, mean + half, next_low, next_high, se, self.df,
            direct, tuple(share / total for share in shares),
        )  # fmt: skip

    def _next(self, row, level, *pair):
        """Ends of the next study's true effect, over what the variance between studies may be.

        The variance is drawn from its confidence distribution (its sum of squares is a
        chi-square), the mean by t [5]_, the next study by t with `TAIL_DF` degrees of freedom.
        What is too wide to tell anything is left open.
        """
        if self.df < 1 or len(self.studies) < LEAST_AHEAD:
            return -inf, inf
        betweens, fits = self._fit.drawn
        steps = student.ppf(SHARES, self.df)
        middle = np.concatenate([
            row @ mean + steps * np.sqrt(squares / self.df * (row @ covariance @ row))
            for mean, covariance, _, squares in fits
        ])  # fmt: skip
        part = sum(self._fit.varies(arm) for arm in pair) / 2
        steady = sum(arm in self._fit.steady for arm in pair)
        further = self._ahead.steady * steady + self._ahead.other * (2 - steady)
        spread = np.repeat((part * betweens + further) ** 0.5, len(SHARES))

        spread = np.maximum(spread, TINY)

        def share_below(value):
            return float(np.interp((value - middle) / spread, TAIL, TAIL_BELOW).mean())

        reach = 50 * spread.max() + 1
        ends = (0.5 - level / 2, 0.5 + level / 2)
        around = (middle.min() - reach, middle.max() + reach)
        low, high = (float(brentq(lambda x, at=at: share_below(x) - at, *around, xtol=1e-5))
                     for at in ends)  # fmt: skip
        return (low, high) if high - low < WIDEST else (-inf, inf)

    def _robust(self, row):
        """Variance from what the studies that bear on an effect leave over themselves.

        A sandwich estimate, a study being a cluster [6]_, with the small-sample factor k/(k - 1).
        Of two arms alone the pooled scatter is their own already.
        """
        if len(self.arms) < 3 or self.df < 1:
            return 0.0
        left, gain = self._fit.y - self._fit.rows @ self._mean, row @ self._gain
        ends = np.cumsum([len(study.log_effects) for study in self.studies])[:-1]
        weighing = [np.abs(part).max() > TINY for part in np.split(gain, ends)]
        parts = np.array([part.sum() for part in np.split(gain * left, ends)])
        k = sum(weighing)
        return k / (k - 1) * float(parts @ parts) if k > 1 else 0.0

    def half_width_with(self, arm, against, variance, level=0.95):
        """Half the interval's width after one more study of the two, its own variance given."""
        row = _row(self.arms, arm, against)
        before = float(row @ self._covariance @ row)
        further = variance + self.between_sd**2
        return self._t(self.df + 1, level) * float(np.sqrt(before * further / (before + further)))

    @staticmethod
    def _t(df, level):
        return float(student.ppf(0.5 + level / 2, df)) if df > 0 else inf


def linked_studies(studies, anchor=None, steady=(), ahead=NOTHING_AHEAD):
    """Pool linked studies: Paule-Mandel random effects, Hartung-Knapp-Sidik-Jonkman intervals.

    Each study gives effects of its arms (heat treatments) against its first one. An arm's true
    effect differs from study to study. The difference of two arms has that variance between
    studies which makes the weighted sum of squares what chance leads to expect [1]_. The mean's
    variance is stretched by that sum over its degrees of freedom, never shrunk (the modified
    method [3]_), and is never less than the studies that bear on it show: one arm may be done
    less evenly [6]_. Two arms in all give the textbook's two-arm case [2]_; more are linked by
    what they share [4]_. The range of a next study is a prediction interval [5]_.

    Parameters
    ----------
    studies : sequence of StudyEffects
        All linked: no two parts without an arm in common.
    anchor : str, optional
        What all arms are held against; default: the first study's first arm.
    steady : collection of str
        Arms made once for all studies: they hardly differ from study to study.
    ahead : Ahead

    Returns
    -------
    LinkedStudies

    Raises
    ------
    UnusableInput
        No study, an arm twice in one, a covariance that is none, or studies that are not linked.

    References
    ----------
    .. [1] R. C. Paule, J. Mandel, "Consensus values and weighting factors", J. Res. Natl. Bur.
       Stand. 87 (1982) 377.
    .. [2] J. IntHout, J. P. A. Ioannidis, G. F. Borm, "The Hartung-Knapp-Sidik-Jonkman method for
       random effects meta-analysis is straightforward and considerably outperforms the standard
       DerSimonian-Laird method", BMC Med. Res. Methodol. 14 (2014) 25.
    .. [3] C. Röver, G. Knapp, T. Friede, "Hartung-Knapp-Sidik-Jonkman approach and its
       modification for random-effects meta-analysis with few studies", BMC Med. Res. Methodol.
       15 (2015) 99.
    .. [4] G. Lu, A. E. Ades, "Combination of direct and indirect evidence in mixed treatment
       comparisons", Stat. Med. 23 (2004) 3105.
    .. [5] K. Nagashima, H. Noma, T. A. Furukawa, "Prediction intervals for random-effects
       meta-analysis: a confidence distribution approach", Stat. Methods Med. Res. 28 (2019) 1689.
    .. [6] L. V. Hedges, E. Tipton, M. C. Johnson, "Robust variance estimation in meta-regression
       with dependent effect size estimates", Res. Synth. Methods 1 (2010) 39.
    """
    studies = tuple(studies)
    _refuse(studies)
    arms = list(dict.fromkeys(arm for study in studies for arm in study.arms))
    if anchor in arms:
        arms.remove(anchor)
        arms.insert(0, anchor)
    rows = np.vstack(
        [_row(arms, arm, study.arms[0]) for study in studies for arm in study.arms[1:]]
    )
    if np.linalg.matrix_rank(rows) < len(arms) - 1:
        raise UnusableInput("some studies share nothing with the others", "studies",
                            "pool each part on its own")  # fmt: skip
    y = np.concatenate([study.log_effects for study in studies])
    df = len(y) - (len(arms) - 1)
    fit = WeightedStudies(studies, rows, y, frozenset(steady))
    between, low, high = 0.0, 0.0, inf
    if df > 0:
        between = fit.where_squares_are(df)
        low, high = (fit.where_squares_are(chi2.ppf(share, df * FEWER) / FEWER)
                     for share in (0.975, 0.025))  # fmt: skip
    mean, covariance, gain, squares = fit.at(between)
    factor = max(squares / df, 1.0) if df > 0 else 1.0
    return LinkedStudies(
        tuple(arms), studies, between**0.5, low**0.5, high**0.5, factor, df,
        mean, covariance, gain, fit, ahead,
    )  # fmt: skip


def parts_of(arms_of_studies):
    """Which studies are linked by what they share: lists of their numbers, each a part.

    Parameters
    ----------
    arms_of_studies : sequence of sequence of str
    """
    parts: list[tuple[set, list]] = []
    for number, arms in enumerate(arms_of_studies):
        linked, rest = (set(arms), [number]), []
        for part in parts:
            if part[0] & linked[0]:
                linked = (part[0] | linked[0], part[1] + linked[1])
            else:
                rest.append(part)
        parts = [*rest, linked]
    return [sorted(numbers) for _, numbers in parts]


def _row(arms, arm, against):
    """The row of a design that takes one arm against another; the first arm is nought."""
    row = np.zeros(len(arms))
    row[list(arms).index(arm)] += 1.0
    row[list(arms).index(against)] -= 1.0
    return row[1:]


def _refuse(studies):
    """Refuse what cannot be pooled.

    Raises
    ------
    UnusableInput
    """
    if not studies:
        raise UnusableInput("no study to pool", "studies", "give at least one")
    for number, study in enumerate(studies, 1):
        n = len(study.arms) - 1
        covariance = np.asarray(study.covariance, dtype=float)
        if n < 1 or len(set(study.arms)) <= n:
            raise UnusableInput(f"study {number} does not compare two things", "studies",
                                "name two arms or more, each once")  # fmt: skip
        if np.shape(study.log_effects) != (n,) or covariance.shape != (n, n):
            raise UnusableInput(f"study {number}: effects and covariance do not fit its arms",
                                "studies", f"give {n} and {n} by {n}")  # fmt: skip
        if not np.isfinite(study.log_effects).all() or np.linalg.eigvalsh(covariance).min() <= 0:
            raise UnusableInput(f"study {number}: an effect or a variance is none", "studies",
                                "leave that study out")  # fmt: skip
