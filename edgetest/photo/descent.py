"""Levenberg-Marquardt with bounded steps, where cost, gradient and curvature are known."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Damping:
    """How a descent goes on: eased after a step that gains, pressed after one that does not.

    It ends after `turns`, when a step gains less than `still` and a ten-thousandth of the cost,
    or when the damping is above `most`.
    """

    turns: int
    ease: float
    press: float
    most: float
    still: float = 0.0


def descend(state_of, theta, limit, bounds, damping):
    """Least cost from a start (Levenberg-Marquardt).

    Parameters
    ----------
    state_of : callable
        Of `theta`: total cost, its gradient and normal matrix, and whatever else.
    theta : ndarray, shape (p,)
    limit : ndarray, shape (p,)
        Longest step.
    bounds : (ndarray, ndarray)
    damping : Damping

    Returns
    -------
    theta : ndarray
    state : tuple
        What `state_of` says of it.
    """
    held, state = 1e-2, state_of(theta)
    for _ in range(damping.turns):
        total, gradient, normal = state[:3]
        step = np.linalg.solve(normal + held * np.diag(np.diag(normal)), gradient)
        trial = np.clip(theta - np.clip(step, -limit, limit), *bounds)
        other = state_of(trial)
        if other[0] < total:
            done = total - other[0] < damping.still + 1e-4 * total
            theta, state, held = trial, other, max(held / damping.ease, 1e-6)
            if done:
                break
        else:
            held *= damping.press
            if held > damping.most:
                break
    return theta, state
