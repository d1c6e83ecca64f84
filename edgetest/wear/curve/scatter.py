"""How much readings scatter: about the curve, from place to place, and from stage to stage."""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.wear.curve.cell_covariance import PARTS
from edgetest.wear.curve.scatter_likelihood import score_variances, stacked_cells
from edgetest.wear.curve.single_readings import one_reading_a_stage

SCORING_STEPS = 50
FLOOR = 1e-12  # variance of log readings below which they count as exact (a CV of 1e-6)
# Prior of a path's SD s over the study's last cuts: density s^PATH_PENALTY / (1 + s² / PATH_SD²).
PATH_PENALTY, PATH_SD, PATH_DF = 0.5, 0.1, 3.0


@dataclass(frozen=True)
class Scatter:
    """Variances of log readings, shared by the blades of a study.

    `residual_var`: one reading about its place's curve; `station_var`: a place's constant
    distance from the blade's curve; `stage_var`: what all places of a blade share at a stage.
    `path_var` (T,): what a blade's curve departs from its law in `path_unit` cuts, a Brownian
    path, by heat treatment; empty where the law is taken as it is.
    `cov`: covariance of the estimates, zero for one that is held at nothing.
    `precision`, `pull` (T,): what the readings say of the log powers (`treatment_powers`).
    """

    residual_var: float
    station_var: float
    stage_var: float
    cov: np.ndarray
    path_var: np.ndarray = field(default_factory=lambda: np.empty(0))
    path_unit: float = 1.0
    precision: np.ndarray = field(default_factory=lambda: np.empty(0))
    pull: np.ndarray = field(default_factory=lambda: np.empty(0))

    @property
    def parts(self):
        """The variances as an array, those of the paths last."""
        return np.array([self.residual_var, self.station_var, self.stage_var, *self.path_var])

    def path_per_cut(self, group):
        """Variance of a path per cut in a heat treatment."""
        return float(self.path_var[group]) / self.path_unit if len(self.path_var) else 0.0


def estimate_scatter(
    blades,
    residuals,
    slopes,
    *,
    shared=None,
    start=None,
    stated_df=None,
    path_unit=None,
    least_residual_var=FLOOR,
):
    """Restricted maximum likelihood of the variances, by Fisher scoring.

    A path's SD has a prior that keeps it away from zero [2]_: readings of few stages hardly tell
    a path from scatter, and with an SD estimated at zero the interval would be the law's. Where
    each stage has one reading and the curves leave none to spare, a reading's SD has the same.

    Parameters
    ----------
    blades : sequence of Cells
    residuals : sequence of (N,) arrays
        Log reading minus log curve, cell by cell.
    slopes : sequence of (N, k) arrays
        Derivatives of the log curve with respect to the blade's own parameters.
    shared : sequence of (N,) arrays, optional
        Derivative with respect to the log power that the blades of a heat treatment share.
    start : Scatter, optional
        Where to begin.
    stated_df : float, optional
        Degrees of freedom behind the readings' stated uncertainties. Where the readings
        scatter no more than stated, they count as knowledge of the residual variance.
    path_unit : float, optional
        Cuts in which the paths' variances are counted; without it the curves follow their law.
    least_residual_var : float
        The residual variance is not estimated below it.

    Returns
    -------
    Scatter

    References
    ----------
    .. [1] R. R. Corbeil and S. R. Searle, "Restricted maximum likelihood estimation of
       variance components", Technometrics 18 (1976) 31-38.
    .. [2] Y. Chung, S. Rabe-Hesketh, V. Dorie, A. Gelman, J. Liu, "A nondegenerate penalized
       likelihood estimator for variance parameters in multilevel models", Psychometrika 78
       (2013) 685-709.
    """
    data = stacked_cells(blades, residuals, slopes, shared, path_unit=path_unit)
    paths = 0 if path_unit is None else data.n_groups
    free = np.array(
        [
            True,
            any(b.n_stations > 1 for b in blades),
            any(len(b.stage) > len(b.stages) for b in blades),
            *[True] * paths,
        ]
    )
    weight = np.r_[np.zeros(PARTS), np.full(paths, PATH_PENALTY / 2)]
    powers = 0 if shared is None else data.n_groups
    used = len(blades) * np.shape(slopes[0])[1] + powers
    if one_reading_a_stage(blades) and sum(len(r) for r in residuals) <= used:
        weight[0] = PATH_PENALTY / 2
    spread = max(float((data.r**2).sum() / max(data.weight.sum(), 1)), 10 * FLOOR)
    first = np.array([0.5, 0.25, 0.1, *[0.1] * paths]) * spread
    if start is not None:
        first[: len(start.parts)] = start.parts
        if len(start.parts) < len(first):  # what the law alone called scatter may be path
            first[0], first[PARTS:] = 0.3 * first[0], spread
    parts = np.where(free, np.maximum(first, 1e-3 * spread), 0.0)
    parts[0] = max(parts[0], least_residual_var)
    parts, scored, info = _climb(parts, data, free, weight, least_residual_var, spread)
    if stated_df:
        info[0, 0] += _stated_information(blades, parts[0], stated_df)
    held = np.flatnonzero(weight)
    info[held, held] += (PATH_DF - PATH_PENALTY) / (2 * parts[held] ** 2)
    cov = np.zeros((len(parts), len(parts)))
    move = np.flatnonzero(parts > 0)
    cov[np.ix_(move, move)] = np.linalg.pinv(info[np.ix_(move, move)], hermitian=True)
    residual_var, station_var, stage_var = parts[:PARTS].tolist()
    return Scatter(
        residual_var,
        station_var,
        stage_var,
        cov,
        path_var=parts[PARTS:],
        path_unit=path_unit or 1.0,
        precision=scored.precision,
        pull=scored.pull,
    )


def _climb(parts, data, free, weight, least_residual_var, spread):
    """Fisher scoring from `parts`: where it ends, the likelihood there and its information."""
    scored, at = _penalised(parts, data, weight)
    for _ in range(SCORING_STEPS):
        gradient, info = at
        least = np.r_[least_residual_var, np.zeros(len(parts) - 1)]
        held = ~free | ((parts <= least) & (gradient <= 0))
        move = np.flatnonzero(~held)
        if not len(move):
            break
        step = np.zeros(len(parts))
        inverse = np.linalg.pinv(info[np.ix_(move, move)], hermitian=True)
        step[move] = inverse @ gradient[move]
        for share in (1.0, 0.5, 0.2, 0.05, 0.01):  # Fisher scoring may overshoot near zero
            new = np.clip(parts + share * step, 0.0, 4 * parts + spread)
            new[0] = max(new[0], 0.01 * parts[0], least_residual_var)
            new[1:PARTS][new[1:PARTS] < 1e-6 * new[0]] = 0.0
            new[PARTS:] = np.maximum(new[PARTS:], np.maximum(0.05 * parts[PARTS:], FLOOR))
            tried, there = _penalised(new, data, weight)
            if tried.log_likelihood >= scored.log_likelihood:
                break
        else:
            break
        gain = tried.log_likelihood - scored.log_likelihood
        change = np.abs(new - parts).max() / parts.max()
        parts, scored, at = new, tried, there
        if change < 1e-6 or gain < 1e-8:
            break
    return parts, scored, at[1]


def _penalised(parts, data, weight):
    """REML with `weight` × log variance added: likelihood and all, its gradient and information."""
    scored = score_variances(parts, data)
    on = weight > 0
    share = np.zeros_like(parts)
    share[on] = weight[on] / parts[on]
    prior = weight[on] * np.log(parts[on]) - np.log1p(parts[on] / PATH_SD**2)
    value = scored.log_likelihood + float(prior.sum())
    info = scored.information + np.diag(np.where(on, share / np.where(on, parts, 1.0), 0.0))
    gradient = scored.score + share - on / (PATH_SD**2 + parts)
    return replace(scored, log_likelihood=value), (gradient, info)


def _stated_information(blades, residual_var, stated_df):
    """What the stated uncertainties tell of the residual variance.

    Nothing where the readings scatter beyond them: the rest is then estimated, and makes up
    for an error in what was stated.
    """
    each = np.concatenate([b.own_var[~b.bounded] for b in blades])
    stated = float(each[each > 0].mean()) if (each > 0).any() else 0.0
    return stated_df / (2 * stated**2) if residual_var < 1e-3 * stated else 0.0
