"""How the readings of a blade count together: V⁻¹ of its cells, means of stages, predictions."""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.cell_covariance import PARTS, Inverse, stage_covariance
from edgetest.wear.curve.cell_tables import Tables, by_stage, each, tables_of
from edgetest.wear.curve.scatter import Scatter


@dataclass(frozen=True)
class Weighing:
    """The inverse covariance of every blade's cells at a scatter; bounds count as numbers."""

    blades: tuple
    scatter: Scatter
    tables: Tables
    inverse: Inverse

    @classmethod
    def of(cls, blades, scatter):
        """Of some blades at a scatter."""
        tables = tables_of(blades, bounds=True)
        path = None
        if len(scatter.path_var):
            path = np.minimum(tables.stages[:, :, None], tables.stages[:, None, :])
            path = path / scatter.path_unit
        effects = scatter.station_var, stage_covariance(scatter.parts, tables, path)
        inverse = Inverse.at(tables, scatter.residual_var + tables.known, effects, powers=2)
        return cls(tuple(blades), scatter, tables, inverse)

    def times(self, i, values):
        """V⁻¹ of blade i times `values` (N,) or (N, k) of its cells."""
        blade = self.blades[i]
        own = self.scatter.residual_var + blade.known_var
        plain = values / (own[:, None] if np.ndim(values) == 2 else own)
        h = self.inverse.k[self.tables.slot[i] // self.tables.depth] @ self._gathered(blade, plain)
        taken = h[blade.station] + h[self.tables.places + blade.stage]
        return plain - (taken / own[:, None] if np.ndim(values) == 2 else taken / own)

    def _gathered(self, blade, values):
        """Sums by place, then by stage, of values (N,) or (N, k) of a blade's cells."""
        places, size = self.tables.places, len(self.inverse.k[0])
        if values.ndim == 2:
            return np.column_stack([self._gathered(blade, column) for column in values.T])
        return np.bincount(blade.station, values, size) + np.bincount(
            places + blade.stage, values, size
        )

    def stage_means(self):
        """Generalised-least-squares means of the stages, blade by blade.

        Returns
        -------
        mean : ndarray (B, S)
        root : ndarray (B, S, S)
            Root of the means' information, 0 for stages that a blade has not.
        """
        places, depth = self.tables.places, self.tables.depth
        chunks, stages = self.tables.stages.shape
        size, chunk = places + stages, self.tables.slot // depth
        gathered = np.zeros((chunks * depth, size))
        for slot, b in zip(self.tables.slot, self.blades, strict=True):
            gathered[slot] = self._gathered(
                b, b.log_value / (self.scatter.residual_var + b.known_var)
            )
        columns = gathered.reshape(chunks, depth, size).transpose(0, 2, 1)
        seen = np.matmul(self.inverse.e.transpose(0, 2, 1), columns)[:, places:]
        there = np.zeros((chunks, stages))
        there[chunk] = np.arange(stages) < np.array([[len(b.stages)] for b in self.blades])
        info = self.inverse.r0[:, places:, places:].copy()
        diagonal = np.arange(stages)
        info[:, diagonal, diagonal] += 1 - there
        mean = np.linalg.solve(info, seen).transpose(0, 2, 1).reshape(-1, stages)
        root = np.linalg.cholesky(info).transpose(0, 2, 1) * there[:, :, None]
        return mean[self.tables.slot], root[chunk]

    def predicted_effects(self, i, residuals):
        """Best linear unbiased prediction (BLUP) of what places, stages and path add (N,)."""
        own = self.scatter.residual_var + self.blades[i].known_var
        return residuals - own * self.times(i, residuals)

    def by_stage(self, slopes):
        """Slopes (N, k) of every blade's cells, the same at all places, by stage (C, M, S, k)."""
        return self.tables.at_stages(by_stage(self.blades, slopes))

    def effective_df(self, x, gradients, at=None):
        """Variances of `gradient` · parameters and their Satterthwaite degrees of freedom.

        With `at`, of the curves there: a blade's path is predicted too (kriging).

        Parameters
        ----------
        x : ndarray (C, M, S, k)
            Slopes of the log readings by the blades' own parameters, from `by_stage`.
        gradients : ndarray (B, k)
        at : ndarray (B,), optional
            Cuts.

        Returns
        -------
        variance, df : ndarray (B,)
        """
        tables, scatter, inverse = self.tables, self.scatter, self.inverse
        places, slot, chunk = tables.places, tables.slot, tables.slot // tables.depth
        group, stages = tables.group[chunk], tables.stages[chunk]
        to_stage = inverse.e[:, :, places:]
        f, phi = each(to_stage, x), each(inverse.r0[:, places:, places:], x)
        f, phi, x = (a.reshape(-1, *a.shape[2:])[slot] for a in (f, phi, x))
        info = np.matmul(x.transpose(0, 2, 1), phi)
        near, per_cut = np.zeros_like(stages), np.zeros(len(slot))
        if at is not None:
            near = np.minimum(at[:, None], stages)
            per_cut = np.array([scatter.path_per_cut(g) for g in group])
        moved = gradients - np.einsum("bsk,bs->bk", phi, per_cut[:, None] * near)
        w = np.einsum("bdk,bkl,bl->bd", f, np.linalg.pinv(info, hermitian=True), moved)
        if per_cut.any():
            w = w + per_cut[:, None] * np.matmul(to_stage[chunk], near[:, :, None])[:, :, 0]
        summed = np.matmul(inverse.t[0][chunk], w[:, :, None])[:, :, 0]
        at_stage = summed[:, places:]
        square = (w * np.matmul(inverse.t[1][chunk], w[:, :, None])[:, :, 0]).sum(axis=1)
        rise = np.zeros((len(slot), len(scatter.parts)))
        rise[:, 0] = square
        rise[:, 1], rise[:, 2] = (summed[:, :places] ** 2).sum(axis=1), (at_stage**2).sum(axis=1)
        if len(scatter.path_var):
            together = np.minimum(tables.stages[:, :, None], tables.stages[:, None, :])[chunk]
            left = np.einsum("bs,bst,bt->b", at_stage, together, at_stage)
            left += (0.0 if at is None else at) - 2 * (at_stage * near).sum(axis=1)
            rise[np.arange(len(slot)), PARTS + group] = left / scatter.path_unit
        known = np.maximum((w * summed).sum(axis=1) - scatter.residual_var * square, 0.0)
        variance = rise @ scatter.parts + known
        spread = np.einsum("bk,kl,bl->b", rise, scatter.cov, rise)
        with np.errstate(divide="ignore", invalid="ignore"):
            df = np.where(spread > 0, 2 * variance**2 / spread, np.inf)
        return variance, np.clip(df, 1.0, 1e6)
