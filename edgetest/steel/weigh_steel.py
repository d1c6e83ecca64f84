"""What may the piece be, and what was done in each heat: chances from all that was seen."""

from dataclasses import dataclass
from functools import partial

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.fit_for_use import fitness, kept_back
from edgetest.steel.heap_share import heap_share
from edgetest.steel.heats_once import merged
from edgetest.steel.one_or_several import PieceUnit, log_sum, one_or_several
from edgetest.steel.own_pieces import learned_prior
from edgetest.steel.piece_likelihood import (
    LIFE_W,
    HeatChances,
    carbon_log_likelihood,
    found_log_likelihood,
    heat_chances,
)
from edgetest.steel.reading_likelihood import BIAS_W
from edgetest.steel.steel_nodes import DONE, SteelNodes, steel_nodes
from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen
from edgetest.steel.steel_tables import EXPLANATIONS, MIXED, STEELS, SteelTables
from edgetest.steel.surely import HARD_FROM_HRC
from edgetest.steel.trials_once import blades_counted, trials_once
from edgetest.steel.tried_blades import tells_of_edge

FAMILIES = {
    "hard_edge": ("plain_high", "low_alloy_high"),
    "tough_edge": ("plain_medium", "low_alloy_medium"),
    "special_heat": ("air_hardening", "stainless_hardening"),
    "case_only": ("plain_low", "low_alloy_low", "wrought_iron"),
    "no_edge": ("cast_iron", "stainless_not_hardening"),
    "sort_first": ("surface_hardened", MIXED),
    "unknown": ("something_else",),
}
LEAST_FAMILY = 0.6  # below, the evidence cannot say; our choice
EDGES = ("hard_edge", "tough_edge")


@dataclass(frozen=True)
class HeatBelief:
    """What was done in one heat: chances of right, too cold, too hot and too short.

    `missed` is the chance that the heat was too cold or too short for a steel that hardens.
    """

    piece: str
    coupon: str
    heat: int
    chances: dict[str, float]
    missed: float

    def to_dict(self):
        """Plain values for JSON."""
        return {**vars(self), "chances": dict(self.chances)}


@dataclass(frozen=True)
class SteelBelief:
    """Chances of the explanations of one piece, of its heats, and of being fit for the use.

    `chance_fit` and `chance_light` are None where nothing was seen of the piece. `fit_between`
    is the 80 % interval of the first by how good the heap may be that it comes from.
    """

    piece: str | None
    explanations: dict[str, float]
    families: dict[str, float]
    heats: tuple[HeatBelief, ...]
    chance_fit: float | None
    chance_light: float | None
    fit_between: tuple[float, float] | None = None

    @property
    def family(self):
        """The likeliest family of use; "unknown" where none is likely enough.

        Hard and tough edges are neighbours on one scale of carbon: together they count, once
        a coupon was quenched.
        """
        best = max(self.families, key=lambda code: self.families[code])
        alike = EDGES if best in EDGES and self.heats else (best,)
        return best if sum(self.families[code] for code in alike) >= LEAST_FAMILY else "unknown"

    def heat(self, heat: HeatSeen):
        """What is believed of one heat of the piece."""
        return next(h for h in self.heats if (h.coupon, h.heat) == (heat.coupon, heat.heat))


def anything_seen(seen: SteelSeen, piece: PieceSeen):
    """Whether anything was looked at of a piece; what it was and how much of it do not count."""
    looked = (
        piece.magnet, piece.sparks, piece.stream, piece.forging, piece.fracture, piece.carbon_pct,
    )  # fmt: skip
    spoken = any(h.piece == piece.id for h in seen.heats)
    spoken = spoken or any(t.piece == piece.id for t in seen.trials)
    return spoken or bool(piece.hardness) or any(one is not None for one in looked)


def weigh_steel(seen: SteelSeen, tables: SteelTables, *, piece: str | None = None) -> SteelBelief:
    """Weigh what a piece may be, by Bayes' rule on a grid of explanations.

    Exact sums over explanation, carbon, hardenability, one bias shared by all readings, skin,
    what was done in each heat, and the steel's own life where a trial was run. The same
    coupon entered twice counts once. Sister pieces of a lot are one steel or, with the chance
    of the tables, each its own; so are the coupons of a single piece.

    Parameters
    ----------
    seen : SteelSeen
    tables : SteelTables
    piece : str or None
        The piece asked about; the first where left out.

    Returns
    -------
    SteelBelief

    Raises
    ------
    UnusableInput
        If the piece is not among those seen.
    """
    about = _asked(seen, piece)
    nodes = nodes_of(tables)
    own = _unit(seen, about, tables)
    prior, post, mixed = tables.once(("post", about.id), lambda: _post(seen, about, tables))
    fit, light = _fit_of_lot(seen, about, mixed, partial(fitness, seen, post, nodes, tables))
    before, _ = fitness(seen, None, nodes, tables)
    by_node = post.sum(axis=(1, 2))
    heap = tables.once(("heap", about.origin), lambda: _heap(seen, about.origin, tables))
    found = heap.posterior(by_node, fit, float(prior @ before))
    post = post * (found.nodes / np.maximum(by_node, 1e-300))[:, None, None]
    explanations = _explanations(found.nodes, mixed, nodes)
    chance, lesser = kept_back(found.chance), kept_back(float(found.nodes @ light))
    return SteelBelief(
        piece=about.id,
        explanations=explanations,
        families={f: sum(explanations[e] for e in codes) for f, codes in FAMILIES.items()},
        heats=tuple(_heat_belief(one, post, nodes) for one in own.heats),
        chance_fit=chance if own.seen else None,
        chance_light=max(chance, lesser) if own.seen else None,
        fit_between=tuple(map(kept_back, found.between)) if own.seen else None,
    )


def _fit_of_lot(seen, about, mixed, fitness_of):
    """Chance that each node serves, blades of the lot counted as far as it is one steel."""
    own = np.array(blades_counted(*_own_work(seen, about)))
    every = own + sum(np.array(blades_counted(*_own_work(seen, p))) for p in _sisters(seen, about))
    alone = fitness_of(blades=own)
    if (own == every).all():
        return alone
    return (1 - mixed) * fitness_of(blades=every) + mixed * alone


def _sisters(seen, about):
    """The other pieces of its lot."""
    return [p for p in seen.pieces if p.lot and p.lot == about.lot and p.id != about.id]


def _post(seen, about, tables):
    """Prior of the nodes, posterior of nodes, biases and lives, chance of a mixed lot."""
    nodes = nodes_of(tables)
    units = [_unit(seen, one, tables) for one in (about, *_sisters(seen, about))]
    units = [units[0], *(unit for unit in units[1:] if unit.seen)]
    prior = nodes.spread(learned_prior(tables, about.origin)[0]) * nodes.weight
    log_prior = np.log(prior)[:, None, None] + np.log(BIAS_W)[:, None]
    log_prior = log_prior + (np.log(LIFE_W) if units[0].lives else 0.0)
    log_post, mixed = one_or_several(units, log_prior, tables)
    return prior, np.exp(log_post - log_sum(log_post)), mixed


def _asked(seen, piece):
    """The piece asked about; one of which nothing is known where there is none."""
    about = seen.asked(piece)
    if about is None and piece is not None:
        known = ", ".join(one.id for one in seen.pieces)
        mend = f"known: {known}" if known else "add it to [[evidence.pieces]]"
        raise UnusableInput(f'piece "{piece}" is not in the evidence', "piece", mend)
    return about or PieceSeen("1")


def _explanations(by_node, mixed, nodes):
    """Chance of every explanation, in their order."""
    by_steel = np.bincount(nodes.steel, by_node, len(STEELS)) * (1 - mixed)
    chances = {**dict(zip(STEELS, by_steel.tolist(), strict=True)), MIXED: mixed}
    return {code: chances[code] for code in EXPLANATIONS}


_KEPT_NODES: dict[int, tuple[SteelTables, SteelNodes]] = {}


def nodes_of(tables: SteelTables) -> SteelNodes:
    """The nodes of some tables, made once for each set of rows on the steels."""
    if tables.recording:
        return tables.once("nodes", lambda: steel_nodes(tables))
    return tables.once("nodes", lambda: _nodes_by_rows(tables))


def _nodes_by_rows(tables: SteelTables) -> SteelNodes:
    key = id(tables.numbers["steels"])
    kept = _KEPT_NODES.get(key)
    if kept is None or kept[0].numbers["steels"] is not tables.numbers["steels"]:
        _KEPT_NODES.clear()
        kept = _KEPT_NODES[key] = (tables, steel_nodes(tables))
    return kept[1]


def _heap(seen, origin, tables):
    """What the shop's own pieces teach of its heap, by the fitness of each steel."""
    nodes = nodes_of(tables)
    before, _ = fitness(seen, None, nodes, tables)
    of_steel = np.bincount(nodes.steel, before * nodes.weight, len(STEELS))
    return heap_share(tables, origin, of_steel)


def _own_work(seen, piece):
    """Trials and heats of a piece as it is, without those of a pack."""
    own = (t for t in seen.trials if t.piece == piece.id and not t.carburised)
    trials = [trial for trial in own if tells_of_edge(trial)]
    return trials, merged(h for h in seen.heats if h.piece == piece.id and not h.carburised)


def _unit(seen, piece, tables):
    """The likelihoods of one piece; trials with no heat of their own go with a heat not told."""
    trials, heats = _own_work(seen, piece)
    trials, places = trials_once(trials), {(h.coupon, h.heat) for h in heats}
    if trials and not heats:
        heats = [HeatSeen(piece.id)]
    last = (heats[-1].coupon, heats[-1].heat) if heats else None
    found = tables.once(("found", piece.id), lambda: _found(piece, tables))
    chances = []
    for heat in heats:
        at = (heat.coupon, heat.heat)
        own = [t for t in trials if (t.heat if t.heat in places else last) == at]
        part = partial(_of_heat, heat, own, tables)
        chances.append(tables.once(("heat", piece.id, *at), part))
    return PieceUnit(found, tuple(chances), bool(trials), anything_seen(seen, piece))


def _found(piece, tables):
    nodes = nodes_of(tables)
    found = found_log_likelihood(piece, tables)[nodes.steel]
    return found + carbon_log_likelihood(piece, nodes, tables)


def _of_heat(heat, trials, tables):
    return heat_chances(heat, trials, nodes_of(tables), tables)


def _heat_belief(one: HeatChances, post, nodes):
    """Chances of what was done in a heat, summed over every steel."""
    by_node = (one.by_done / one.total * post).sum(axis=(2, 3))
    by_node = by_node / by_node.sum()
    heat = one.heat
    chances = dict(zip(DONE, by_node.sum(axis=1).tolist(), strict=True))
    lost = by_node[DONE.index("too_cold")] + by_node[DONE.index("too_short")]
    missed = float(lost[nodes.full_hrc >= HARD_FROM_HRC].sum())
    return HeatBelief(heat.piece, heat.coupon, heat.heat, chances, missed)
