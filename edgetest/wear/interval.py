"""Profile-likelihood interval of a curve's life: how far log life moves before the fit objects."""

import numpy as np

from edgetest.wear.batch import whiten
from edgetest.wear.core import minimise

FURTHEST = 12.0  # log life this far from the estimate counts as an open end (a factor of 160,000)


def profile_life(law, curves, psi, log_limit, log_life, stderr, threshold, *, held=()):
    """Ends of the interval of log life of every curve, others' parameters held.

    With the scale written through the life, log reading(n) = log limit + h(n) - h(L), the
    profile fixes L and fits the rest; its signed root is nearly straight in log life, so that
    a few secant steps find where it crosses `threshold`.

    Parameters
    ----------
    law : Law
    curves : Curves
        B curves, their `root` in units in which the sum of squares is a chi-square.
    psi : ndarray (B, k)
        Fitted shapes.
    log_limit, log_life, stderr : ndarray (B,)
        Log of the limit, log of the life there, and its standard error (sets the first step).
    threshold : ndarray (B,)
        Distance in standard errors, such as a t quantile.
    held : sequence of int
        psi that stay at their value.

    Returns
    -------
    low, high : ndarray (B,)
        Ends of log life; -inf or inf where the fit never objects.
    """
    n = len(psi)
    both = np.r_[np.arange(n), np.arange(n)]
    side = np.r_[-np.ones(n), np.ones(n)]
    curves2, psi2 = curves.take(both), psi[both]
    limit2, best, goal = log_limit[both], log_life[both], threshold[both]
    root_best = _objective(law, curves, psi, log_limit, log_life)
    base = root_best[both]
    free = [i for i in range(psi.shape[1]) if i not in held]

    def depth(away, start):
        """Signed root of the profile at log life `best + side * away`, and its psi."""
        life = best + side * away
        found = _refit(law, curves2, start, limit2, life, free)
        return np.sqrt(np.maximum(_objective(law, curves2, found, limit2, life) - base, 0)), found

    x0, f0 = np.zeros(2 * n), np.zeros(2 * n)
    x1 = np.clip(goal * stderr[both], 1e-6, FURTHEST)
    shape = psi2
    lo, hi = np.zeros(2 * n), np.full(2 * n, FURTHEST)
    done = np.zeros(2 * n, dtype=bool)
    for _ in range(40):
        f1, shape = depth(x1, shape)
        done |= np.abs(f1 - goal) < 1e-6 * goal
        if done.all():
            break
        lo = np.where(f1 < goal, np.maximum(lo, x1), lo)
        hi = np.where(f1 >= goal, np.minimum(hi, x1), hi)
        if np.all(done | (lo >= FURTHEST * (1 - 1e-9)) | (hi - lo < 1e-10)):
            break
        with np.errstate(all="ignore"):
            step = x1 + (goal - f1) * (x1 - x0) / (f1 - f0)
        outside = ~((step > lo) & (step < hi))
        middle = np.where(hi < FURTHEST, (lo + hi) / 2, np.minimum(2 * lo, FURTHEST))
        step = np.where(outside, middle, step)
        x0, f0 = np.where(done, x0, x1), np.where(done, f0, f1)
        x1 = np.where(done, x1, step)
    open_end = ~done & (lo >= FURTHEST * (1 - 1e-9))
    ends = np.where(open_end, side * np.inf, best + side * x1)
    return ends[:n], ends[n:]


def _residuals(law, curves, psi, log_limit, log_life):
    life = np.exp(log_life)[:, None]
    gap = law.log_shape(curves.cuts, psi) - law.log_shape(life, psi)
    return whiten(curves.root, gap + log_limit[:, None] - curves.log_value)


def _objective(law, curves, psi, log_limit, log_life):
    r = _residuals(law, curves, psi, log_limit, log_life)
    return np.einsum("bs,bs->b", r, r)


def _refit(law, curves, psi, log_limit, log_life, free):
    """psi of every curve with its log life fixed."""
    low, high = psi - 8.0, psi + 8.0

    def evaluate(part, which):
        trial = psi[which].copy()
        trial[:, free] = part
        trial = np.clip(trial, low[which], high[which])
        some = curves.take(which)
        life = np.exp(log_life[which])[:, None]
        slopes = law.slopes(some.cuts, trial) - law.slopes(life, trial)
        r = _residuals(law, some, trial, log_limit[which], log_life[which])
        return r, whiten(some.root, slopes[..., free])

    found = minimise(evaluate, psi[:, free])
    out = psi.copy()
    out[:, free] = found.params
    return np.clip(out, low, high)
