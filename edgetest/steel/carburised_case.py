"""The carburised case against the grind: how deep, how hard, and how much may come off."""

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.case_doubts import case_doubts
from edgetest.steel.case_result import CaseResult
from edgetest.steel.diffusion import diffusivity, plate_grid
from edgetest.steel.heat_schedule import depth_to_carbon, run_schedule, wholly_austenite
from edgetest.steel.martensite import as_quenched_hrc, carbon_for_hardness
from edgetest.steel.pack import AS_PUBLISHED, of_samples
from edgetest.steel.phase_limits import A1_C
from edgetest.steel.usual_pack import HARD_HRC

SAMPLE_STEPS = 16  # off by 2e-4 % carbon from 400 steps, far below what the samples spread


def solve_case(
    schedule,
    plate,
    *,
    target_hrc=HARD_HRC,
    known=AS_PUBLISHED,
    samples=1000,
    nodes=200,
    level=0.95,
    rng,
):
    """Carbon and hardness across a section after heats and grinding, by Monte Carlo.

    The schedule is solved for every sample of the thermometer's error (shared by all
    heats), the surface carbon of the pack, the core's carbon, and the published
    diffusivity (each set equally likely); intervals are quantiles of the samples.

    Parameters
    ----------
    schedule : sequence of Heat
        In the order done: pack, thermal cycles, the heat for the quench.
    plate : Plate
        The section when the heats were done, and what was ground off it after.
    target_hrc : float
        As-quenched hardness wanted of the edge.
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
        middle), carbon of the ground faces, depth to the target, the least grind that
        clears a decarburised skin and the greatest that keeps the face hard.

    Raises
    ------
    UnusableInput
        If the schedule is empty, a pack leaves the core partly ferrite, or no carbon gives
        the hardness wanted.
    """
    heats = tuple(schedule)
    if not heats:
        raise UnusableInput("no heat given", "schedule", "give at least the pack heat")
    for heat in heats:
        if heat.surface == "carburising" and heat.hours and heat.temperature_c >= A1_C:
            wholly_austenite(heat.temperature_c, plate.core_pct, f"{heat.place}, temperature_c")
    target_pct = carbon_for_hardness(target_hrc)
    x = plate_grid(plate.thickness_mm, nodes).centres_mm
    carbon, which = _sample_carbon(heats, plate, known, samples, nodes, rng)

    first, second = plate.ground_mm
    one_sided = any(h.surface == "carburising" and h.faces == 1 for h in heats)
    reach = plate.thickness_mm if one_sided else plate.thickness_mm / 2
    depth = depth_to_carbon(x, carbon, target_pct, reach)
    ends = np.array([np.interp((first, second), x, row) for row in carbon])
    inside = (x >= first) & (x <= second)
    edge = np.concatenate([carbon[:, inside], ends], axis=1).min(axis=1)
    faces = ends.min(axis=1)

    profile = np.quantile(carbon, [0.5 - level / 2, 0.5, 0.5 + level / 2], axis=0)
    depths, edges = known.medians(depth, which), known.medians(edge, which)
    return CaseResult(
        heats=heats,
        thickness_mm=plate.thickness_mm,
        removed_mm=(float(plate.removed_mm[0]), float(plate.removed_mm[1])),
        finished_mm=float(second - first),
        target_pct=float(target_pct),
        target_hrc=float(as_quenched_hrc(target_pct)),
        case_depth_mm=of_samples(depth, "mm", level),
        soft_skin_mm=of_samples(_soft_skin(x, carbon, target_pct, reach), "mm", level),
        edge_carbon_pct=of_samples(edge, "% C", level),
        face_carbon_pct=of_samples(faces, "% C", level),
        edge_hardness_hrc=of_samples(as_quenched_hrc(edge), "HRC", level),
        probability_edge_hard=float(np.mean(edge >= target_pct)),
        probability_faces_hard=float(np.mean(faces >= target_pct)),
        probability_through=float(np.mean(depth >= reach)),
        by_diffusivity={
            name: {"case_depth_mm": depths[name], "edge_carbon_pct": edges[name]}
            for name in known.diffusivities
        },
        calibration=known.calibration,
        samples=samples,
        level=level,
        doubts=case_doubts(
            heats, plate, profile[1], np.median(edge), np.median(ends), target_pct, known.spread
        ),
        depth_mm=x,
        carbon_pct=profile,
        hardness_hrc=as_quenched_hrc(profile),
        edge_carbon_samples=edge,
    )


def _sample_carbon(heats, plate, known, samples, nodes, rng):
    """Carbon of every sample, and which diffusivity each was run with."""
    grid = plate_grid(plate.thickness_mm, nodes)
    draws, which = known.draw(samples, rng, plate.core_pct, plate.core_sd_pct)
    carbon = np.empty((samples, nodes))
    for i, name in enumerate(known.diffusivities):
        own = which == i
        carbon[own] = run_schedule(diffusivity(name), heats, grid, draws.of(own), SAMPLE_STEPS)
    return carbon, which


def _soft_skin(x, carbon, target_pct, reach_mm):
    """Depth of a decarburised skin below target above a case that reaches it; 0 where none."""
    inside = x <= reach_mm
    enough = carbon[:, inside] >= target_pct
    return np.where(enough.any(axis=1) & ~enough[:, 0], x[inside][enough.argmax(axis=1)], 0.0)
