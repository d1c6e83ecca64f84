"""Monotone curves of width, scaled so that every blade meets the limit at its own life.

Time counts in lives: a curve starts at the fresh width at 0 and first reaches the limit at
exactly 1. A *family* draws what one study has in common and gives a *shape*; a shape draws
blades and gives their `Curve`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

EVENTS = 150
SEGMENTS = 15
GRID_STEP = 0.02
GRID_END = 8.0


@dataclass(frozen=True)
class Edge:
    """Limit and fresh width of one study: median in µm, and SD of its log between blades."""

    limit: float
    fresh: float
    fresh_sd: float

    def draw_fresh(self, rng, k):
        """Fresh widths of k blades as a column."""
        z = np.clip(rng.standard_normal(k), -2.5, 2.5)
        return (self.fresh * np.exp(self.fresh_sd * z))[:, None]


@dataclass(frozen=True)
class Curve:
    """Noise-free curves of k blades.

    ``log_width(times)`` takes lives as (k, stages); ``local(times, stations)`` gives what single
    stations add to the mean of the edge, as (k, stages, stations), where chips are local.
    """

    log_width: Callable
    local: Callable | None = None


Shape = Callable[[np.random.Generator, int], Curve]


def _jitter(rng, k, centre, sd, low, high):
    """A column of k values about centre (log SD sd) held within low and high."""
    return np.clip(centre * np.exp(sd * rng.standard_normal((k, 1))), low, high)


def power_wedge(rng, edge, p=None, p_sd=0.0) -> Shape:
    """width^p = w0^p + K·n; p drawn from 1.3 to 3.2 unless given, log SD p_sd between blades."""
    p = rng.uniform(1.3, 3.2) if p is None else p

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        q = p * np.exp(p_sd * rng.standard_normal((k, 1)))
        start, rise = w0**q, edge.limit**q - w0**q
        return Curve(lambda t: np.log(start + rise * t) / q)

    return shape


def two_stage(rng, edge, knee=None) -> Shape:
    """Fast early rounding, then slow steady growth; the knee lies at 10 to 40 % of the life."""
    knee = rng.uniform(0.13, 0.35) if knee is None else knee
    knee_sd = rng.uniform(0.1, 0.25)
    height = rng.uniform(max(0.45, knee + 0.15), 0.75)
    bend = rng.uniform(0.6, 1.0)

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        at = _jitter(rng, k, knee, knee_sd, 0.1, 0.4)
        top = w0 + _jitter(rng, k, height, 0.06, at + 0.05, 0.85) * (edge.limit - w0)

        def log_width(t):
            early = w0 + (top - w0) * np.minimum(t / at, 1.0) ** bend
            late = (edge.limit - top) * np.maximum(t - at, 0.0) / (1.0 - at)
            return np.log(early + late)

        return Curve(log_width)

    return shape


def slow_fast(rng, edge) -> Shape:
    """Slow growth, then faster once the apex has lost its support (30 to 75 % of the life)."""
    knee = rng.uniform(0.35, 0.7)
    knee_sd = rng.uniform(0.05, 0.15)
    height = knee * rng.uniform(0.35, 0.65)
    bend = rng.uniform(1.0, 1.25)

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        at = _jitter(rng, k, knee, knee_sd, 0.3, 0.75)
        top = w0 + _jitter(rng, k, height, 0.08, 0.05, 0.9 * at) * (edge.limit - w0)

        def log_width(t):
            early = (top - w0) * np.minimum(t / at, 1.0)
            late = (edge.limit - top) * (np.maximum(t - at, 0.0) / (1.0 - at)) ** bend
            return np.log(w0 + early + late)

        return Curve(log_width)

    return shape


def levelling(rng, edge, above=None) -> Shape:
    """Growth that slows towards a plateau 15 to 60 % above the limit."""
    above = rng.uniform(0.15, 0.6) if above is None else above
    bend = rng.uniform(0.75, 1.1)
    exponential = rng.random() < 0.5

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        plateau = edge.limit * (1.0 + _jitter(rng, k, above, 0.1, 0.15, 0.6))
        share = (edge.limit - w0) / (plateau - w0)

        def log_width(t):
            if exponential:
                grown = 1.0 - (1.0 - share) ** (t**bend)
            else:
                grown = share * t**bend / (1.0 - share + share * t**bend)
            return np.log(w0 + (plateau - w0) * grown)

        return Curve(log_width)

    return shape


def _first_reached(when, height, time_of):
    """First time at which a steady curve with steps `height` at `when` reaches the limit.

    ``time_of(height)`` is when the steady curve alone reaches the limit less that height.
    """
    after = np.concatenate([np.zeros_like(when[:, :1]), when], axis=1)
    risen = np.concatenate([np.zeros_like(when[:, :1]), np.cumsum(height, axis=1)], axis=1)
    until = np.concatenate([when, np.full_like(when[:, :1], np.inf)], axis=1)
    reached = np.maximum(after, time_of(risen))
    return np.min(np.where(reached < until, reached, np.inf), axis=1, keepdims=True)


def chipping(rng, edge, local=False) -> Shape:
    """Steady wear plus sudden steps: microchips in Poisson order, averaged over the edge.

    With `local` a chip sits on one of the edge's segments and a station reads its own segment;
    otherwise every station reads the mean of the edge.
    """
    p = rng.uniform(1.4, 2.6)
    rate = rng.uniform(6.0, 14.0) if local else rng.uniform(3.0, 12.0)
    mean = rng.uniform(0.1, 0.3) if local else rng.uniform(0.15, 0.5) / rate
    share = 1.0 / SEGMENTS if local else 1.0

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        start, rise = w0**p, edge.limit**p - w0**p
        when = np.cumsum(rng.exponential(1.0 / rate, (k, EVENTS)), axis=1)
        size = rng.gamma(2.0, mean / 2.0, (k, EVENTS))
        seat = rng.integers(0, SEGMENTS, (k, EVENTS)) if local else None

        def time_of(height):
            return np.maximum(((edge.limit * np.exp(-height)) ** p - start) / rise, 0.0)

        life = _first_reached(when, share * size, time_of)
        # In lives, so that a step which itself reaches the limit counts at exactly 1.
        chipped = when / life

        def log_width(t):
            here = chipped[:, None, :] <= t[:, :, None]
            steps = share * np.einsum("kse,ke->ks", here, size)
            return np.log(start + rise * life * t) / p + steps

        def beside(t, stations):
            here = chipped[:, None, :] <= t[:, :, None]
            all_steps = share * np.einsum("kse,ke->ks", here, size)
            places = np.linspace(2, SEGMENTS - 3, stations).astype(int)
            own = [np.einsum("kse,ke->ks", here, size * (seat == s)) for s in places]
            return np.stack(own, axis=2) - all_steps[:, :, None]

        return Curve(log_width, beside if local else None)

    return shape


def burnish(rng, edge, p=None) -> Shape:
    """Width that hardly grows for a while and then catches up, about a power wedge."""
    p = rng.uniform(1.4, 2.8) if p is None else p
    period = rng.uniform(0.25, 0.7)
    swing = rng.uniform(0.8, 2.0)

    def shape(rng, k):
        w0 = edge.draw_fresh(rng, k)
        start, rise = w0**p, edge.limit**p - w0**p
        grid = np.arange(0.0, GRID_END + GRID_STEP / 2, GRID_STEP)
        pace = np.zeros((k, len(grid)))
        for part in (1.0, 2.7):
            length = part * period * np.exp(0.2 * rng.standard_normal((k, 1)))
            turn = rng.uniform(0.0, 2.0 * np.pi, (k, 1))
            pace += swing / part * np.sin(2.0 * np.pi * grid / length + turn)
        pace = np.exp(pace)
        steps = (pace[:, 1:] + pace[:, :-1]) / 2.0
        path = np.concatenate([np.zeros((k, 1)), np.cumsum(steps, axis=1)], axis=1)
        path /= path[:, [round(1.0 / GRID_STEP)]]
        mean_pace = path[:, -1:] / GRID_END

        def log_width(t):
            inside = np.minimum(t, GRID_END) / GRID_STEP
            low = np.minimum(inside.astype(int), len(grid) - 2)
            left = np.take_along_axis(path, low, axis=1)
            right = np.take_along_axis(path, low + 1, axis=1)
            warped = left + (inside - low) * (right - left)
            warped = warped + np.maximum(t - GRID_END, 0.0) * mean_pace
            return np.log(start + rise * warped) / p

        return Curve(log_width)

    return shape
