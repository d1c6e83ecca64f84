"""Levenberg-Marquardt within bounds, where cost, gradient and curvature are known.

Every step is the least of the damped quadratic within the bounds, so that a parameter at its
bound takes no part in the steps of the others (primal active set; J. Nocedal, S. J. Wright,
"Numerical Optimization", ch. 16; from memory).
"""

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
        room = np.maximum(bounds[0] - theta, -limit), np.minimum(bounds[1] - theta, limit)
        trial = theta + least_within(normal + held * np.diag(np.diag(normal)), gradient, *room)
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


def least_within(normal, gradient, low, high):
    """Step of least `gradient @ step + step @ normal @ step / 2` with `low <= step <= high`.

    Parameters
    ----------
    normal : ndarray, shape (p, p)
        Positive definite.
    gradient, low, high : ndarray, shape (p,)

    Returns
    -------
    ndarray, shape (p,)
    """
    step = -np.linalg.solve(normal, gradient)
    if np.all((low <= step) & (step <= high)):
        return step
    step, free = np.clip(0.0 * step, low, high), np.ones(gradient.size, dtype=bool)
    for _ in range(4 * gradient.size):
        slope = gradient + normal @ step
        move = np.zeros(gradient.size)
        move[free] = -np.linalg.solve(normal[np.ix_(free, free)], slope[free])
        room = np.where(move > 0, high - step, low - step)
        share = np.divide(room, move, out=np.full(move.size, np.inf), where=move != 0)
        first = int(np.argmin(share))
        if share[first] < 1:  # as far as the first border, where it stays
            step = np.clip(step + max(share[first], 0) * move, low, high)
            step[first] = high[first] if move[first] > 0 else low[first]
            free[first] = False
            continue
        step = np.clip(step + move, low, high)
        slope = gradient + normal @ step
        inward = np.where(step <= low, -slope, slope) * (~free & (low < high))
        if inward.max() <= 1e-9 * np.abs(gradient).max():
            break
        free[np.argmax(inward)] = True
    return step
