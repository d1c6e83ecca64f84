"""Losses of a wrong decision, and what knowing more would save."""

from dataclasses import dataclass

import numpy as np

ACTIONS = ("reuse", "reuse_light", "do_not_reuse")


@dataclass(frozen=True)
class Losses:
    """Hours of work lost by a wrong decision.

    Full loss where the steel is wholly misjudged, half where it is fit for light use only;
    a fit steel kept for light work loses half of a wrong discard. The defaults speak of a
    lot for twenty blades: ten hours for each that comes back, two for steel found anew.
    """

    wrong_reuse_h: float = 200.0
    wrong_discard_h: float = 40.0

    def matrix(self):
        """Loss of each action (rows: reuse, light, discard) by truth (fit, light only, unfit)."""
        r, d = self.wrong_reuse_h, self.wrong_discard_h
        return np.array([[0, r / 2, r], [d / 2, 0, r / 2], [d, d / 2, 0]])


@dataclass(frozen=True)
class Test:
    """A test that could be done next: its work, and how well it would show each criterion."""

    __test__ = False  # not a test case

    code: str
    title: str
    hours: float
    sees: dict[str, float]  # criterion -> standard deviation of what it shows, working scale


# Hours of work and precision are common practice, no source; state your own.
TESTS = (
    Test("another_blade", "another test blade from the same piece, run against the reference",
         8.0, {"life": 0.18, "hardness": 1.0, "damage": 0.6, "cracking": 3.0}),
    Test("another_piece", "a blade from another piece of the lot",
         10.0, {"life": 0.21, "hardness": 1.8, "damage": 0.8, "cracking": 3.0}),
    Test("hardness_ladder", "a temper ladder with a hardness reading at every step",
         3.0, {"hardness": 1.0}),
    Test("quench_and_break", "a coupon quenched, filed and broken",
         1.0, {"hardness": 3.0, "edge": 0.15, "cracking": 3.0}),
    Test("lab_analysis", "an analysis by a laboratory, its fee counted as hours",
         4.0, {"hardness": 2.0, "edge": 0.05}),
)  # fmt: skip


@dataclass(frozen=True)
class TestValue:
    """What a test is expected to save, and that for each hour of its work."""

    __test__ = False

    code: str
    title: str
    hours: float
    saves_h: float
    saves_per_hour: float
    about: str  # "piece" or "lot": whose verdict it would serve


def pair(belief, mean=None, sd=None):
    """Probabilities of full fitness and of light or better, for one criterion."""
    full = belief.probability(belief.full, mean, sd)
    return full, np.maximum(full, belief.probability(belief.light, mean, sd))


def joint(beliefs):
    """Probability of keeping every full limit, and every light limit (independent)."""
    pairs = [pair(b) for b in beliefs]
    return float(np.prod([full for full, _ in pairs])), float(np.prod([ok for _, ok in pairs]))


def expected_loss(table, fit, light):
    """Expected loss of each action, from the odds of full fitness and of light or better."""
    fit, light = np.asarray(fit), np.asarray(light)
    odds = np.stack([fit, light - fit, 1 - light])
    return np.tensordot(table, odds, axes=1)


def best_action(table, fit, light):
    """The action with the least expected loss."""
    return ACTIONS[int(np.argmin(expected_loss(table, fit, light)))]


_NODE_COUNT = 11  # exact for polynomials up to degree 21
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(_NODE_COUNT)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


def value_of_test(test, beliefs, table, about):
    """Expected value of sample information: loss saved by choosing only after the test.

    Each criterion that the test sees is updated as a normal (conjugate); its `fixed_sd`
    stays. The preposterior mean is integrated by Gauss-Hermite quadrature.

    References
    ----------
    .. [1] H. Raiffa and R. Schlaifer, Applied Statistical Decision Theory (1961): expected
       value of sample information (from memory).
    """
    fit, light, weight = np.ones(1), np.ones(1), np.ones(1)
    for b in beliefs:
        noise = test.sees.get(b.name)
        if noise is None:
            mean, sd, w = np.array([b.mean]), b.sd, np.ones(1)
        else:
            known = b.sd**2 - b.fixed_sd**2
            after = 1 / (1 / known + 1 / noise**2)
            mean = b.mean + np.sqrt(known - after) * _NODES
            sd, w = np.sqrt(after + b.fixed_sd**2), _WEIGHTS
        full, lesser = pair(b, mean, sd)
        fit = np.multiply.outer(fit, full).ravel()
        light = np.multiply.outer(light, lesser).ravel()
        weight = np.multiply.outer(weight, w).ravel()
    losses = expected_loss(table, fit, light)
    # Without the test one action serves all outcomes: weigh it on the same nodes, so that
    # what quadrature misses falls on both sides and the value is never below zero.
    saved = max(float((losses @ weight).min() - losses.min(axis=0) @ weight), 0.0)
    return TestValue(test.code, test.title, test.hours, saved, saved / test.hours, about)


def value_of_certainty(beliefs, i, table):
    """Expected value of perfect information on criterion `i` alone, and the actions it leads to.

    Returns
    -------
    saved_h : float
    if_holds, if_fails : str
        Best action where the criterion surely keeps its full limit, and where it surely
        misses even the light one.
    """
    full, light = (float(p) for p in pair(beliefs[i]))
    rest_fit, rest_light = joint([*beliefs[:i], *beliefs[i + 1 :]])
    holds = expected_loss(table, rest_fit, rest_light)
    lighter = expected_loss(table, 0.0, rest_light)
    fails = expected_loss(table, 0.0, 0.0)
    now = expected_loss(table, *joint(beliefs)).min()
    after = full * holds.min() + (light - full) * lighter.min() + (1 - light) * fails.min()
    saved_h = max(float(now - after), 0.0)
    return saved_h, ACTIONS[int(np.argmin(holds))], ACTIONS[int(np.argmin(fails))]
