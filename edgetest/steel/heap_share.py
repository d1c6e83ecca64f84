"""How good is the heap that the shop picks from? What its settled pieces of any origin teach.

A hierarchical model: all pieces of one heap share a shift of the log-odds of being fit, normal
about zero before any piece is settled; its posterior is summed over a grid.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit, logit

from edgetest.steel.own_pieces import FIT, UNFIT, weights_of
from edgetest.steel.steel_tables import STEELS, SteelTables

# Spread between heaps of the log-odds of being fit. Five simulated worlds, even seeds: of 0.8, 1.0
# and 1.2 the last gave the least error with 20 settled pieces.
HEAP_SD = 1.2
SHIFT = np.linspace(-3.0, 3.0, 41) * HEAP_SD
LEVEL_Z = 1.28  # 80 % of heaps lie within so many spreads
LEAST = 1e-4  # a chance nearer 0 or 1 than this is not told


@dataclass(frozen=True)
class InHeap:
    """Chances of the nodes (nodes,), of being fit, and its 80 % interval by what the heap is."""

    nodes: np.ndarray
    chance: float
    between: tuple[float, float]


@dataclass(frozen=True)
class HeapShare:
    """Chances of the shifts of a heap, and how many settled pieces they rest on."""

    weight: np.ndarray  # of each of SHIFT
    pieces: float

    def posterior(self, post, fit, usual) -> "InHeap":
        """Chances of the nodes, and of being fit, summed over what the heap may be.

        With no piece settled the chance is that of a usual heap, and only its interval is wide.

        Parameters
        ----------
        post, fit
            (nodes,) chance of each node in a usual heap, and of being fit where it is that one.
        usual : float
            Chance of being fit before any look, in a usual heap.
        """
        chance = float(np.clip(post @ fit, LEAST, 1 - LEAST))
        if not self.pieces:
            ends = expit(logit(chance) + np.array([-1, 1]) * LEVEL_Z * HEAP_SD)
            return InHeap(post, float(post @ fit), (float(ends[0]), float(ends[1])))
        times = np.exp(SHIFT)
        weight = self.weight * (1 - chance + chance * times) / (1 - usual + usual * times)
        weight = weight / weight.sum()
        by_shift = expit(logit(chance) + SHIFT)
        share = float(weight @ by_shift)
        # Within fit and within unfit the nodes keep their chances.
        nodes = post * (fit * share / chance + (1 - fit) * (1 - share) / (1 - chance))
        ends = np.interp([0.1, 0.9], np.cumsum(weight), by_shift)
        return InHeap(nodes / nodes.sum(), share, (float(ends[0]), float(ends[1])))


def heap_share(tables: SteelTables, origin, fit_of_steel) -> HeapShare:
    """What the shop's own pieces of other origins teach of its heap.

    Those of the same origin stand in its prior already.

    Parameters
    ----------
    tables : SteelTables
    origin : str
        Of the piece asked about.
    fit_of_steel : ndarray, shape (steels,)
        Chance that each steel is fit for the use.
    """
    own = [one for one in tables.own if one.origin != origin]
    log_w = -0.5 * (SHIFT / HEAP_SD) ** 2
    weights = weights_of(own, tables.row("mixed", "lot")["chance"])
    for one, count in zip(own, weights, strict=True):
        usual = float(np.clip(tables.prior(one.origin) @ fit_of_steel, LEAST, 1 - LEAST))
        known = {FIT: 1.0, UNFIT: 0.0}
        fit = known.get(one.turned_out)
        fit = float(fit_of_steel[STEELS.index(one.turned_out)]) if fit is None else fit
        times = np.exp(SHIFT)
        log_w += count * np.log((1 - fit + fit * times) / (1 - usual + usual * times))
    weight = np.exp(log_w - log_w.max())
    return HeapShare(weight / weight.sum(), float(sum(weights)))
