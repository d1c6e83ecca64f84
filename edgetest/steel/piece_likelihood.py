"""How likely is all that was seen of a piece as found, and of each of its heats?"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import ndtr

from edgetest.steel.further_tempers import USUAL_TEMPER_MIN, tempers_left
from edgetest.steel.instrument_clashes import read_up
from edgetest.steel.reading_likelihood import bins_of, pooled, reading_likelihood
from edgetest.steel.steel_nodes import (
    ALLOYED,
    CASED,
    DONE,
    SteelNodes,
    done_chances,
    done_hrc,
    quenched_hrc,
    temper_kept,
)
from edgetest.steel.steel_seen import BESIDE_ONE, OLD_CRACK, HeatSeen, PieceSeen, TrialSeen
from edgetest.steel.steel_tables import STEELS, SteelTables
from edgetest.steel.surely import high_of, low_of, of_place

BIN_EDGES = (30.0, 45.0, 57.0)  # of the rows for hardness as found and for the break
FOUND_BINS = ("under_30", "to_45", "to_57", "over_57")
SCALE_ENDS = (-20.0, *BIN_EDGES, 80.0)
MEAN_LAB_SPREAD = 0.5  # of a steel's own spread in carbon, between two nodes of it
CRACKED_MOST = 0.9
# Chance that a trial says nothing of the steel (edge angle, wire edge, a soft skin at the
# apex), and what it shows then: a bad edge seldom outlives a good one. Our choice, no source.
WRONG_TRIAL = 0.08
SHOWN_WRONGLY = {"better": 0.05, "same": 0.15, "worse": 0.8}
LOW_CARBON = np.isin(STEELS, ("plain_low", "low_alloy_low", "wrought_iron",
                               "stainless_not_hardening"))  # fmt: skip
SAME_FROM, SAME_TO = 0.85, 1.15  # of the known life; what a maker calls the same, our choice
LIFE_Z = np.linspace(-2.5, 2.5, 9)  # of a steel's own spread in life
LIFE_W = np.exp(-0.5 * LIFE_Z**2) / np.exp(-0.5 * LIFE_Z**2).sum()


def found_log_likelihood(piece: PieceSeen, tables: SteelTables):
    """Log likelihood of what was seen of the piece as found, shape (steels,).

    Sparks, stream and forging hang together, so of several only a share counts as new; an
    analysis by a laboratory stands in the place of sparks and stream.
    """
    log_l = np.zeros(len(STEELS))
    for section, word in (("magnet", piece.magnet), ("fracture", piece.fracture)):
        if word is not None:
            log_l += np.log(tables.of_steels(section, word))
    soft = [("forging", piece.forging)]
    if piece.carbon_pct is None:
        soft += [("sparks", piece.sparks), ("stream", piece.stream)]
    soft = [(section, word) for section, word in soft if word is not None]
    share = tables.row("soft_evidence", "share")["new"] if len(soft) > 1 else 1.0
    for section, word in soft:
        grades = BESIDE_ONE.get(word or "", (word,))
        log_l += share * np.log(sum(tables.of_steels(section, grade) for grade in grades))
    below, skin = of_place(piece.hardness, "below"), of_place(piece.hardness, "skin")
    loose = of_place(piece.hardness, "not_stated")
    of_skin = tables.row("skin", "not_stated")["of_skin"]
    for readings, w in ((below, 0.0), (skin, 1.0), (loose, of_skin)):
        if readings:
            inner, outer = (
                _found_hardness(readings, tables, name) for name in ("found_below", "found_skin")
            )
            log_l += np.log(w * outer + (1 - w) * inner)
    return log_l


def _found_hardness(readings, tables, section):
    """Chance of a hardness as found, by steel: the shares of the bins that it overlaps."""
    bins = np.stack([tables.of_steels(section, word) for word in FOUND_BINS], axis=-1)
    each = []
    for one in pooled(readings):
        u = one.u_hrc if not one.by_files else 1.0
        low, high = max(low_of(one), SCALE_ENDS[0]) - u, min(high_of(one), SCALE_ENDS[-1]) + u
        lows, highs = np.array(SCALE_ENDS[:-1]), np.array(SCALE_ENDS[1:])
        lap = np.clip(np.minimum(high, highs) - np.maximum(low, lows), 0, None)
        width = np.clip(np.minimum(highs, 67.0) - np.maximum(lows, 15.0), 1, None)
        each.append(bins @ np.minimum(lap / width, 1.0))
    return np.mean(each, axis=0)


def carbon_log_likelihood(piece: PieceSeen, nodes: SteelNodes, tables: SteelTables):
    """Log likelihood of a laboratory's carbon, shape (nodes,)."""
    if piece.carbon_pct is None:
        return np.zeros(nodes.steel.size)
    spread = MEAN_LAB_SPREAD * nodes.spread(tables.of_steels("steels", "carbon_sd_pct"))
    u = np.hypot(piece.carbon_u_pct, spread)
    wrong = tables.row("reading", "wrong")["chance"]
    z = (piece.carbon_pct - nodes.carbon_pct) / u
    return np.log((1 - wrong) * np.exp(-0.5 * z * z) / u + wrong)


@dataclass(frozen=True)
class HeatChances:
    """Likelihood of one heat's record by what was done, shape (done, nodes, biases, lives).

    `quenched` (nodes, biases) is that of the coupon as it was quenched, tempers and trials left
    out, summed over what was done.
    """

    heat: HeatSeen
    by_done: np.ndarray
    quenched: np.ndarray

    @cached_property
    def total(self):
        """Summed over what was done, shape (nodes, biases, lives)."""
        return self.by_done.sum(axis=0)

    @cached_property
    def log_total(self):
        """Its logarithm."""
        return np.log(self.total)


def heat_chances(heat: HeatSeen, trials, nodes: SteelNodes, tables: SteelTables):
    """Likelihood of a heat with its readings, break, tempers and trials.

    Parameters
    ----------
    heat : HeatSeen
    trials : sequence of TrialSeen
        Of blades that went through this heat.

    Returns
    -------
    HeatChances
    """
    mean, sd = done_hrc(nodes, tables, quenched_hrc(nodes, tables, heat.medium, heat.section_mm))
    chance = done_chances(heat, tables)[:, nodes.steel]
    for i, done in enumerate(DONE):
        if heat.grain is not None:
            chance[i] *= tables.chances("grain", done)[heat.grain]
    if heat.fracture not in (None, OLD_CRACK):
        rows = ("under_30", "to_45", "to_57", "from_57")
        breaks = np.array([tables.chances("break", row)[heat.fracture] for row in rows])
        chance *= bins_of(mean, sd, BIN_EDGES) @ breaks
    if heat.cracked is not None:
        chance *= _cracking(heat, nodes, tables)
    cased = _case_hrc(heat, mean, sd, nodes, tables)
    found = chance[:, :, None] * _places(heat.hardness, mean, sd, cased, tables)
    quenched = found.sum(axis=0)
    tempers = _weighed_tempers(heat)
    for temper, left in tempers:
        hours = left.repeats * (left.time_min or USUAL_TEMPER_MIN) / 60
        kept, spread = temper_kept(tables, left.temperature_c, hours)
        kept, spread = nodes.spread(kept), nodes.spread(spread)
        case = kept * cased[0], np.hypot(cased[1], spread)
        own = _places(temper.hardness, kept * mean, np.hypot(sd, spread), case, tables)
        found = found * own ** (min(len(tempers), 2) / len(tempers))
    found = found[..., None]
    if any(trial.edge is not None for trial in trials):
        soft = _soft_edge(heat, (mean, sd), cased, nodes, tables)
    else:
        soft = np.zeros(mean.shape)
    for trial in trials:
        found = found * trial_likelihood(trial, soft, nodes, tables)
    return HeatChances(heat, found, quenched)


def _weighed_tempers(heat):
    """Tempers that were read, each with what left the steel so; none of a reading in doubt."""
    doubted = [temper for temper, _ in read_up(heat)]
    return [
        (temper, left)
        for temper, left in tempers_left(heat)
        if temper.hardness and temper.temperature_c and temper not in doubted
    ]


def _cracking(heat, nodes, tables):
    """Chance of a crack, or of none, by what was done; several coupons count as one."""
    times = tables.row("crack", "times")
    by_steel = np.where(LOW_CARBON, times["low_carbon"], np.where(ALLOYED, times["alloy"], 1.0))
    chance = tables.row("crack", heat.medium or "oil")["chance"] * nodes.spread(by_steel)
    hot = np.where(np.array(DONE) == "too_hot", times["too_hot"], 1.0)
    chance = np.minimum(hot[:, None] * chance, CRACKED_MOST)
    return chance if heat.cracked else 1 - chance


def _case_hrc(heat, mean, sd, nodes, tables):
    """Hardness of the skin where it keeps its carbon, and its spread: of a case, else as inside.

    A case on plain or low-alloy steel does not harden in still air.
    """
    case = tables.row("skin", "case")
    hardened = (np.array(DONE) != "too_cold")[:, None] & (nodes.steel == CASED)
    hardened = hardened & (heat.medium != "air")
    return np.where(hardened, case["hrc"], mean), np.where(hardened, case["spread_hrc"], sd)


def _places(readings, mean, sd, cased, tables):
    """Likelihood of readings on skin, below it and with no place told, (done, nodes, biases).

    `cased` is the hardness of a skin that lost no carbon, and its spread.
    """
    found = np.ones((*mean.shape, 1))
    if not readings:
        return found
    case_hrc, case_sd = cased
    skin = tables.row("skin", "decarburised")
    case = tables.row("skin", "case")
    below, top, loose = (of_place(readings, place) for place in ("below", "skin", "not_stated"))
    of_skin = tables.row("skin", "not_stated")["of_skin"]
    outer = np.maximum(mean - skin["softer_hrc"], 10.0)
    outer_sd = np.hypot(sd, skin["spread_hrc"])
    if below:
        inside = reading_likelihood(below, mean, sd, tables)
        deep = reading_likelihood(below, case_hrc, case_sd, tables)
        found = found * ((1 - case["deeper"]) * inside + case["deeper"] * deep)
    # With no place told, two readings that differ may be one of the skin and one below it.
    for own, w in ((top, 1.0), *(((one,), of_skin) for one in pooled(loose))):
        if not own:
            continue
        sound = reading_likelihood(own, case_hrc, case_sd, tables)
        soft = reading_likelihood(own, outer, outer_sd, tables)
        on_skin = (1 - skin["chance"]) * sound + skin["chance"] * soft
        inside = reading_likelihood(own, mean, sd, tables) if w < 1 else 0.0
        found = found * (w * on_skin + (1 - w) * inside)
    return found


def _shown_wrongly(trial):
    """Chance of a trial's result where it says nothing of the steel."""
    if trial.life_ratio is None:
        return SHOWN_WRONGLY.get(trial.result, 1.0)
    word = "worse" if trial.life_ratio < SAME_FROM else "same"
    return SHOWN_WRONGLY["better" if trial.life_ratio > SAME_TO else word]


def _soft_edge(heat, inside, cased, nodes, tables):
    """Chance that a blade of the heat has a soft edge as tempered, shape (done, nodes).

    A case that goes deeper than the grinding is the edge; else the edge is the steel inside.
    """
    kept = np.ones(nodes.steel.size)
    for temper in heat.tempers:
        if temper.temperature_c:
            hours = temper.repeats * (temper.time_min or USUAL_TEMPER_MIN) / 60
            left, _ = temper_kept(tables, temper.temperature_c, hours)
            kept = np.minimum(kept, nodes.spread(left))
    row, deeper = tables.row("soft_edge", "under"), tables.row("skin", "case")["deeper"]
    core, case = (
        ndtr((row["hrc"] - kept * hrc) / np.hypot(sd, row["spread_hrc"]))
        for hrc, sd in (inside, cased)
    )
    return np.where(nodes.steel == CASED, (1 - deeper) * core + deeper * case, core)


def trial_likelihood(trial: TrialSeen, soft, nodes: SteelNodes, tables: SteelTables):
    """Likelihood of a trial's outcome, shape (done, nodes, 1, lives).

    `soft` is the chance of a soft edge, shape (done, nodes): it gives out as after a cold heat,
    whatever was done.

    The life of a steel beside the known blade is lognormal about its row; what was done in
    the heat shortens it, and one trial has a spread of its own.
    """
    ratio = nodes.spread(tables.of_steels("life", "ratio"))
    spread = nodes.spread(tables.of_steels("life", "spread"))
    factor = np.array([tables.row("life_heat", done)["ratio"] for done in DONE])
    own = np.log(ratio)[:, None] + spread[:, None] * LIFE_Z
    mean = np.log(factor)[:, None, None] + own
    once = tables.row("life_heat", "trial")["spread"]
    found = np.ones(mean.shape)
    if trial.trial in ("rope", "chop"):
        if trial.life_ratio is not None:
            s = np.hypot(once, trial.life_ratio_log_u or 0.0)
            found = np.exp(-0.5 * ((np.log(trial.life_ratio) - mean) / s) ** 2)
        elif trial.result is not None:
            low, high = bins_of(
                mean, np.full(mean.shape, once), (np.log(SAME_FROM), np.log(SAME_TO))
            )[..., [0, 2]].transpose(3, 0, 1, 2)
            found = {"worse": low, "better": high}.get(trial.result, 1 - low - high)
        found = (1 - WRONG_TRIAL) * found + WRONG_TRIAL * _shown_wrongly(trial)
    if trial.edge is not None:
        edges = np.array([tables.chances("edge", done)[trial.edge] for done in DONE])
        of_soft = tables.chances("edge", "too_cold")[trial.edge]
        found = found * ((1 - soft) * edges[:, None] + soft * of_soft)[..., None]
    return found[:, :, None, :]
