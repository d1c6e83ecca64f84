"""Does the curve follow its readings? Runs test, lack-of-fit F test, studentised residuals."""

from dataclasses import dataclass
from math import comb

import numpy as np

ALARM = 0.01  # probability below which a pattern is called more than chance


def runs_distribution(n_above, n_below):
    """Wald-Wolfowitz distribution: 0, 1, 2 ... runs among residuals above and below the curve.

    Parameters
    ----------
    n_above, n_below : int
        Residuals of each sign.

    Returns
    -------
    ndarray, shape (n_above + n_below + 1,)
        Exact, every order equally likely.

    References
    ----------
    .. [1] A. Wald and J. Wolfowitz, "On a test whether two samples are from the same
       population", Annals of Mathematical Statistics 11 (1940) 147-162.
    """
    chance = np.zeros(n_above + n_below + 1)
    if n_above == 0 or n_below == 0:
        chance[min(1, len(chance) - 1)] = 1.0
        return chance
    for runs in range(2, len(chance)):
        half, odd = divmod(runs, 2)
        if odd:
            ways = _ways(n_above, half + 1) * _ways(n_below, half)
            ways += _ways(n_above, half) * _ways(n_below, half + 1)
        else:
            ways = 2 * _ways(n_above, half) * _ways(n_below, half)
        chance[runs] = ways / comb(n_above + n_below, n_above)
    return chance


def _ways(n, groups):
    """Ways to split n in a row into so many groups."""
    return comb(n - 1, groups - 1)


def runs_probability(curves):
    """Wald-Wolfowitz runs test of residuals, all curves together: chance of so few runs.

    Parameters
    ----------
    curves : sequence of array_like
        Residuals of each curve in the order of the cuts; a residual of zero is left out.

    Returns
    -------
    float
        Small where residuals hang together, as they do where the law bends otherwise.
    """
    total, chance = 0, np.ones(1)
    for residuals in curves:
        signs = np.sign(np.asarray(residuals, dtype=float))
        signs = signs[signs != 0]
        if len(signs) < 2:
            continue
        total += 1 + int(np.sum(signs[1:] != signs[:-1]))
        chance = np.convolve(
            chance, runs_distribution(int((signs > 0).sum()), int((signs < 0).sum()))
        )
    return float(min(chance[: total + 1].sum(), 1.0))


def common_pattern(cuts, residuals, n_params):
    """One-way F test by stage: chance that all blades miss their curves at the same stages.

    Parameters
    ----------
    cuts, residuals : sequence of (S,) arrays
        Stages and residuals of every curve.
    n_params : int
        Parameters fitted to each curve.

    Returns
    -------
    float
        Of the F test of stage means against what blades differ at a stage; nan where fewer
        than two curves share stages.
    """
    from scipy.special import fdtrc

    _, place = np.unique(np.concatenate(cuts), return_inverse=True)
    left = np.concatenate(residuals)
    count = np.bincount(place)
    mean = np.bincount(place, left) / count
    shared = count > 1
    own_ss = float(np.sum((left - mean[place])[shared[place]] ** 2))
    share = shared[place].sum() / len(left)  # of the parameters, those spent on shared stages
    common_df = int(shared.sum()) - n_params
    own_df = int(count[shared].sum() - shared.sum() - share * (len(cuts) - 1) * n_params)
    if common_df < 1 or own_df < 1 or own_ss <= 0:
        return float("nan")
    common_ss = float(np.sum((count * mean**2)[shared]))
    return float(fdtrc(common_df, own_df, (common_ss / common_df) / (own_ss / own_df)))


@dataclass(frozen=True)
class PureError:
    """Sums of squares of one curve: `lack_ss` of the stages about the curve, `pure_ss` within."""

    lack_ss: float
    lack_df: int
    pure_ss: float
    pure_df: int


def pure_error(blade, residuals, n_shape):
    """Pure-error decomposition: what the law misses, and what repeated places show anyway.

    Parameters
    ----------
    blade : Cells
    residuals : ndarray (N,)
        Log reading minus curve of every cell.
    n_shape : int
        Parameters of the curve's shape, the scale not counted.

    Returns
    -------
    PureError
        Degrees of freedom are 0 where neither places nor repeats tell.
    """
    number = ~blade.bounded
    stage, place, r = blade.stage[number], blade.station[number], residuals[number]
    n_stages = len(np.unique(stage))
    places = np.unique(place)
    if len(places) > 1:
        both = np.column_stack(
            [place[:, None] == places, (stage[:, None] == np.unique(stage)[1:])]
        ).astype(float)
        pure_ss, rank = _unexplained(both, r)
        curve_ss, _ = _unexplained(both[:, : len(places)], r)
        lack_df = n_stages - 1 - n_shape
        return PureError(curve_ss - pure_ss, max(lack_df, 0), pure_ss, len(r) - rank)
    each = (blade.repeat_df + len(r)) / max(len(r), 1)
    lack_df = n_stages - 1 - n_shape
    return PureError(each * float(r @ r), max(lack_df, 0), blade.repeat_ss, blade.repeat_df)


def _unexplained(design, r):
    found, _, rank, _ = np.linalg.lstsq(design, r)
    left = r - design @ found
    return float(left @ left), int(rank)


def lack_of_fit(parts):
    """Lack-of-fit F test: chance of so much scatter of stages about their curves.

    Parameters
    ----------
    parts : sequence of PureError

    Returns
    -------
    float
        Of the F test; nan where there is nothing to compare.
    """
    from scipy.special import fdtrc

    lack_df, pure_df = sum(p.lack_df for p in parts), sum(p.pure_df for p in parts)
    pure_ss = sum(p.pure_ss for p in parts)
    if not lack_df or not pure_df or pure_ss <= 0:
        return float("nan")
    lack_ss = sum(p.lack_ss for p in parts if p.lack_df)
    return float(fdtrc(lack_df, pure_df, (lack_ss / lack_df) / (pure_ss / pure_df)))


def stands_out(residuals, sd, df, number, *, robust=False):
    """Externally studentised residuals, Bonferroni: readings further off than chance of `number`.

    Parameters
    ----------
    residuals, sd : ndarray (n,)
        Log reading minus expectation, and its standard deviation.
    df : float
        Degrees of freedom of `sd`.
    number : int
        Readings of the study: the probability is taken times this (Bonferroni).
    robust : bool
        Whether `sd` was got without the readings that lie far out.

    Returns
    -------
    ndarray (n,) of bool
    """
    from scipy.special import stdtr

    z = np.abs(np.nan_to_num(residuals)) / sd
    if not robust:  # the reading itself has raised sd: judge it by the others'
        df = max(df - 1, 1.0)
        with np.errstate(all="ignore"):
            room = df + 1 - z**2
            z = np.where(room > 0, z * np.sqrt(df / np.maximum(room, 1e-12)), np.inf)
    return np.asarray(2 * stdtr(df, -z) * number < 0.05)


def falls_back(log_means, sd, direction):
    """Whether a stage lies clearly on the fresh side of an earlier one: rows mixed up, or honed.

    Parameters
    ----------
    log_means : ndarray (S,)
        Log stage means in the order of the cuts.
    sd : float
        Standard deviation of a stage mean about its curve.
    direction : int
        +1 where readings grow with wear, -1 where they fall.

    Returns
    -------
    bool
    """
    worn = direction * np.asarray(log_means, dtype=float)
    highest_before = np.maximum.accumulate(worn)
    return bool(np.any(highest_before - worn > 4 * np.sqrt(2) * sd + 1e-9))
