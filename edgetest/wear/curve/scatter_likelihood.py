"""Restricted likelihood (REML) of a study's variances, many blades at once.

Log readings of a blade are X β + Z_place b + Z_stage s + Z_path d + q γ + e; V(e) = σ² + known,
V(b) = σ_place², V(s) = σ_stage²; Z_path d is a Brownian path in cuts, from 0, seen at the stages
(lower triangular in the roots of the cuts between them), whose variance V(d) per `unit` of cuts is
that of the blade's heat treatment; γ the log power of its heat treatment, of prior covariance C.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.treatment_powers import PRIOR_SD, TREATMENTS_DIFFER

PARTS = 3  # variances that all blades share; those of the paths follow, one a heat treatment


@dataclass(frozen=True)
class PaddedCells:
    """Blades of unequal size stacked: B blades of N cells, `weight` 0 for padding and bounds.

    `z` (B, N, Q) holds the columns of places, stages and path; `ends` where each begins and
    ends; `q` (B, N) the slope by the log power, None where it is set. `group` (B,) numbers
    the heat treatments, `n_groups` of them; `place` (B, 4) is the variance of each kind.
    """

    r: np.ndarray
    known: np.ndarray
    weight: np.ndarray
    z: np.ndarray
    ends: tuple[slice, slice, slice]
    x: np.ndarray
    q: np.ndarray | None
    group: np.ndarray
    n_groups: int
    place: np.ndarray


def brownian_columns(stages, unit):
    """Columns (S, S) of a Brownian path from 0 at the stages, of variance 1 per `unit` of cuts."""
    steps = np.sqrt(np.diff(stages, prepend=0.0) / unit)
    return np.tril(np.ones((len(steps), len(steps)))) * steps


def padded_cells(blades, residuals, slopes, shared, *, path_unit=None):
    """Stack the blades' cells.

    Parameters
    ----------
    blades : sequence of Cells
    residuals : sequence of (N,) arrays
    slopes : sequence of (N, k) arrays
    shared : sequence of (N,) arrays or None
    path_unit : float, optional
        Cuts in which a path's variance is counted; no paths if left out.

    Returns
    -------
    PaddedCells
    """
    n_blades, n_cells = len(blades), max(len(b.stage) for b in blades)
    n_stages, n_places = max(len(b.stages) for b in blades), max(b.n_stations for b in blades)
    r, known, weight = np.zeros((3, n_blades, n_cells))
    q = None if shared is None else np.zeros((n_blades, n_cells))
    wide = n_places + n_stages * (1 if path_unit is None else 2)
    z = np.zeros((n_blades, n_cells, wide))
    x = np.zeros((n_blades, n_cells, slopes[0].shape[1]))
    group = np.array([b.group for b in blades])
    for i, b in enumerate(blades):
        n = len(b.stage)
        cell = np.arange(n)
        r[i, :n], known[i, :n], weight[i, :n] = residuals[i], b.known_var, ~b.bounded
        z[i, cell, b.station] = z[i, cell, n_places + b.stage] = 1.0
        x[i, :n] = slopes[i]
        if path_unit is not None:
            start = n_places + n_stages
            z[i, :n, start : start + len(b.stages)] = brownian_columns(b.stages, path_unit)[b.stage]
        if q is not None:
            q[i, :n] = shared[i]
    ends = (
        slice(0, n_places),
        slice(n_places, n_places + n_stages),
        slice(n_places + n_stages, None),
    )
    place = np.column_stack([np.tile([0, 1, 2], (n_blades, 1)), PARTS + group])
    if path_unit is None:
        place[:, 3] = 0  # of no columns: adds nothing
    return PaddedCells(r, known, weight, z, ends, x, q, group, int(group.max()) + 1, place)


@dataclass(frozen=True)
class _Projection:
    """P of each blade as D - DU M⁻¹ U'D: it has a row a reading, so it is never written out."""

    d: np.ndarray  # (B, N) diagonal of D
    du: np.ndarray  # (B, N, columns) DU
    left: np.ndarray  # (B, columns, N) M⁻¹ U'D
    log_det: float  # log|D| - log|M|, all blades

    @classmethod
    def at(cls, variances, data):
        """Woodbury's identity with U = [σ_place Z_place, σ_stage Z_stage, σ_path Z_path, X]."""
        d = data.weight / (variances[0] + data.known)
        sd = np.sqrt(variances[data.place[:, 1:]])
        scaled = [data.z[:, :, end] * sd[:, k, None, None] for k, end in enumerate(data.ends)]
        u = np.concatenate([*scaled, data.x], axis=2)
        n_random = data.z.shape[2]
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
        """P v for values (B, N, columns)."""
        return self.d[:, :, None] * values - np.matmul(self.du, np.matmul(self.left, values))

    @property
    def _taken(self):
        return np.einsum("bnq,bqn->bn", self.du, self.left)

    def trace(self):
        """Tr P (B,)."""
        return (self.d - self._taken).sum(axis=1)

    def square(self):
        """Tr P P (B,)."""
        inner = np.matmul(self.left, self.du)
        crossed = (inner * inner.transpose(0, 2, 1)).sum(axis=(1, 2))
        return (self.d**2).sum(axis=1) - 2 * (self.d * self._taken).sum(axis=1) + crossed


@dataclass(frozen=True)
class Scored:
    """REML at some variances: `log_likelihood`, `score` (V,), expected `information` (V, V).

    `precision` and `pull` (T,): what the readings say of each heat treatment's log power,
    the curves' own parameters readjusted: log L = -precision u² / 2 + pull u for a move u.
    """

    log_likelihood: float
    score: np.ndarray
    information: np.ndarray
    precision: np.ndarray
    pull: np.ndarray


def score_variances(variances, data):
    """REML of the variances: log-likelihood, score, expected information.

        P* = P - P Q (Q' P Q + C⁻¹)⁻¹ Q' P,   Q the columns q of the heat treatments
        2 log L = log|D| - log|M| - log|I + C Q' P Q| - r' P* r
        ∂ log L / ∂θ_k = ½ (|Z_k' P* r|² - tr(Z_k' P* Z_k)),   information = ½ |Z_k' P* Z_l|²

    where P projects a single blade's readings (`_Projection`) and Z_0 of the residuals is the
    identity. C is that of `treatment_powers` at its scale of tau. A blade has one heat
    treatment, so that Q' P Q is diagonal. `edgetest.stats.mixed.restricted_likelihood` is the
    same in plain matrices, all blades in one (the tests hold them equal).

    Parameters
    ----------
    variances : ndarray (V,)
        Residual, places, stages, and (where there are paths) one a heat treatment.
    data : PaddedCells

    Returns
    -------
    Scored
    """
    p, groups, group = _Projection.at(variances, data), data.n_groups, data.group
    columns = [data.r[:, :, None], data.z] + ([] if data.q is None else [data.q[:, :, None]])
    taken = p.times(np.concatenate(columns, axis=2))
    pr, pz = taken[:, :, 0], taken[:, :, 1 : 1 + data.z.shape[2]]
    pq = np.zeros_like(pr) if data.q is None else taken[:, :, -1]
    precision, pull, c, log_det = (
        np.zeros(groups),
        np.zeros(groups),
        np.zeros((groups, groups)),
        0.0,
    )
    if data.q is not None:
        precision = np.bincount(group, (pq * data.q).sum(axis=1), groups)
        pull = np.bincount(group, (pq * data.r).sum(axis=1), groups)
        c, log_det = _powers_cov(precision)
        pr = pr - pq * (c @ pull)[group][:, None]
    log_likelihood = (p.log_det + log_det - float((pr * data.r).sum())) / 2

    turned = data.z.transpose(0, 2, 1)
    both = np.matmul(turned, np.stack([pr, pq], axis=2))
    inner = np.matmul(turned, pz)
    kinds = len(data.place[0])
    size, gain = np.zeros((2, len(group), kinds))
    square, cross = np.zeros((2, len(group), kinds, kinds))
    trace = np.zeros((len(group), kinds))
    size[:, 0], gain[:, 0], trace[:, 0] = (pq**2).sum(axis=1), (pr**2).sum(axis=1), p.trace()
    square[:, 0, 0] = p.square()
    cross[:, 0, 0] = (pq * p.times(pq[:, :, None])[:, :, 0]).sum(axis=1)
    through = np.matmul(pz.transpose(0, 2, 1), pq[:, :, None])[:, :, 0]
    for k, end in enumerate(data.ends, 1):
        size[:, k], gain[:, k] = (
            (both[:, end, 1] ** 2).sum(axis=1),
            (both[:, end, 0] ** 2).sum(axis=1),
        )
        trace[:, k] = np.einsum("bjj->b", inner[:, end, end])
        square[:, 0, k] = square[:, k, 0] = (pz[:, :, end] ** 2).sum(axis=(1, 2))
        cross[:, 0, k] = cross[:, k, 0] = (through[:, end] * both[:, end, 1]).sum(axis=1)
        for i, other in enumerate(data.ends[:k], 1):
            block = inner[:, other, end]
            square[:, i, k] = square[:, k, i] = (block**2).sum(axis=(1, 2))
            part = np.einsum("bi,bij,bj->b", both[:, other, 1], block, both[:, end, 1])
            cross[:, i, k] = cross[:, k, i] = part
    own = c[group, group]
    score, information = np.zeros(len(variances)), np.zeros((len(variances), len(variances)))
    of_group = np.zeros((len(variances), groups))
    np.add.at(score, data.place, gain - trace + own[:, None] * size)
    np.add.at(of_group, (data.place, group[:, None]), size)
    rows, others = data.place[:, :, None], data.place[:, None, :]
    np.add.at(information, (rows, others), square - 2 * own[:, None, None] * cross)
    information += of_group @ c**2 @ of_group.T
    return Scored(log_likelihood, score / 2, information / 2, precision, pull)


def _powers_cov(precision):
    """(A + C⁻¹)⁻¹ and -log|I + C A| for the diagonal A of `precision`."""
    tau = TREATMENTS_DIFFER if len(precision) > 1 else 0.0
    s = 1 / (1 + tau**2 * precision)
    v = 1 / (PRIOR_SD**-2 + s @ precision)
    cov = v * np.outer(s, s) + np.diag(tau**2 * s)
    return cov, float(np.log(s).sum() + np.log(v / PRIOR_SD**2))
