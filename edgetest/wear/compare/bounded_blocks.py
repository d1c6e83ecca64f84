"""Lives of which some are only bounds, compared within blocks (rolls, boards, days).

Log lives are normal about the sum of a heat treatment's and a block's effect. With 1/σ and
effects/σ as parameters the likelihood is concave whatever is a bound [1]_, so Newton's method
finds its maximum at every difference of two heat treatments. Its fall is put on the t scale,
n·log(1 + t²/df), which gives exactly the t interval within blocks where all lives are known.

References
----------
.. [1] J. Burridge, "A note on maximum likelihood estimation for regression models using
   grouped data", J. R. Stat. Soc. B 43 (1981) 41-45.
"""

import numpy as np
from scipy.special import log_ndtr

from edgetest.stats.contrast import student_cdf
from edgetest.wear.compare.bounded_lives import BoundedContrast

LEAST_DF = 2  # below, an interval without the blocks is the narrower one
_POINTS = 301
_STEPS = 60
_SETTLED = 1e-10  # of the log-likelihood still to be gained
NO_SPREAD = 1e-9  # of log life: lives that are the same to all digits


def blocked_contrast(treatment, block, log_life, censored, first, second):
    """Contrast of two heat treatments within blocks, bounds among the lives.

    Parameters
    ----------
    treatment, block : array_like of int, shape (n,)
        Indices from 0.
    log_life : array_like, shape (n,)
    censored : array_like of bool, shape (n,)
        True where `log_life` is a bound from below.
    first, second : int
        The difference is second less first.

    Returns
    -------
    BoundedContrast or None
        None where `known_df` is below `LEAST_DF`, or the known lives are all alike.
    """
    treatment, block, known, kept = _told(treatment, block, censored)
    y = np.asarray(log_life, dtype=float)[kept]
    df = known_df(treatment, block, ~known)
    if df < LEAST_DF:
        return None
    blocks, effects = np.eye(block.max() + 1)[block], np.eye(treatment.max() + 1)[treatment]
    # Effects are held against the first; the second's is the difference that is asked for.
    others = [i for i in range(effects.shape[1]) if i not in (first, second)]
    design = np.hstack([blocks, effects[:, others]])
    asked = effects[:, second]
    whole = np.column_stack([design, asked])[known]
    found, *_ = np.linalg.lstsq(whole, y[known], rcond=None)
    spread = float(np.linalg.norm(y[known] - whole @ found))
    if spread < NO_SPREAD:
        return None
    unit = spread / np.sqrt(df) * np.sqrt(np.linalg.inv(whole.T @ whole)[-1, -1])
    highest, params = _climb(np.column_stack([design, asked]), y[None], known)
    middle = float(params[0, -1] / params[0, 0])
    shift = middle + unit * np.sinh(np.linspace(-7, 7, _POINTS))
    reached, _ = _climb(design, y - shift[:, None] * asked, known)
    fall = np.maximum(highest[0] - reached, 0.0)
    t = np.sign(shift - middle) * np.sqrt(df * np.expm1(2 * fall / known.sum()))
    below = np.maximum.accumulate(student_cdf(t, float(df)))
    low, high = np.interp([0.1587, 0.8413], below, shift)
    stderr = float(high - low) / 2
    return BoundedContrast(middle, stderr, float(df), shift, below, "t within blocks, with bounds")


def known_df(treatment, block, censored):
    """Degrees of freedom that the known lives leave; 0 where they do not tell effects apart.

    Parameters
    ----------
    treatment, block : array_like of int, shape (n,)
        Indices from 0.
    censored : array_like of bool, shape (n,)

    Returns
    -------
    int
    """
    treatment, block, known, _ = _told(treatment, block, censored)
    if not known.any():
        return 0
    effects = np.eye(treatment.max() + 1)[treatment][:, 1:]
    whole = np.hstack([np.eye(block.max() + 1)[block], effects])[known]
    df = len(whole) - whole.shape[1]
    return max(df, 0) if np.linalg.matrix_rank(whole) == whole.shape[1] else 0


def _told(treatment, block, censored):
    """Indices of what tells, which of it is known, and the rows kept.

    A block without a known life agrees with any bound: it has nothing to say.
    """
    treatment, block = np.asarray(treatment), np.asarray(block)
    known = ~np.asarray(censored, dtype=bool)
    kept = np.isin(block, block[known])
    block = np.unique(block[kept], return_inverse=True)[1]
    return treatment[kept], block, known[kept], kept


def _climb(design, lives, known):
    """Maximum of the log-likelihood for each of several sets of lives.

    Parameters
    ----------
    design : ndarray (n, p)
    lives : ndarray (G, n)
        Log lives and bounds; moved by the difference that is held.
    known : ndarray (n,) of bool

    Returns
    -------
    log_likelihood : ndarray (G,)
    params : ndarray (G, 1 + p)
        1/σ and effects/σ.
    """
    inverse = np.linalg.pinv(design[known])
    effects = lives[:, known] @ inverse.T
    left = np.linalg.norm(lives[:, known] - effects @ design[known].T, axis=1)
    scale = np.sqrt(known.sum()) / np.maximum(left, NO_SPREAD)
    params = np.column_stack([scale, effects * scale[:, None]])
    slopes = np.concatenate(
        [lives[:, :, None], np.broadcast_to(-design, (len(lives), *design.shape))], axis=2
    )
    value, gradient, bend = _likelihood(slopes, params, known)
    for _ in range(_STEPS):
        step = np.linalg.solve(bend, gradient[..., None])[..., 0]
        gain = np.einsum("gi,gi->g", gradient, step)
        if (gain < _SETTLED).all():
            break
        least = np.where(step[:, 0] < 0, -0.8 * params[:, 0] / np.minimum(step[:, 0], -1e-300), 1)
        size = np.minimum(least, 1.0)
        for _ in range(40):  # halve the steps that do not climb; concave, so they soon do
            trial = params + size[:, None] * step
            new = _likelihood(slopes, trial, known)
            short = new[0] < value + 1e-4 * size * gain - 1e-12 * np.abs(value)
            if not short.any():
                break
            size = np.where(short, size / 2, size)
        params, (value, gradient, bend) = trial, new
    return value, params


def _likelihood(slopes, params, known):
    """Log-likelihood (G,), its gradient (G, p), and the Hessian's negative (G, p, p)."""
    z = np.einsum("gnp,gp->gn", slopes, params)
    log_tail = log_ndtr(-z)
    hazard = np.exp(-0.5 * z**2 - log_tail) / np.sqrt(2 * np.pi)
    value = known.sum() * np.log(params[:, 0])
    value = value + np.where(known, -0.5 * z**2, log_tail).sum(axis=1)
    gradient = -np.einsum("gnp,gn->gp", slopes, np.where(known, z, hazard))
    weight = np.where(known, 1.0, hazard * (hazard - z))
    bend = np.einsum("gnp,gn,gnq->gpq", slopes, weight, slopes)
    gradient[:, 0] += known.sum() / params[:, 0]
    bend[:, 0, 0] += known.sum() / params[:, 0] ** 2
    return value, gradient, bend
