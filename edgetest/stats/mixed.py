"""Joint mixed-effects fit by REML: stations inside blades inside batches, as a cross-check.

The comparison itself rests on one life per blade (`edgetest.wear.compare`); this fit takes
every reading at once and must point the same way. With few blades its variance between
blades is often estimated as none, and its interval is then too narrow: see the guide.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.stats.contrast import contrast


@dataclass(frozen=True)
class MixedFit:
    """Fixed effects, the standard deviation of each level, and the REML log-likelihood."""

    effects: np.ndarray  # (p,)
    cov: np.ndarray  # (p, p)
    sd: dict[str, float]  # by level, outermost first, "residual" last
    log_likelihood: float
    information: np.ndarray  # of the variances, expected
    slopes: np.ndarray  # (levels, p, p): derivative of `cov` in each variance

    def contrast(self, weights, level=0.95):
        """A combination of the effects, with Satterthwaite's degrees of freedom.

        Parameters
        ----------
        weights : array_like, shape (p,)
        level : float

        Returns
        -------
        Contrast
        """
        weights = np.asarray(weights, dtype=float)
        variance = float(weights @ self.cov @ weights)
        slope = np.einsum("i,kij,j->k", weights, self.slopes, weights)
        spread = float(slope @ np.linalg.pinv(self.information) @ slope)
        df = max(2 * variance**2 / spread, 1.0) if spread > 0 else np.inf
        return contrast(float(weights @ self.effects), variance, df, level, "mixed model, REML")

    def to_dict(self):
        """JSON-plain values."""
        return {
            "effects": [plain(x) for x in self.effects],
            "sd": {name: plain(x) for name, x in self.sd.items()},
            "log_likelihood": plain(self.log_likelihood),
        }


def fit_mixed(y, fixed, levels=None, *, known_variance=None):
    """REML fit of y = fixed @ effects + one random shift per label of each level + residual.

    Parameters
    ----------
    y : array_like, shape (n,)
        Readings on the scale on which they are normal (log life, log width).
    fixed : array_like, shape (n, p)
        Columns of the fixed effects, of full rank.
    levels : dict of str to array_like of str, shape (n,), optional
        Labels of each level, outermost first; an inner label belongs to the outer one it
        stands with ("wafer 1" of two lots are two wafers).
    known_variance : array_like, shape (n,), optional
        Variance of each reading that is known beforehand, beside the residual's.

    Returns
    -------
    MixedFit

    Raises
    ------
    UnusableInput
        If columns of `fixed` depend on each other or there is nothing left to estimate.

    References
    ----------
    .. [1] H. D. Patterson, R. Thompson, "Recovery of inter-block information when block
       sizes are unequal", Biometrika 58 (1971) 545-554.
    """
    y, x = np.asarray(y, dtype=float), np.asarray(fixed, dtype=float)
    n, p = x.shape
    if np.linalg.matrix_rank(x) < p or n <= p:
        raise UnusableInput(f"{p} effects of {n} readings", "fixed", "leave an effect out")
    stack, names, prefix = [], [], np.full(n, "")
    for name, labels in (levels or {}).items():
        prefix = np.char.add(np.char.add(prefix, "\0"), np.asarray(labels, dtype=str))
        index = np.unique(prefix, return_inverse=True)[1]
        stack.append((index[:, None] == index).astype(float))
        names.append(name)
    parts = np.array([*stack, np.eye(n)])
    known = np.zeros((n, n)) if known_variance is None else np.diag(known_variance)
    q, _ = np.linalg.qr(x)
    start = float(((y - q @ (q.T @ y)) ** 2).sum() / (n - p))
    variances = np.full(len(parts), start / len(parts))
    value, score, information, rest = _reml(y, x, parts, known, variances)
    for _ in range(100):
        free = (variances > 0) | (score > 0)
        step = np.zeros_like(variances)
        step[free] = np.linalg.lstsq(information[np.ix_(free, free)], score[free], rcond=None)[0]
        size = 1.0
        while size > 1e-8:
            trial = np.maximum(variances + size * step, 0.0)
            if known_variance is None:  # the residual carries the matrix
                trial[-1] = max(trial[-1], 1e-12 * start)
            new = _reml(y, x, parts, known, trial)
            if new[0] >= value - 1e-12 * abs(value):
                break
            size /= 2
        else:
            break
        moved = np.abs(trial - variances).max()
        variances, (value, score, information, rest) = trial, new
        if moved < 1e-12 * start:
            break
    effects, cov, slopes = rest
    sd = dict(zip([*names, "residual"], np.sqrt(variances).tolist(), strict=True))
    return MixedFit(effects, cov, sd, float(value), information, slopes)


def _reml(y, x, parts, known, variances):
    """REML log-likelihood at the variances, its score and expected information; effects."""
    n, p = x.shape
    covariance = known + np.tensordot(variances, parts, axes=1)
    try:
        root = np.linalg.cholesky(covariance)
    except np.linalg.LinAlgError:
        return -np.inf, None, None, None
    inverse = np.linalg.inv(covariance)
    weighted = inverse @ x
    cov = np.linalg.inv(x.T @ weighted)
    projection = inverse - weighted @ cov @ weighted.T
    projected = projection @ y
    value = -0.5 * (
        (n - p) * np.log(2 * np.pi)
        + 2 * np.log(np.diag(root)).sum()
        - np.linalg.slogdet(cov)[1]
        + y @ projected
    )
    through = projection @ parts
    score = -0.5 * (np.trace(through, axis1=1, axis2=2) - projected @ (parts @ projected).T)
    information = 0.5 * np.einsum("kij,lji->kl", through, through)
    effects = cov @ (weighted.T @ y)
    slopes = cov @ (weighted.T @ parts @ weighted) @ cov
    return value, score, information, (effects, cov, slopes)


def check_jointly(log_life, log_life_se, treatment, level=0.95):
    """The two-stage comparison as one likelihood: life per blade with its known uncertainty.

    Parameters
    ----------
    log_life, log_life_se : array_like, shape (n,)
    treatment : array_like of int, shape (n,)
        0 for the first group, 1 for the second; two blades or more of each.
    level : float

    Returns
    -------
    Contrast
        Second less first.
    """
    treatment = np.asarray(treatment)
    fixed = np.column_stack([treatment == 0, treatment == 1]).astype(float)
    fit = fit_mixed(log_life, fixed, known_variance=np.asarray(log_life_se, dtype=float) ** 2)
    return fit.contrast([-1.0, 1.0], level)
