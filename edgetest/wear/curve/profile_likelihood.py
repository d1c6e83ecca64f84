"""Profile-likelihood interval of a curve's life.

With the scale written through the life, log reading(n) = log limit + h(n) - h(L), the life L is a
parameter like any other. Where the limit is a multiple of the fresh reading, h(L) = log multiple
sets one psi of the shape (`Law.sets`), the clock runs with the life, and the scale is free. Both
ends of every curve are sought at once: each step solves the quadratic that the Gauss-Newton model
makes of the profile, which needs some five steps; what does not settle so is bracketed and halved.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from edgetest.stats.least_squares import minimise
from edgetest.wear.curve.batch_fit import Curves, whiten
from edgetest.wear.curve.laws import Law

FURTHEST = 12.0  # log life this far from the estimate counts as an open end (a factor of 160,000)
STEPS = 12
SEARCHES = 3  # for the best psi of one life, where a search left their box
TOLERANCE = 1e-5  # of the chi-square at which an end has been found


@dataclass(frozen=True)
class Pull:
    """Profile likelihood of a shared psi by the other blades and the prior, as a signed root.

    `index` of the psi; `at` (B, G) values of it, equally far apart; `root` (B, G) signed root of
    the rise of the others' sum of squares (minus twice their log likelihood), straight between.
    """

    index: int
    at: np.ndarray
    root: np.ndarray

    def take(self, which):
        """The pulls on the curves numbered `which`."""
        return Pull(self.index, self.at[which], self.root[which])

    def evaluate(self, psi):
        """Signed root of the deviance (B,) and its slope (B,) at `psi` (B, k)."""
        first, step = self.at[:, 0], self.at[:, 1] - self.at[:, 0]
        place = (psi[:, self.index] - first) / step
        i = np.clip(np.nan_to_num(place), 0, self.at.shape[1] - 2).astype(int)
        rows = np.arange(len(psi))
        rise = self.root[rows, i + 1] - self.root[rows, i]
        return self.root[rows, i] + rise * (place - i), rise / step


@dataclass(frozen=True)
class Profiled:
    """Curves whose lives are sought, B of them.

    Attributes
    ----------
    law : Law
    curves : Curves
        Their `root` in units in which the sum of squares is a chi-square.
    psi : ndarray (B, k)
        Fitted shapes.
    log_limit : ndarray (B,)
        Log of the limit, or (`of_fresh`) of a multiple of each curve's own fresh reading.
    held : sequence of int
        psi that stay at their value.
    pull : Pull, optional
        Profile likelihood, by the other blades, of a psi that all share.
    of_fresh : bool
        See `log_limit`.
    """

    law: Law
    curves: Curves
    psi: np.ndarray
    log_limit: np.ndarray
    held: Sequence[int] = ()
    pull: Pull | None = None
    of_fresh: bool = False

    def take(self, which):
        """The curves numbered `which`."""
        curves, pull = self.curves.take(which), self.pull.take(which) if self.pull else None
        return replace(
            self, curves=curves, psi=self.psi[which], log_limit=self.log_limit[which], pull=pull
        )

    @property
    def free(self):
        """Places of the psi that are fitted beside the life."""
        taken = {*self.held, self.law.sets} if self.of_fresh else set(self.held)
        return [i for i in range(len(self.law.psi_names)) if i not in taken]

    @property
    def box(self):
        """Ends of the psi; of the clock too, unless it is told from the life that moves."""
        low, high = self.law.box(self.curves.cuts.max(axis=1))
        low, high = np.minimum(low, self.psi - 1e-9), np.maximum(high, self.psi + 1e-9)
        if self.of_fresh:
            low[:, self.law.clock[0]], high[:, self.law.clock[0]] = -np.inf, np.inf
        return low, high


@dataclass(frozen=True)
class _Problem:
    """Curves to profile; their `free` psi move, and stay between `low` and `high`.

    `anchor` is the log life at which the clock of `of_fresh` stands as in psi.
    """

    sought: Profiled
    anchor: np.ndarray
    free: list[int]
    low: np.ndarray
    high: np.ndarray

    @classmethod
    def of(cls, sought, anchor):
        return cls(sought, anchor, sought.free, *sought.box)

    def take(self, which):
        rows = (part[which] for part in (self.low, self.high))
        return _Problem(self.sought.take(which), self.anchor[which], self.free, *rows)

    def residuals(self, psi, log_life):
        """Whitened residuals (B, S') and derivatives (B, S', 1 + free) by log life and psi."""
        root, pull, of_fresh = self.sought.curves.root, self.sought.pull, self.sought.of_fresh
        psi = np.clip(psi, self.low, self.high)
        r, jac = self._to_multiple(psi, log_life) if of_fresh else self._to(psi, log_life)
        r, jac = whiten(root, r), whiten(root, jac)
        if of_fresh:  # the scale is free: what it can take up is taken out
            ones = whiten(root, np.ones_like(r))
            unit = ones / np.maximum(np.sqrt(np.einsum("bs,bs->b", ones, ones)), 1e-300)[:, None]
            r = r - unit * np.einsum("bs,bs->b", unit, r)[:, None]
            jac = jac - unit[:, :, None] * np.einsum("bs,bsk->bk", unit, jac)[:, None]
        if pull is not None:
            value, slope = pull.evaluate(psi)
            row = np.zeros((len(psi), 1, jac.shape[2]))
            row[:, 0, 1 + self.free.index(pull.index)] = slope
            r, jac = np.column_stack([r, value]), np.concatenate([jac, row], axis=1)
        jac[:, :, 1:] *= self._may_move(psi, r, jac)[:, None]
        return r, jac

    def _may_move(self, psi, r, jac):
        """Whether each free psi (B, free) is inside its box, or at an end that it would leave.

        What stood still at an end that it would leave made every other life look ruled out.
        """
        up = np.einsum("bs,bsk->bk", r, jac[:, :, 1:])
        at_low, at_high = ((psi <= self.low)[:, self.free], (psi >= self.high)[:, self.free])
        return ~((at_low & (up >= 0)) | (at_high & (up <= 0)))

    def _to(self, psi, log_life):
        """Curves that pass the limit at the life: gaps (B, S), their slopes (B, S, 1 + free)."""
        law, curves = self.sought.law, self.sought.curves
        n, life = curves.cuts, np.exp(log_life)[:, None]
        gap = law.log_shape(n, psi) - law.log_shape(life, psi)
        slopes = law.slopes(n, psi) - law.slopes(life, psi)
        by_life = np.broadcast_to(-law.rate(life, psi)[..., None], (*n.shape, 1))
        jac = np.concatenate([by_life, slopes[..., self.free]], axis=2)
        return gap + self.sought.log_limit[:, None] - curves.log_value, jac

    def _to_multiple(self, psi, log_life):
        """Curves that reach their multiple at the life; arrays as `_to`, the scale left out."""
        law, curves = self.sought.law, self.sought.curves
        (clock, way), place = law.clock, law.sets
        n, life = curves.cuts, np.exp(log_life)[:, None]
        psi = psi.copy()
        psi[:, clock] += way * (log_life - self.anchor)
        psi[:, place] = law.meets(self.sought.log_limit, life[:, 0], psi)
        slopes, there = law.slopes(n, psi), law.slopes(life, psi)
        share = there[..., self.free] / there[..., place, None]
        own = slopes[..., self.free] - slopes[..., place, None] * share
        # With clock and life moved alike, the curve passes its multiple as before.
        jac = np.concatenate([way * slopes[..., clock, None], own], axis=2)
        return law.log_shape(n, psi) - curves.log_value, jac


def profile_life(sought, log_life, stderr, threshold):
    """Ends of the profile-likelihood interval of log life of every curve.

    Parameters
    ----------
    sought : Profiled
    log_life, stderr : ndarray (B,)
        Log of the life, and its standard error (sets the first step).
    threshold : ndarray (B,)
        Distance in standard errors, such as a t quantile.

    Returns
    -------
    low, high : ndarray (B,)
        Ends of log life; -inf or inf where the profile never rises to the threshold.

    References
    ----------
    .. [1] D. J. Venzon and S. H. Moolgavkar, "A method for computing profile-likelihood-based
       confidence intervals", Applied Statistics 37 (1988) 87-94.
    """
    psi, n = sought.psi, len(sought.psi)
    both = np.r_[np.arange(n), np.arange(n)]
    side = np.r_[-np.ones(n), np.ones(n)]
    one = _Problem.of(sought, log_life)
    problem = one.take(both)
    with np.errstate(all="ignore"):
        r, _ = one.residuals(psi, log_life)
        goal = (np.einsum("bs,bs->b", r, r) + threshold**2)[both]
        first = np.clip((threshold * stderr)[both], 1e-8, 3.0)
        ends, settled = _walk(
            problem, psi[both], log_life[both], side, goal, threshold[both], first
        )
        rest = np.flatnonzero(~settled)
        if len(rest):
            ends[rest] = _halve(
                problem.take(rest),
                psi[both[rest]],
                log_life[both[rest]],
                side[rest],
                goal[rest],
                first[rest],
            )
    return ends[:n], ends[n:]


def _walk(problem, psi, best, side, goal, threshold, first):
    """Venzon-Moolgavkar steps to the ends; returns log lives and which of them have settled."""
    psi, life = psi.copy(), best.copy()
    settled = np.zeros(len(psi), dtype=bool)
    free = problem.free
    tolerance = TOLERANCE * threshold**2
    for step in range(STEPS):
        r, jac = problem.residuals(psi, life)
        q = np.einsum("bs,bs->b", r, r)
        turned = jac.transpose(0, 2, 1)
        hess, grad = np.matmul(turned, jac), np.einsum("bks,bs->bk", turned, r)
        ridge = 1e-10 * np.trace(hess, axis1=1, axis2=2)[:, None, None] + 1e-300
        inner = hess[:, 1:, 1:] + ridge * np.eye(len(free))
        solved = np.linalg.solve(inner, np.stack([grad[:, 1:], hess[:, 1:, 0]], axis=2))
        lowest = q - np.einsum("bk,bk->b", grad[:, 1:], solved[:, :, 0])
        slope = grad[:, 0] - np.einsum("bk,bk->b", hess[:, 0, 1:], solved[:, :, 0])
        bend = hess[:, 0, 0] - np.einsum("bk,bk->b", hess[:, 0, 1:], solved[:, :, 1])
        settled |= (step > 0) & (np.abs(q - goal) < tolerance) & (q - lowest < tolerance)
        if settled.all():
            break
        inside = np.maximum(slope**2 - bend * (lowest - goal), 0.0)
        move = (-slope + side * np.sqrt(inside)) / np.maximum(bend, 1e-300)
        most = 4 * first if step else first
        move = np.where(settled | ~np.isfinite(move), 0.0, np.clip(move, -most, most))
        psi_move = -solved[:, :, 0] - solved[:, :, 1] * move[:, None]
        psi_move = np.where(settled[:, None] | ~np.isfinite(psi_move), 0.0, psi_move)
        life = life + move
        psi[:, free] += np.clip(psi_move, -2.0, 2.0)
        psi = np.clip(psi, problem.low, problem.high)
    settled &= (life - best) * side > 0
    return life, settled


def _halve(problem, psi, best, side, goal, first):
    """Bisection, the psi refitted at every life: slow, for what does not settle."""
    near, far = np.zeros(len(psi)), first.copy()
    bracketed = np.zeros(len(psi), dtype=bool)
    for _ in range(60):
        away = np.where(bracketed, (near + far) / 2, np.minimum(far, FURTHEST))
        q, psi = _refit(problem, psi, best + side * away)
        over = q > goal
        near = np.where(over, near, away)
        far = np.where(over, away, np.where(bracketed, far, 2 * away))
        bracketed |= over
        if np.all(np.where(bracketed, far - near < 1e-5, near >= FURTHEST)):
            break
    return np.where(bracketed, best + side * (near + far) / 2, side * np.inf)


def _refit(problem, psi, log_life):
    """Smallest sum of squares (B,) with every log life fixed, and its psi.

    Sought again from the box where the search went beyond it: there the slopes are the box's own,
    and a way back inside is found at once.
    """
    free = problem.free

    def evaluate(part, which):
        trial = psi[which].copy()
        trial[:, free] = part
        r, jac = problem.take(which).residuals(trial, log_life[which])
        return r, jac[:, :, 1:]

    psi = psi.copy()
    for _ in range(SEARCHES):
        found = minimise(evaluate, psi[:, free], offset=1e-4, max_evaluations=40)
        psi[:, free] = found.params
        beyond = (psi < problem.low) | (psi > problem.high)
        psi = np.clip(psi, problem.low, problem.high)
        if not beyond.any():
            break
    return found.sse, psi


def least_life(sought, furthest, sse, threshold):
    """Lower end of log life (B,) where the readings set no upper one, by profile likelihood.

    Parameters
    ----------
    sought : Profiled
    furthest : ndarray (B,)
        Log life from which to come down; returned where even that is ruled out.
    sse : ndarray (B,)
        Smallest sum of squares of the fit, the pull's share in it.
    threshold : ndarray (B,)
        As in `profile_life`.

    Returns
    -------
    ndarray (B,)
    """
    problem, psi = _Problem.of(sought, furthest), sought.psi
    with np.errstate(all="ignore"):
        side = -np.ones(len(psi))
        return _halve(problem, psi, furthest, side, sse + threshold**2, np.full(len(psi), 0.5))
