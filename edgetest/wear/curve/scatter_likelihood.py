"""Restricted likelihood (REML) of a study's variances, many blades at once.

Log readings of a blade are X β + Z_place b + Z_stage s + Z_stage d + q γ + e; V(e) = σ² + known,
V(b) = σ_place², V(s) = σ_stage²; d is a Brownian path in cuts, from 0, seen at the stages, whose
variance per `unit` of cuts is that of the blade's heat treatment; γ the log power of its heat
treatment, of prior covariance C. X and q depend on the stage alone, so that with
U = [Z_place, Z_stage] and D = V(e)⁻¹ everything but the readings lies in U: the work is that of
matrices of places + stages, however many readings there are.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.cell_covariance import PARTS, Inverse, stage_covariance
from edgetest.wear.curve.cell_tables import Tables, by_stage, each, tables_of
from edgetest.wear.curve.treatment_powers import PRIOR_SD, TREATMENTS_DIFFER


@dataclass(frozen=True)
class StackedCells:
    """Cells of all blades end to end (N,): log residual `r`, `known` variance, `weight`.

    A bound has weight 0.

    `at_place`, `at_stage` (N,): the row of each in (C · M · D), the blades' slots of `tables`.
    `x` (C, M, S, k) own slopes by stage, `q` (C, M, S) that by the log power, None where it is
    set. `path` (C, S, S) covariance of a path of variance 1 per unit, None where there are none.
    """

    r: np.ndarray
    known: np.ndarray
    weight: np.ndarray
    at_place: np.ndarray
    at_stage: np.ndarray
    tables: Tables
    x: np.ndarray
    q: np.ndarray | None
    path: np.ndarray | None
    n_groups: int

    def sums(self, values):
        """U' v (C, M, D) of values (N,), blade by blade."""
        t = self.tables
        shape = (*t.filled.shape, t.places + t.stages.shape[1])
        size = int(np.prod(shape))
        both = np.bincount(self.at_place, values, size) + np.bincount(self.at_stage, values, size)
        return both.reshape(shape)

    def spread(self, columns):
        """U h (N,) of h (C, M, D)."""
        flat = columns.ravel()
        return flat[self.at_place] + flat[self.at_stage]


def stacked_cells(blades, residuals, slopes, shared, *, path_unit=None):
    """Stack the blades' cells.

    Parameters
    ----------
    blades : sequence of Cells
    residuals : sequence of (N,) arrays
    slopes : sequence of (N, k) arrays
        The same at all places of a stage.
    shared : sequence of (N,) arrays or None
        The same at all places of a stage.
    path_unit : float, optional
        Cuts in which a path's variance is counted; no paths if left out.

    Returns
    -------
    StackedCells
    """
    tables = tables_of(blades)
    size = tables.places + tables.stages.shape[1]
    begins = np.repeat(tables.slot * size, [len(b.stage) for b in blades])
    path = None
    if path_unit is not None:
        path = np.minimum(tables.stages[:, :, None], tables.stages[:, None, :]) / path_unit
    return StackedCells(
        r=np.concatenate(residuals),
        known=np.concatenate([b.known_var for b in blades]),
        weight=np.concatenate([~b.bounded for b in blades]).astype(float),
        at_place=begins + np.concatenate([b.station for b in blades]),
        at_stage=begins + tables.places + np.concatenate([b.stage for b in blades]),
        tables=tables,
        x=tables.at_stages(by_stage(blades, slopes)),
        q=None if shared is None else tables.at_stages(by_stage(blades, shared)),
        path=path,
        n_groups=int(tables.group.max()) + 1,
    )


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


@dataclass(frozen=True)
class _Profiled:
    """The own slopes X (k columns) and q of every blade projected, all (C, M, ...).

    `c` = (X' V⁻¹ X)⁻¹ (k, k); `f` (D, n) and `phi` = T f: V⁻¹ X = D U f, and for the column of q
    P q = D U f; `log_det` of X' V⁻¹ X.
    """

    c: np.ndarray
    f: np.ndarray
    phi: np.ndarray
    log_det: np.ndarray

    @classmethod
    def at(cls, inverse, data):
        """With a ridge of 1e-10 that bears slopes which depend on each other."""
        places, k = data.tables.places, data.x.shape[-1]
        y = data.x if data.q is None else np.concatenate([data.x, data.q[..., None]], axis=3)
        f = each(inverse.e[:, :, places:], y)
        phi = each(inverse.r0[:, :, places:], y)
        x = data.x.transpose(0, 1, 3, 2)
        info = np.matmul(x, phi[:, :, places:, :k])
        at = np.arange(k)
        weight = np.einsum("css->cs", inverse.t[0])[:, None, places:, None]
        info[..., at, at] += 1e-10 * (weight * data.x**2).sum(axis=2) + 1e-10
        info[~data.tables.filled] = np.eye(k)
        c = np.linalg.inv(info)
        if data.q is not None:
            through = np.matmul(c, np.matmul(x, phi[:, :, places:, k:]))
            f[..., k:] -= np.matmul(f[..., :k], through)
            phi[..., k:] -= np.matmul(phi[..., :k], through)
        return cls(c, f, phi, np.linalg.slogdet(info)[1])


def score_variances(variances, data):
    """REML of the variances: log-likelihood, score, expected information.

        P* = P - P Q (Q' P Q + C⁻¹)⁻¹ Q' P,   Q the columns q of the heat treatments
        2 log L = log|D| - log|I + Ω T| - log|X' V⁻¹ X| - log|I + C Q' P Q| - r' P* r
        ∂ log L / ∂θ_k = ½ (r' P* V_k P* r - tr(P* V_k)),   information = ½ tr(P* V_k P* V_l)

    where P = V⁻¹ - V⁻¹ X (X' V⁻¹ X)⁻¹ X' V⁻¹ projects a single blade's readings and V_k is what a
    variance adds per unit. C is that of `treatment_powers` at its scale of tau. A blade has one
    heat treatment, so that Q' P Q is diagonal. `edgetest.stats.mixed.restricted_likelihood` is
    the same in plain matrices, all blades in one (the tests hold them equal).

    Parameters
    ----------
    variances : ndarray (V,)
        Residual, places, stages, and (where there are paths) one a heat treatment.
    data : StackedCells

    Returns
    -------
    Scored
    """
    tables, groups = data.tables, data.n_groups
    effects = variances[1], stage_covariance(variances, tables, data.path)
    inverse = Inverse.at(tables, variances[0] + tables.known, effects, powers=3)
    profiled = _Profiled.at(inverse, data)
    trace, square, size, cross = _traces(inverse, profiled, data)
    group = np.repeat(tables.group, tables.depth)

    d = data.weight / (variances[0] + data.known)
    gathered = data.sums(d * data.r)
    x, k = data.x, data.x.shape[-1]
    explained = _own(profiled, inverse, gathered, x, tables.places)
    h = explained
    precision, pull, c, log_det = np.zeros(groups), np.zeros(groups), np.zeros((groups,) * 2), 0.0
    if data.q is not None:
        at_stages = np.einsum("cms,cms->cm", data.q, profiled.phi[:, :, tables.places :, k])
        precision = np.bincount(group, at_stages.ravel(), groups)
        pulled = np.einsum("cmd,cmd->cm", profiled.f[..., k], gathered)
        pull = np.bincount(group, pulled.ravel(), groups)
        c, log_det = _powers_cov(precision)
        h = h + profiled.f[..., k] * (c @ pull)[tables.group][:, None, None]
    pr = d * (data.r - data.spread(h))
    known = np.log(np.maximum(d[d > 0], 1e-300)).sum() + log_det - float(pr @ data.r)
    blades = tables.filled.sum(axis=1)
    log_likelihood = (known - blades @ inverse.log_det - profiled.log_det.sum()) / 2
    gain = _sizes(data, pr)

    kinds = len(gain)
    place = np.tile(np.arange(kinds), (len(group), 1))
    if kinds > PARTS:
        place[:, PARTS] += group
    own = c[group, group]
    score, information = np.zeros(len(variances)), np.zeros((len(variances), len(variances)))
    of_group = np.zeros((len(variances), groups))
    np.add.at(score, place, gain.T - trace + own[:, None] * size)
    np.add.at(of_group, (place, group[:, None]), size)
    rows, others = place[:, :, None], place[:, None, :]
    np.add.at(information, (rows, others), square - 2 * own[:, None, None] * cross)
    information += of_group @ c**2 @ of_group.T
    return Scored(float(log_likelihood), score / 2, information / 2, precision, pull)


def _own(profiled, inverse, gathered, x, places):
    """H (C, M, D) of P r = D (r - U h)."""
    k = x.shape[-1]
    columns = gathered[..., None]
    seen = np.matmul(profiled.f[..., :k].transpose(0, 1, 3, 2), columns)
    h = each(inverse.k, columns) + np.matmul(profiled.f[..., :k], np.matmul(profiled.c, seen))
    return h[..., 0]


def _sizes(data, pr):
    """(P r)' V_k P r (kinds, blades)."""
    places = data.tables.places
    summed = data.sums(pr)
    at_place, at_stage = summed[..., :places], summed[..., places:]
    size = places + data.tables.stages.shape[1]
    kinds = [
        np.bincount(data.at_place // size, pr**2, summed.shape[0] * summed.shape[1]),
        (at_place**2).sum(axis=2).ravel(),
        (at_stage**2).sum(axis=2).ravel(),
    ]
    if data.path is not None:
        kinds.append((np.matmul(at_stage, data.path) * at_stage).sum(axis=2).ravel())
    return np.array(kinds)


def _traces(inverse, profiled, data):
    """Of every slot: tr(P V_k), tr(P V_k P V_l), q'P V_k P q, q'P V_k P V_l P q (0 without q)."""
    filled, places, k = data.tables.filled, data.tables.places, data.x.shape[-1]
    trace0, square0 = _plain_traces(inverse, data)
    kinds = trace0.shape[1]
    f, phi = profiled.f, profiled.phi
    n, shape = f.shape[-1], (*f.shape[:2], f.shape[2], kinds - 1, f.shape[-1])
    moved = np.zeros(shape)
    moved[:, :, :places, 0] = phi[:, :, :places]
    moved[:, :, places:, 1] = phi[:, :, places:]
    if data.path is not None:
        moved[:, :, places:, 2] = np.matmul(data.path[:, None], phi[:, :, places:])
    moved = moved.reshape(*shape[:3], (kinds - 1) * n)
    second, third = each(inverse.t[1], f), each(inverse.t[2], f)
    back = each(inverse.e.transpose(0, 2, 1), second)
    left = np.concatenate([phi, back, each(inverse.r0, moved)], axis=3).transpose(0, 1, 3, 2)
    all_of = np.matmul(left, moved)
    turned = f.transpose(0, 1, 3, 2)
    h = np.empty((*f.shape[:2], kinds, n, n))
    of = np.empty((*f.shape[:2], kinds, kinds, n, n))
    h[:, :, 0] = np.matmul(turned, second)
    of[:, :, 0, 0] = np.matmul(turned, third) - np.matmul(
        second.transpose(0, 1, 3, 2), each(inverse.k, second)
    )
    split = all_of.reshape(*f.shape[:2], kinds + 1, n, kinds - 1, n).transpose(0, 1, 2, 4, 3, 5)
    h[:, :, 1:] = split[:, :, 0]
    of[:, :, 0, 1:], of[:, :, 1:, 1:] = split[:, :, 1], split[:, :, 2:]
    of[:, :, 1:, 0] = split[:, :, 1].transpose(0, 1, 2, 4, 3)
    ch = np.matmul(profiled.c[:, :, None], h[..., :k, :k])
    trace = trace0[:, None] - np.einsum("cmkii->cmk", ch)
    square = square0[:, None] - 2 * np.einsum("cmij,cmklji->cmkl", profiled.c, of[..., :k, :k])
    square += np.einsum("cmkij,cmlji->cmkl", ch, ch)
    trace, square = trace * filled[..., None], square * filled[..., None, None]
    size, cross = np.zeros_like(trace), np.zeros_like(square)
    if n > k:
        size, over = h[..., k, k], h[..., k, :k]
        cross = of[..., k, k] - np.matmul(np.matmul(over, profiled.c), over.transpose(0, 1, 3, 2))
    blades = filled.size
    return (
        trace.reshape(blades, kinds),
        square.reshape(blades, kinds, kinds),
        size.reshape(blades, kinds),
        cross.reshape(blades, kinds, kinds),
    )


def _plain_traces(inverse, data):
    """tr(V⁻¹ V_k) (C, kinds) and tr(V⁻¹ V_k V⁻¹ V_l) (C, kinds, kinds); the curves apart."""
    places = data.tables.places
    t, e, k, r0 = inverse.t, inverse.e, inverse.k, inverse.r0
    weights = [np.einsum("cpp->c", x[:, :places, :places]) for x in t]
    kt = np.matmul(k, t[1])
    te = np.matmul(t[1], e)
    first = [weights[0] - np.einsum("cii->c", kt), None]
    here = slice(0, places), slice(places, None)
    # J_k R0 and J_k (E' T2 E)'s other half, for places, stages and path.
    moved = [r0[:, here[0]], r0[:, here[1]]]
    kinds = 3 if data.path is None else 4
    trace = np.zeros((len(e), kinds))
    square = np.zeros((len(e), kinds, kinds))
    trace[:, 0] = first[0]
    square[:, 0, 0] = (
        weights[1] - 2 * (k * t[2]).sum(axis=(1, 2)) + (kt * kt.transpose(0, 2, 1)).sum(axis=(1, 2))
    )
    blocks = [here[0], here[1]] + ([here[1]] if kinds == 4 else [])
    if kinds == 4:
        moved.append(np.matmul(data.path, r0[:, here[1]]))
    for i, block in enumerate(blocks, 1):
        trace[:, i] = np.einsum("cii->c", moved[i - 1][:, :, block])
        half = e[:, :, block] if i < PARTS else np.matmul(e[:, :, block], data.path)
        square[:, 0, i] = square[:, i, 0] = (half * te[:, :, block]).sum(axis=(1, 2))
        for j, other in enumerate(blocks[:i], 1):
            both = moved[i - 1][:, :, other] * moved[j - 1][:, :, block].transpose(0, 2, 1)
            square[:, i, j] = square[:, j, i] = both.sum(axis=(1, 2))
    return trace, square


def _powers_cov(precision):
    """(A + C⁻¹)⁻¹ and -log|I + C A| for the diagonal A of `precision`."""
    tau = TREATMENTS_DIFFER if len(precision) > 1 else 0.0
    s = 1 / (1 + tau**2 * precision)
    v = 1 / (PRIOR_SD**-2 + s @ precision)
    cov = v * np.outer(s, s) + np.diag(tau**2 * s)
    return cov, float(np.log(s).sum() + np.log(v / PRIOR_SD**2))
