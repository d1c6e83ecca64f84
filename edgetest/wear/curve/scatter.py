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
    """Restricted maximum likelihood of the three variances, by Fisher scoring.

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
    data = _pad(blades, residuals, slopes, shared)
    free = np.array(
        [
            True,
            any(b.n_stations > 1 for b in blades),
            any(len(b.stage) > len(b.stages) for b in blades),
        ]
    )
    spread = max(float((data.r**2).sum() / max(data.weight.sum(), 1)), 10 * FLOOR)
    parts = (
        np.where(free, np.array([0.5, 0.25, 0.1]) * spread, 0.0) if start is None else start.parts
    )
    parts = np.where(free, np.maximum(parts, 1e-3 * spread), 0.0)
    scored = _score(parts, data, shared_precision)
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
            tried = _score(new, data, shared_precision)
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


@dataclass(frozen=True)
class _Padded:
    """Blades of unequal size stacked: B blades of N cells, `weight` 0 for padding and bounds."""

    r: np.ndarray  # (B, N) residuals
    known: np.ndarray  # (B, N)
    weight: np.ndarray  # (B, N)
    places: np.ndarray  # (B, N, places) Z of the places
    stages: np.ndarray  # (B, N, stages) Z of the stages
    slopes: np.ndarray  # (B, N, k) X
    shared: np.ndarray | None  # (B, N) q


def _pad(blades, residuals, slopes, shared):
    """Stack the blades' cells."""
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
    return _Padded(r, known, weight, place, stage, jac, q)


@dataclass(frozen=True)
class _Projection:
    """P of each blade as D - DU M⁻¹ U'D: it has a row a reading, so it is never written out."""

    d: np.ndarray  # (B, N) diagonal of D
    du: np.ndarray  # (B, N, columns) DU
    left: np.ndarray  # (B, columns, N) M⁻¹ U'D
    log_det: float  # log|D| - log|M|, all blades

    @classmethod
    def at(cls, variances, data):
        """Woodbury's identity with U = [σ_place Z_place, σ_stage Z_stage, X]."""
        d = data.weight / (variances[0] + data.known)
        random = [np.sqrt(variances[1]) * data.places, np.sqrt(variances[2]) * data.stages]
        u = np.concatenate([*random, data.slopes], axis=2)
        n_random = u.shape[2] - data.slopes.shape[2]
        du = d[:, :, None] * u
        m = np.matmul(u.transpose(0, 2, 1), du)
        diagonal = np.arange(m.shape[1])
        m[:, diagonal[:n_random], diagonal[:n_random]] += 1.0
        m[:, diagonal[n_random:], diagonal[n_random:]] *= 1 + 1e-10
        m[:, diagonal[n_random:], diagonal[n_random:]] += 1e-10
        left = np.linalg.solve(m, du.transpose(0, 2, 1))
        log_det = np.log(np.maximum(d[d > 0], 1e-300)).sum() - np.linalg.slogdet(m)[1].sum()
        return cls(d, du, left, float(log_det))

    def times(self, values):
        """P v for values (B, N) or (B, N, columns)."""
        if values.ndim == 2:
            return self.times(values[..., None])[..., 0]
        return self.d[:, :, None] * values - np.matmul(self.du, np.matmul(self.left, values))

    @property
    def _taken(self):
        return np.einsum("bnq,bqn->bn", self.du, self.left)

    def trace(self):
        """Tr P, all blades."""
        return float((self.d - self._taken).sum())

    def square(self):
        """Tr P P, all blades."""
        inner = np.matmul(self.left, self.du)
        crossed = (inner * inner.transpose(0, 2, 1)).sum()
        return (self.d**2).sum() - 2 * (self.d * self._taken).sum() + crossed


def _score(variances, data, precision):
    """REML of the variances: log-likelihood, score, expected information; variance of γ.

    Log readings of a blade are X β + Z_place b + Z_stage s + q γ + e, with V(e) = σ² + known,
    V(b) = σ_place², V(s) = σ_stage², and γ common to all blades, of prior variance 1/precision:

        P* = P - c (P q)(P q)',   c = 1 / (q' P q + precision)
        2 log L = log|D| - log|M| + log c - r' P* r
        ∂ log L / ∂θ_k = ½ (|Z_k' P* r|² - tr(Z_k' P* Z_k)),   information = ½ |Z_k' P* Z_l|²

    where P projects a single blade's readings (`_Projection`) and Z_0 of the residuals is the
    identity. `edgetest.stats.mixed.restricted_likelihood` is the same in plain matrices, all
    blades in one (the tests hold them equal): for six blades of 36 readings it takes 3.7 ms where
    this takes 0.2 ms, some 30 times a fit.
    """
    p = _Projection.at(variances, data)
    pr, pq, c, likelihood = p.times(data.r), np.zeros_like(data.r), 0.0, p.log_det
    if data.shared is not None:
        pq = p.times(data.shared)
        c = 1 / max(float((pq * data.shared).sum()) + precision, 1e-300)
        pr = pr - c * pq * float((pq * data.r).sum())
        likelihood += float(np.log(c))
    likelihood -= float((pr * data.r).sum())

    turned = [z.transpose(0, 2, 1) for z in (data.places, data.stages)]
    z_pq = [pq, *(np.einsum("bjn,bn->bj", z, pq) for z in turned)]
    z_pr = [pr, *(np.einsum("bjn,bn->bj", z, pr) for z in turned)]
    pz = [p.times(data.places), p.times(data.stages)]
    trace = [p.trace()]
    trace += [float(np.einsum("bjn,bnj->", z, x)) for z, x in zip(turned, pz, strict=True)]
    size = np.array([float((x**2).sum()) for x in z_pq])
    score = np.array([float((x**2).sum()) for x in z_pr]) - (np.array(trace) - c * size)

    # |Z_k' P Z_l|², and (Z_k' P q)' (Z_k' P Z_l) (Z_l' P q) for the part of the shared column.
    square, cross = np.zeros((2, 3, 3))
    square[0, 0], cross[0, 0] = p.square(), (pq * p.times(pq)).sum()
    for k in (1, 2):
        square[0, k] = (pz[k - 1] ** 2).sum()
        cross[0, k] = np.einsum("bn,bnj,bj->", pq, pz[k - 1], z_pq[k])
        for i in range(1, k + 1):
            block = np.matmul(turned[i - 1], pz[k - 1])
            square[i, k] = (block**2).sum()
            cross[i, k] = np.einsum("bi,bij,bj->", z_pq[i], block, z_pq[k])
    information = (square - 2 * c * cross + c * c * np.outer(size, size)) / 2
    information = np.triu(information) + np.triu(information, 1).T
    return likelihood / 2, score / 2, information, c


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


def predicted_effects(blade, scatter, residuals):
    """Best linear unbiased prediction (BLUP) of what places and stages add at every cell (N,)."""
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
