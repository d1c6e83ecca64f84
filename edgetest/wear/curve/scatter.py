"""How much readings scatter: about the curve, from place to place, and from stage to stage."""

from dataclasses import dataclass

import numpy as np

FLOOR = 1e-12  # variance of log readings below which they count as exact (a CV of 1e-6)


@dataclass(frozen=True)
class Scatter:
    """Variances of log readings, shared by the blades of a study.

    `residual_var`: one reading about its place's curve; `station_var`: a place's constant
    distance from the blade's curve; `stage_var`: what all places of a blade share at a stage.
    `cov` (3, 3): covariance of the three estimates, zero for one that is held at nothing.
    `power_var`: variance of the shared psi column, where one was fitted.
    """

    residual_var: float
    station_var: float
    stage_var: float
    cov: np.ndarray
    power_var: float = 0.0

    @property
    def parts(self):
        """The three variances as an array."""
        return np.array([self.residual_var, self.station_var, self.stage_var])


def estimate_scatter(
    blades,
    residuals,
    slopes,
    *,
    shared=None,
    shared_precision=0.0,
    start=None,
    stated_df=None,
):
    """Restricted maximum likelihood of the three variances, all blades together.

    Parameters
    ----------
    blades : sequence of Cells
    residuals : sequence of (N,) arrays
        Log reading minus log curve, cell by cell.
    slopes : sequence of (N, k) arrays
        Derivatives of the log curve with respect to the blade's own parameters.
    shared : sequence of (N,) arrays, optional
        Derivative with respect to a parameter that all blades share.
    shared_precision : float
        Prior precision of that parameter.
    start : Scatter, optional
        Where to begin.
    stated_df : float, optional
        Degrees of freedom behind the readings' stated uncertainties. Where the readings
        scatter no more than stated, they count as knowledge of the residual variance.

    Returns
    -------
    Scatter

    References
    ----------
    .. [1] R. R. Corbeil and S. R. Searle, "Restricted maximum likelihood estimation of
       variance components", Technometrics 18 (1976) 31-38.
    """
    r, known, weight, factors, jac, q = _pad(blades, residuals, slopes, shared)
    free = np.array(
        [
            True,
            any(b.n_stations > 1 for b in blades),
            any(len(b.stage) > len(b.stages) for b in blades),
        ]
    )
    spread = max(float((r**2).sum() / max(weight.sum(), 1)), 10 * FLOOR)
    parts = (
        np.where(free, np.array([0.5, 0.25, 0.1]) * spread, 0.0) if start is None else start.parts
    )
    parts = np.where(free, np.maximum(parts, 1e-3 * spread), 0.0)
    scored = _score(parts, r, known, weight, factors, jac, q, shared_precision)
    for _ in range(50):
        likelihood, gradient, info, power_var = scored
        held = ~free | ((parts <= 0) & (gradient <= 0))
        move = np.flatnonzero(~held)
        if not len(move):
            break
        step = np.zeros(3)
        inverse = np.linalg.pinv(info[np.ix_(move, move)], hermitian=True)
        step[move] = inverse @ gradient[move]
        for share in (1.0, 0.5, 0.2, 0.05, 0.01):  # Fisher scoring may overshoot near zero
            new = np.clip(parts + share * step, 0.0, 4 * parts + spread)
            new[0] = max(new[0], 0.01 * parts[0], FLOOR)
            new[1:][new[1:] < 1e-6 * new[0]] = 0.0
            tried = _score(new, r, known, weight, factors, jac, q, shared_precision)
            if tried[0] >= likelihood:
                break
        else:
            break
        change = np.abs(new - parts).max() / parts.max()
        parts, scored = new, tried
        if change < 1e-7 or tried[0] - likelihood < 1e-10:
            break
    _, gradient, info, power_var = scored
    if stated_df:
        info[0, 0] += _stated_information(blades, parts[0], stated_df)
    cov = np.zeros((3, 3))
    move = np.flatnonzero(parts > 0)
    cov[np.ix_(move, move)] = np.linalg.pinv(info[np.ix_(move, move)], hermitian=True)
    residual_var, station_var, stage_var = parts.tolist()
    return Scatter(residual_var, station_var, stage_var, cov, power_var)


def _stated_information(blades, residual_var, stated_df):
    """What the stated uncertainties tell of the residual variance.

    Nothing where the readings scatter beyond them: the rest is then estimated, and makes up
    for an error in what was stated.
    """
    each = np.concatenate([b.own_var[~b.bounded] for b in blades])
    stated = float(each[each > 0].mean()) if (each > 0).any() else 0.0
    return stated_df / (2 * stated**2) if residual_var < 1e-3 * stated else 0.0


def _pad(blades, residuals, slopes, shared):
    """Stack blades of unequal size; `weight` is 1 for a cell, 0 for padding."""
    n_blades, n_cells = len(blades), max(len(b.stage) for b in blades)
    n_stages, n_places = max(len(b.stages) for b in blades), max(b.n_stations for b in blades)
    r, known, weight = np.zeros((3, n_blades, n_cells))
    q = None if shared is None else np.zeros((n_blades, n_cells))
    place = np.zeros((n_blades, n_cells, n_places))
    stage = np.zeros((n_blades, n_cells, n_stages))
    jac = np.zeros((n_blades, n_cells, slopes[0].shape[1]))
    for i, b in enumerate(blades):
        cell = np.arange(len(b.stage))
        r[i, cell], known[i, cell], weight[i, cell] = residuals[i], b.known_var, ~b.bounded
        place[i, cell, b.station] = stage[i, cell, b.stage] = 1.0
        jac[i, cell] = slopes[i]
        if q is not None:
            q[i, cell] = shared[i]
    return r, known, weight, (place, stage), jac, q


def _score(parts, r, known, weight, factors, jac, q, shared_precision):
    """REML log likelihood, gradient, expected information, variance of the shared parameter."""
    place, stage = factors
    d = weight / (parts[0] + known)
    u = np.concatenate([np.sqrt(parts[1]) * place, np.sqrt(parts[2]) * stage, jac], axis=2)
    n_random = place.shape[2] + stage.shape[2]
    du = d[:, :, None] * u
    m = np.matmul(u.transpose(0, 2, 1), du)
    diagonal = np.arange(m.shape[1])
    m[:, diagonal[:n_random], diagonal[:n_random]] += 1.0
    m[:, diagonal[n_random:], diagonal[n_random:]] *= 1 + 1e-10
    m[:, diagonal[n_random:], diagonal[n_random:]] += 1e-10
    # The projection is D - DU M^-1 U'D; it has a row a reading, so it is never written out.
    left = np.linalg.solve(m, du.transpose(0, 2, 1))

    def project(values):
        if values.ndim == 2:
            return project(values[..., None])[..., 0]
        return d[:, :, None] * values - np.matmul(du, np.matmul(left, values))

    e = project(r)
    likelihood = float(np.log(np.maximum(d[d > 0], 1e-300)).sum() - np.linalg.slogdet(m)[1].sum())
    a, c = np.zeros_like(r), 0.0
    if q is not None:
        a = project(q)
        c = 1 / max(float((a * q).sum()) + shared_precision, 1e-300)
        e = e - c * a * float((a * r).sum())
        likelihood += float(np.log(c))
    likelihood -= float((e * r).sum())
    taken = np.einsum("bnq,bqn->bn", du, left)
    inner = np.matmul(left, du)
    turned = [place.transpose(0, 2, 1), stage.transpose(0, 2, 1)]
    pf = [project(place), project(stage)]
    fa = [a, *(np.einsum("bjn,bn->bj", f, a) for f in turned)]
    fe = [e, *(np.einsum("bjn,bn->bj", f, e) for f in turned)]
    s = np.array([float((x**2).sum()) for x in fa])
    trace = [float((d - taken).sum())]
    trace += [float(np.einsum("bjn,bnj->", f, x)) for f, x in zip(turned, pf, strict=True)]
    gradient = np.array([float((x**2).sum()) for x in fe]) - (np.array(trace) - c * s)
    squares, cross = np.zeros((2, 3, 3))
    squares[0, 0] = (d**2).sum() - 2 * (d * taken).sum() + (inner * inner.transpose(0, 2, 1)).sum()
    cross[0, 0] = (a * project(a)).sum()
    for j in (1, 2):
        squares[0, j] = (pf[j - 1] ** 2).sum()
        cross[0, j] = np.einsum("bn,bnj,bj->", a, pf[j - 1], fa[j])
        for i in range(1, j + 1):
            x = np.matmul(turned[i - 1], pf[j - 1])
            squares[i, j] = (x**2).sum()
            cross[i, j] = np.einsum("bi,bij,bj->", fa[i], x, fa[j])
    info = (squares - 2 * c * cross + c * c * np.outer(s, s)) / 2
    info = np.triu(info) + np.triu(info, 1).T
    return likelihood / 2, gradient / 2, info, c


def weigh(blade, scatter, values):
    """Inverse of the covariance of one blade's cells, times `values` (N,) or (N, k)."""
    own = scatter.residual_var + blade.known_var
    place = (blade.station[:, None] == np.arange(blade.n_stations)).astype(float)
    stage = (blade.stage[:, None] == np.arange(len(blade.stages))).astype(float)
    shared = np.hstack([np.sqrt(scatter.station_var) * place, np.sqrt(scatter.stage_var) * stage])
    part = shared / own[:, None]
    inner = np.eye(shared.shape[1]) + shared.T @ part
    plain = values / (own[:, None] if np.ndim(values) == 2 else own)
    return plain - part @ np.linalg.solve(inner, shared.T @ plain)


def expected_effects(blade, scatter, residuals):
    """What the blade's places and stages add to its curve at every cell (N,), best predicted."""
    own = scatter.residual_var + blade.known_var
    return residuals - own * weigh(blade, scatter, residuals)


def stage_means(blade, scatter):
    """Generalised-least-squares mean of every stage (S,) and the root (S, S) of its information."""
    design = (blade.stage[:, None] == np.arange(len(blade.stages))).astype(float)
    weighted = weigh(blade, scatter, np.column_stack([design, blade.log_value]))
    info = design.T @ weighted
    mean = np.linalg.solve(info[:, :-1], info[:, -1])
    return mean, np.linalg.cholesky(info[:, :-1]).T


def effective_df(blade, scatter, slopes, gradient):
    """Variance of `gradient` · parameters and its Satterthwaite degrees of freedom."""
    weighted = weigh(blade, scatter, slopes)
    info = slopes.T @ weighted
    c = weighted @ np.linalg.pinv(info, hermitian=True) @ gradient
    by_place = np.bincount(blade.station, c)
    by_stage = np.bincount(blade.stage, c)
    rise = np.array([c @ c, by_place @ by_place, by_stage @ by_stage])
    variance = float(scatter.parts @ rise + c**2 @ blade.known_var)
    spread = float(rise @ scatter.cov @ rise)
    df = 2 * variance**2 / spread if spread > 0 else np.inf
    return variance, float(np.clip(df, 1.0, 1e6))
