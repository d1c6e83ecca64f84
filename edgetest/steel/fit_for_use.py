"""Would a blade of this steel serve the use, treated rightly? The chance of every node."""

import numpy as np
from scipy.special import ndtr

from edgetest.steel.piece_likelihood import LIFE_Z
from edgetest.steel.steel_nodes import SteelNodes, quenched_hrc, temper_kept
from edgetest.steel.steel_seen import SteelSeen

# Hardness after the temper that a use wants, HRC; common practice, no source.
WANTED_HRC = {
    "chopper": (55.0, 61.0),
    "hedging_tool": (52.0, 59.0),
    "knife": (57.0, 63.0),
    "chisel": (57.0, 63.0),
}
USUAL_WANTED_HRC = (57.0, 62.0)
LEAST_LIFE = 0.8  # of the known blade's
EDGE_MM = 4.0  # section of a blade at the quench; common practice
LOWEST_TEMPER_C = 150.0  # nothing is used untempered; common practice
LIGHT_LESS_HRC = 5.0  # below the wanted range a light tool still serves; common practice
# Share of trial blades that stood, of fit and of unfit steel; five simulated worlds, even seeds.
STANDS_FIT, STANDS_UNFIT = 0.7, 0.1
# Share of the answer kept back for what no table knows; measured in the worlds of
# tests/benchmarks/steel_worlds, even seeds.
KEPT_BACK = 0.02


def wanted_hrc(seen: SteelSeen):
    """Hardness wanted after the temper, HRC: as stated, else by the use."""
    return seen.wanted_hrc or WANTED_HRC.get(seen.use or "", USUAL_WANTED_HRC)


def fitness(seen, post, nodes: SteelNodes, tables, *, blades=(0, 0)):
    """Chance that each node serves the use, and that it serves a light one; shape (2, nodes).

    `post` holds the chances of nodes, biases and lives; a node never met has its prior life.
    `blades` counts the trial blades that stood and those whose edge gave out: by Bayes' rule they
    move the chance that the steel bears the use and the heat that a forge gives.
    """
    reach, light, borne, lives, ratio, spread = tables.once(
        "fit", lambda: _before(seen, nodes, tables)
    )
    borne = _after_blades(borne, *blades)
    if post is not None and post.shape[2] > 1:
        own = np.log(ratio)[:, None] + spread[:, None] * LIFE_Z
        weight = post.sum(axis=1)
        by_node = weight.sum(axis=1)
        long = ndtr((own - np.log(LEAST_LIFE)) / (spread[:, None] * 0.3))
        lives = np.where(
            by_node > 0, (weight * long).sum(axis=1) / np.maximum(by_node, 1e-300), lives
        )
    return np.stack([reach * borne * lives, light * borne])


def _after_blades(borne, stood, failed):
    """The chance that a steel bears the use, after blades that stood and blades that gave out."""
    odds = (STANDS_FIT / STANDS_UNFIT) ** stood
    odds *= ((1 - STANDS_FIT) / (1 - STANDS_UNFIT)) ** failed
    return borne * odds / (borne * odds + 1 - borne)


def _before(seen, nodes: SteelNodes, tables):
    """What the tables alone say of a node: its edge, a light one, life, its ratio and spread."""
    low, _ = wanted_hrc(seen)
    best = np.maximum(
        quenched_hrc(nodes, tables, "oil", EDGE_MM), quenched_hrc(nodes, tables, "water", EDGE_MM)
    )
    kept, wide = temper_kept(tables, LOWEST_TEMPER_C, 1.0)
    after = best * nodes.spread(kept)
    sd = np.hypot(nodes.spread(tables.of_steels("steels", "spread_hrc")), nodes.spread(wide) / 2)
    reach, reach_light = ndtr((after - low) / sd), ndtr((after - low + LIGHT_LESS_HRC) / sd)
    forge = nodes.spread(tables.of_steels("forge", "chance"))
    tough = nodes.spread(tables.of_steels("tough", seen.use or "chopper"))
    ratio = nodes.spread(tables.of_steels("life", "ratio"))
    spread = nodes.spread(tables.of_steels("life", "spread"))
    lives = ndtr((np.log(ratio) - np.log(LEAST_LIFE)) / spread)
    return reach, reach_light, forge * tough, lives, ratio, spread


def kept_back(chance):
    """A chance with the share that no table knows put on both sides alike."""
    return KEPT_BACK / 2 + (1 - KEPT_BACK) * chance
