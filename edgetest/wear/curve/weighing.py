"""How the readings of a blade count together: V⁻¹ of its cells, means of stages, predictions."""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.cell_covariance import PARTS, Inverse, stage_covariance
from edgetest.wear.curve.cell_tables import Tables, tables_of
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
        inverse = Inverse.at(tables, scatter.residual_var + tables.known, effects)
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

    def effective_df(self, i, slopes, gradient, at=None):
        """Variance of `gradient` · parameters and its Satterthwaite degrees of freedom.

        With `at` (cuts), of the curve there: the blade's path is predicted too (kriging).
        """
        blade, scatter = self.blades[i], self.scatter
        near = np.zeros(len(blade.stages)) if at is None else np.minimum(at, blade.stages)
        per_cut = scatter.path_per_cut(blade.group)
        weighted = self.times(i, np.column_stack([slopes, per_cut * near[blade.stage]]))
        weighted, kriged = weighted[:, :-1], weighted[:, -1]
        info = slopes.T @ weighted
        c = weighted @ np.linalg.pinv(info, hermitian=True) @ (gradient - slopes.T @ kriged)
        c = c + kriged
        by_place = np.bincount(blade.station, c)
        by_stage = np.bincount(blade.stage, c, len(blade.stages))
        rise = np.zeros(len(scatter.parts))
        rise[:PARTS] = c @ c, by_place @ by_place, by_stage @ by_stage
        if len(scatter.path_var):
            left = by_stage @ np.minimum.outer(blade.stages, blade.stages) @ by_stage
            rise[PARTS + blade.group] = ((at or 0.0) - 2 * by_stage @ near + left) / (
                scatter.path_unit
            )
        variance = float(scatter.parts @ rise + c**2 @ blade.known_var)
        spread = float(rise @ scatter.cov @ rise)
        df = 2 * variance**2 / spread if spread > 0 else np.inf
        return variance, float(np.clip(df, 1.0, 1e6))
