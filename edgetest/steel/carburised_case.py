"""The carburised case against the grind: how deep, how hard, and how much may come off."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.case_doubts import case_doubts
from edgetest.steel.case_result import CaseResult
from edgetest.steel.conversion import SOFTEST_HRC
from edgetest.steel.diffusion import diffusivity, plate_grid
from edgetest.steel.heat_schedule import depth_to_carbon, run_schedule, wholly_austenite
from edgetest.steel.martensite import RELATION_SD_HRC
from edgetest.steel.pack import AS_PUBLISHED, of_samples
from edgetest.steel.phase_limits import A1_C
from edgetest.steel.retained_austenite import MS_SD_C, after_quench
from edgetest.steel.wanted_edge import USUAL_EDGE

SAMPLE_STEPS = 16  # within 4e-4 % carbon of 400 steps, far below what the samples spread


class _Samples(NamedTuple):
    """What every sample of the Monte Carlo came to, across the section: (samples, nodes)."""

    carbon: np.ndarray
    quenched: np.ndarray  # HRC
    tempered: np.ndarray  # HRC
    austenite: np.ndarray  # share
    by_carbon: np.ndarray  # HRC after the temper, were no austenite to stay


def solve_case(
    schedule,
    plate,
    *,
    wanted=USUAL_EDGE,
    known=AS_PUBLISHED,
    samples=1000,
    nodes=200,
    level=0.95,
    rng,
):
    """Carbon and hardness across a section after heats and grinding, by Monte Carlo.

    The schedule is solved for every sample of the thermometer's error (shared by all
    heats), the surface carbon of the pack, the core's carbon, and the published
    diffusivity (each set equally likely). Every sample has its own steel's deviation from
    the relation of hardness and carbon, its own start of martensite and softening by the
    temper; intervals are quantiles of the samples. The steel is quenched from the last heat.

    Parameters
    ----------
    schedule : sequence of Heat
        In the order done: pack, thermal cycles, the heat for the quench.
    plate : Plate
        The section when the heats were done, and what was ground off it after.
    wanted : WantedEdge
        Hardness wanted of the edge, and the temper after which.
    known : PackKnowledge
        Published sets, calibration, and standard uncertainties of the pack.
    samples, nodes : int
        Size of the Monte Carlo and of the grid.
    level : float
        Coverage of the intervals.
    rng : numpy.random.Generator

    Returns
    -------
    CaseResult
        Least carbon and hardness of the finished section (a symmetric edge ends in its
        middle), carbon of the ground faces, depth to which its carbon makes it hard, the
        least grind that clears a decarburised skin and the greatest that leaves such carbon.

    Raises
    ------
    UnusableInput
        If no heat of the schedule reaches austenite, a pack leaves the core partly ferrite or
        melts the case, or no carbon gives the hardness wanted.
    """
    heats = tuple(schedule)
    if not heats:
        raise UnusableInput("no heat given", "schedule", "give at least the pack heat")
    if not any(heat.is_austenite for heat in heats):
        what = f"no heat reaches {A1_C:g} °C: no carbon moves, and nothing hardens"
        raise UnusableInput(what, f"{heats[0].place}, temperature_c", "give the heat of the pack")
    _refuse_cold_packs(heats, plate.core_pct)
    target_pct = wanted.carbon_pct
    x = plate_grid(plate.thickness_mm, nodes).centres_mm
    carbon, which, shift_c = _sample_carbon(heats, plate, known, samples, nodes, rng)
    found = _hardened(carbon, heats, shift_c, wanted, rng)

    one_sided = any(h.surface == "carburising" and h.faces == 1 for h in heats)
    reach = plate.thickness_mm if one_sided else plate.thickness_mm / 2
    depth = depth_to_carbon(x, found.by_carbon, wanted.hardness_hrc, reach)
    skin = _soft_skin(x, found.by_carbon, wanted.hardness_hrc, reach)
    left = _Left(x, plate.ground_mm)
    edge, faces = left.least(carbon), left.faces(carbon).min(axis=1)
    hard = left.least(found.tempered) >= wanted.hardness_hrc
    faces_hard = (left.faces(found.tempered) >= wanted.hardness_hrc).all(axis=1)
    shares = [0.5 - level / 2, 0.5, 0.5 + level / 2]
    bands = [np.quantile(rows, shares, axis=0) for rows in found[:4]]
    result = CaseResult(
        heats=heats,
        plate=plate,
        wanted=wanted,
        target_pct=float(target_pct),
        case_depth_mm=_estimate(depth, "mm", level),
        soft_skin_mm=_estimate(skin, "mm", level),
        edge_carbon_pct=_estimate(edge, "% C", level),
        face_carbon_pct=_estimate(faces, "% C", level),
        edge_hardness_hrc=_estimate(left.least(found.quenched), "HRC", level),
        edge_tempered_hrc=_estimate(left.least(found.tempered), "HRC", level),
        retained_austenite_pct=_estimate(100 * left.most(found.austenite), "%", level),
        probability_edge_hard=float(np.mean(hard)),
        probability_faces_hard=float(np.mean(faces_hard)),
        probability_through=float(np.mean(depth >= reach)),
        by_diffusivity=_by_diffusivity(known, which, depth, edge),
        known=known,
        samples=samples,
        level=level,
        doubts=(),
        depth_mm=x,
        carbon_pct=bands[0],
        hardness_hrc=bands[1],
        tempered_hrc=bands[2],
        austenite_pct=100 * bands[3],
        edge_carbon_samples=edge,
    )
    return result.with_doubts(case_doubts(result))


def _refuse_cold_packs(heats, core_pct):
    """Refuse a pack between A1 and A3 of its core; below A1 the carbon stands still."""
    for heat in heats:
        if heat.surface == "carburising" and heat.moves_carbon:
            wholly_austenite(heat.temperature_c, core_pct, f"{heat.place}, temperature_c")


def _estimate(sample, unit, level):
    """Median and interval of a sample; open below where the Rockwell scale ends."""
    found = of_samples(sample, unit, level)
    if unit != "HRC" or found.low > SOFTEST_HRC:
        return found
    return replace(found, low=-np.inf)  # how much softer, the scale cannot say


def _by_diffusivity(known, which, depth, edge):
    """Medians of case depth and least carbon under each published set."""
    depths, edges = known.medians(depth, which), known.medians(edge, which)
    return {
        name: {"case_depth_mm": depths[name], "edge_carbon_pct": edges[name]}
        for name in known.diffusivities
    }


def _sample_carbon(heats, plate, known, samples, nodes, rng):
    """Carbon of every sample, which diffusivity each was run with, and its thermometer's error."""
    grid = plate_grid(plate.thickness_mm, nodes)
    draws, which = known.draw(samples, rng, plate.core_pct, plate.core_sd_pct)
    carbon = np.empty((samples, nodes))
    for i, name in enumerate(known.diffusivities):
        own = which == i
        carbon[own] = run_schedule(
            diffusivity(name), heats, grid, draws.of(own), SAMPLE_STEPS, plate.skin_mm
        )
    return carbon, which, draws.shift_c


def _hardened(carbon, heats, shift_c, wanted, rng):
    """Every sample quenched from its last heat and tempered."""
    samples = shift_c.size
    steel, start, soft = (rng.standard_normal((samples, 1)) for _ in range(3))
    last = next(heat.temperature_c for heat in reversed(heats) if heat.is_austenite)
    quench_c = last + shift_c[:, None]
    quenched, austenite, by_carbon = after_quench(
        carbon, quench_c, MS_SD_C * start, RELATION_SD_HRC * steel
    )
    middle, sd = wanted.softening_hrc
    lost = np.maximum(middle + sd * soft, 0.0)
    tempered, by_carbon = (np.maximum(hrc - lost, SOFTEST_HRC) for hrc in (quenched, by_carbon))
    return _Samples(carbon, quenched, tempered, austenite, by_carbon)


def _soft_skin(x, hrc, wanted_hrc, reach_mm):
    """Depth of a skin soft for want of carbon above a case that is hard; 0 where none."""
    inside = x <= reach_mm
    enough = hrc[:, inside] >= wanted_hrc
    return np.where(enough.any(axis=1) & ~enough[:, 0], x[inside][enough.argmax(axis=1)], 0.0)


class _Left:
    """The section that the grinder leaves: its places and its two faces."""

    def __init__(self, x, ground_mm):
        self.x, self.ground = x, ground_mm
        self.inside = (x >= ground_mm[0]) & (x <= ground_mm[1])

    def faces(self, rows):
        """Each sample at the two faces; (samples, 2)."""
        return np.array([np.interp(self.ground, self.x, row) for row in rows])

    def least(self, rows):
        """Least of each sample anywhere in the section left."""
        return np.concatenate([rows[:, self.inside], self.faces(rows)], axis=1).min(axis=1)

    def most(self, rows):
        """Most of each sample anywhere in the section left."""
        return np.concatenate([rows[:, self.inside], self.faces(rows)], axis=1).max(axis=1)
