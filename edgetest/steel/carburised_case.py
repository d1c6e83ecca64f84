"""The carburised case against the grind: how deep, how hard, and how much may come off."""

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.case_result import CaseResult
from edgetest.steel.diffusion import diffusivity, plate_grid
from edgetest.steel.heat_schedule import PUBLISHED_C, depth_to_carbon, run_schedule
from edgetest.steel.martensite import (
    HIGHEST_CARBON_PCT,
    LOWEST_CARBON_PCT,
    as_quenched_hrc,
    carbon_for_hardness,
)
from edgetest.steel.pack import AS_PUBLISHED, of_samples
from edgetest.steel.usual_pack import HARD_HRC

SAMPLE_STEPS = 16  # off by 2e-4 % carbon from 400 steps, far below what the samples spread
# From here austenite stays in the quench, and carbides form a net; common practice, no source.
RETAINED_FROM_PCT = 0.9
CARBIDES_FROM_PCT = 1.2


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
        If the schedule is empty, or no carbon gives the hardness wanted.
    """
    heats = tuple(schedule)
    if not heats:
        raise UnusableInput("no heat given", "schedule", "give at least the pack heat")
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
        doubts=_doubts(
            heats, profile[1], np.median(edge), np.median(ends), target_pct, known.spread
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


def _doubts(heats, profile, edge_pct, face_pct, target_pct, laws):
    """What the schedule, the profile and the grind leave in doubt, with the value met."""
    ends = [pct for pct in (profile.max(), profile.min()) if not _in_table(pct)]
    met = {
        **_of_heats(heats),
        "carbon_outside_table": ends,
        "retained_austenite": [pct for pct in ends if pct > RETAINED_FROM_PCT],
        "carbide_network": [h.held_pct for h in heats if (h.held_pct or 0) > CARBIDES_FROM_PCT],
        "diffusivity_spread": [laws] if laws > 1 else [],
        "ground_to_core": [face_pct] if face_pct < target_pct else [],
        "not_through_hardened": [edge_pct] if edge_pct < target_pct <= face_pct else [],
    }
    return tuple(
        doubt(code, where=Where(value=float(values[0]))) for code, values in met.items() if values
    )


def _of_heats(heats):
    """Temperatures of heats at which carbon stands still, or moves by extrapolation."""
    moving = [h.temperature_c for h in heats if h.moves_carbon]
    return {
        "heat_below_austenite": [h.temperature_c for h in heats if h.hours and not h.moves_carbon],
        "heat_outside_diffusivity": [
            c for c in moving if not PUBLISHED_C[0] <= c <= PUBLISHED_C[1]
        ],
    }


def _in_table(carbon_pct):
    return LOWEST_CARBON_PCT <= carbon_pct <= HIGHEST_CARBON_PCT
