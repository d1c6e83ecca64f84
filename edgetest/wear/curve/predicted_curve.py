"""A blade's curve as its readings bear it out: the law, and its departure from it (kriging).

The log reading of a blade's mean edge at n cuts is f(n) = x(n) β + q(n) γ + B(n): the law, linear
in the blade's own parameters β and the log power γ of its heat treatment, and a Brownian path B
of variance σ² n from 0 at the fresh edge. From stage means y, their covariance V (the path's part
in it), X = x at the stages, and k(n) = cov(B(n), y):

    f̂(n) = law(n) + k' V⁻¹ (y - law),   g = x(n) - X' V⁻¹ k,   C = (X' V⁻¹ X)⁻¹
    V(f̂ - f) = σ² n - k' V⁻¹ k + g' C g + (d f̂ / d γ)² V(γ)

It is the best linear unbiased prediction. Near the readings it leans on them, far off on the law.
Source: N. Cressie, Statistics for Spatial Data (1993), section 3.4 (universal kriging).
"""

from dataclasses import dataclass

import numpy as np

from edgetest.wear.curve.laws import Law


@dataclass(frozen=True)
class PredictedCurves:
    """Curves of B blades, padded to S stages; p parameters of their own.

    `left` (B, S) is V⁻¹ (y - law), `inverse` V⁻¹ (B, S, S); `slopes` X (B, S, p) and `by_power`
    (B, S) the slopes of the law at the stages; `cov` C (B, p, p); `drift` (B, p) the move of the
    own parameters per log power, of variance `power_var` (B,); `per_cut` (B,) the path's.
    """

    law: Law
    log_scale: np.ndarray
    psi: np.ndarray
    own: list[int]
    stages: np.ndarray
    left: np.ndarray
    inverse: np.ndarray
    slopes: np.ndarray
    by_power: np.ndarray
    cov: np.ndarray
    drift: np.ndarray
    power_var: np.ndarray
    per_cut: np.ndarray

    def take(self, which):
        """The blades numbered `which`."""
        kept = ("law", "own")
        rows = {k: v if k in kept else v[which] for k, v in vars(self).items()}
        return PredictedCurves(**rows)

    def at(self, cuts, *, of_fresh=False):
        """Log readings at `cuts` (B, M), or (`of_fresh`) the logs of their multiples of fresh.

        Returns
        -------
        log_value, own_se, by_power : ndarray (B, M)
            The prediction; its standard error at the given power; its change per log power.
        """
        law, psi = self.law, self.psi
        k = self.per_cut[:, None, None] * np.minimum(cuts[:, :, None], self.stages[:, None, :])
        kriged = np.matmul(k, self.inverse)
        slopes = law.slopes(cuts, psi)
        fresh = np.zeros_like(cuts) if of_fresh else np.ones_like(cuts)
        x = np.concatenate([fresh[:, :, None], slopes[:, :, self.own]], axis=2)
        gap = x - np.matmul(kriged, self.slopes)
        log_value = law.log_shape(cuts, psi) + np.matmul(k, self.left[:, :, None])[:, :, 0]
        if not of_fresh:
            log_value = log_value + self.log_scale[:, None]
        var = self.per_cut[:, None] * cuts - np.einsum("bms,bms->bm", kriged, k)
        var = np.maximum(var, 0.0) + np.einsum("bmp,bpq,bmq->bm", gap, self.cov, gap)
        by_power = np.zeros_like(log_value)
        if self.power_var.any():
            own = slopes[:, :, -1] - np.matmul(kriged, self.by_power[:, :, None])[:, :, 0]
            by_power = own + np.matmul(gap, self.drift[:, :, None])[:, :, 0]
        return log_value, np.sqrt(var), by_power

    def with_error(self, cuts, *, of_fresh=False):
        """Log readings (B, M) at `cuts`, and their standard error with the power's part in it."""
        log_value, own_se, by_power = self.at(cuts, of_fresh=of_fresh)
        return log_value, np.hypot(own_se, by_power * np.sqrt(self.power_var)[:, None])


def predicted_curves(fitted):
    """The blades' curves of a fit.

    Parameters
    ----------
    fitted : Fitted

    Returns
    -------
    PredictedCurves
    """
    curves, law, psi = fitted.curves, fitted.law, fitted.psi
    slopes = law.slopes(curves.cuts, psi)
    law_at = fitted.log_scale[:, None] + law.log_shape(curves.cuts, psi)
    inverse = np.matmul(curves.root.transpose(0, 2, 1), curves.root)
    x = np.concatenate([np.ones((*curves.cuts.shape, 1)), slopes[:, :, fitted.own]], axis=2)
    left = np.matmul(inverse, (curves.log_value - law_at)[:, :, None])[:, :, 0]
    group = fitted.group
    per_cut = np.array([fitted.scatter.path_per_cut(g) for g in group])
    return PredictedCurves(
        law=law,
        log_scale=fitted.log_scale,
        psi=psi,
        own=fitted.own,
        stages=curves.cuts,
        left=left,
        inverse=inverse,
        slopes=x,
        by_power=slopes[:, :, -1],
        cov=np.stack(fitted.cov),
        drift=np.stack(fitted.drift),
        power_var=fitted.power_var if fitted.powers is not None else np.zeros(len(group)),
        per_cut=per_cut,
    )
