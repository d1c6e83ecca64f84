"""Where does the steel of an edge end? Ground roughness, waviness and damage in one outline."""

from dataclasses import dataclass

import numpy as np

from tests.benchmarks.side_pictures.ground_edge import (
    STEP_UM,
    draw_grinder,
    ground_profile,
    waviness,
)
from tests.benchmarks.side_pictures.harm import Harm, departure, pushed_um

# Roughness of a fresh break, as a share of its depth and at most µm (invented).
BREAK_SHARE, BREAK_MOST_UM = 0.02, 3.0


@dataclass(frozen=True, eq=False)
class Edge:
    """An edge from 0 to ``length_um``: roughness and waviness every ``STEP_UM``, and damage."""

    rough: np.ndarray
    wave: np.ndarray
    harms: tuple[Harm, ...] = ()

    @property
    def length_um(self):
        """Length of the edge."""
        return (len(self.rough) - 1) * STEP_UM

    @property
    def sigma_um(self):
        """Deviation of the sound edge from its line."""
        return float(self.rough.std())


def draw_edge(rng, length_um, sigma_um, groove_um, grinder=None):
    """A sound edge; by the same ``grinder`` as another one if that is given."""
    grinder = grinder or draw_grinder(rng, sigma_um, groove_um)
    edge = Edge(ground_profile(rng, grinder, length_um), waviness(rng, grinder, length_um))
    return edge, grinder


def line_um(edge, at):
    """Height of the sound line (without its bend) at places along the edge, µm."""
    return np.interp(at, np.arange(len(edge.wave)) * STEP_UM, edge.wave)


def heights_um(edge, at):
    """Height of the outline over the sound line at places along the edge, µm."""
    rough = np.interp(at, np.arange(len(edge.rough)) * STEP_UM, edge.rough)
    moved = np.zeros_like(at)
    for harm in edge.harms:
        own = departure(harm, at)
        inside = np.abs(at - harm.at_um) < harm.reach_um / 2
        share = np.abs(own) / harm.deep_um
        kept = np.where(inside, np.clip(1 - 3 * share, 0.3 if harm.out else 0.0, 1), 1)
        fresh = np.where(inside, np.minimum(share * 3, 1) * _broken(harm, at), 0)
        rough = rough * kept + fresh
        moved = moved + own if harm.out else np.where(np.abs(own) > np.abs(moved), own, moved)
    return rough + moved


def outline_um(edge, low, high, step):
    """Outline from ``low`` to ``high``: place along the edge and height, µm, (n, 2)."""
    at = np.arange(low, high + step, step)
    height = heights_um(edge, at)
    pushed = at.copy()
    for harm in edge.harms:
        if harm.lean or harm.bulge:
            pushed += pushed_um(harm, at, departure(harm, at) / harm.deep_um)
    return np.column_stack([pushed, line_um(edge, at) + height])


def depth_um(edge, harm):
    """Deepest departure of the outline from the sound line within a damage, µm."""
    at = harm.at_um + harm.reach_um * np.linspace(-0.5, 0.5, 1001)
    height = heights_um(edge, at)
    return float(height.max() if harm.out else -height.min())


def _broken(harm, at):
    """Roughness of the broken face, µm."""
    if harm.kind == "roll":
        return np.zeros_like(at)
    rng = np.random.default_rng(harm.seed + 1)
    knots = np.linspace(-1, 1, 41)
    height = rng.standard_normal(41) * min(BREAK_SHARE * harm.deep_um, BREAK_MOST_UM)
    return np.interp(2 * (at - harm.at_um) / harm.reach_um, knots, height)
