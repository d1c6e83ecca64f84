"""The carburised case against the grind: how deep, how hard, and how much may come off."""

from dataclasses import dataclass, field

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, chance, plain
from edgetest.steel.diffusion import diffusivity, plate_grid
from edgetest.steel.heat_schedule import (
    PUBLISHED,
    PUBLISHED_C,
    Heat,
    depth_to_carbon,
    run_schedule,
)
from edgetest.steel.martensite import (
    HIGHEST_CARBON_PCT,
    LOWEST_CARBON_PCT,
    as_quenched_hrc,
    carbon_for_hardness,
)
from edgetest.steel.pack import Calibration

SAMPLE_STEPS = 16  # off by 2e-4 % carbon from 400 steps, far below what the samples spread
# From here austenite stays in the quench, and carbides form a net; common practice, no source.
RETAINED_FROM_PCT = 0.9
CARBIDES_FROM_PCT = 1.2


@dataclass(frozen=True)
class CaseResult:
    """Carbon and hardness across a carburised section, and what is left after grinding."""

    heats: tuple[Heat, ...]
    thickness_mm: float
    removed_mm: tuple[float, float]
    finished_mm: float
    target_pct: float
    target_hrc: float
    case_depth_mm: Estimate
    soft_skin_mm: Estimate
    edge_carbon_pct: Estimate
    face_carbon_pct: Estimate
    edge_hardness_hrc: Estimate
    probability_edge_hard: float
    probability_faces_hard: float
    probability_through: float
    by_diffusivity: dict[str, dict[str, float]]
    calibration: Calibration | None
    samples: int
    level: float
    doubts: tuple[Doubt, ...]
    depth_mm: np.ndarray = field(repr=False)
    carbon_pct: np.ndarray = field(repr=False)  # (3, nodes): low, middle, high
    hardness_hrc: np.ndarray = field(repr=False)  # (3, nodes)
    edge_carbon_samples: np.ndarray = field(repr=False)

    @property
    def safe_grind_mm(self):
        """Greatest grind off a face that leaves it hard: the case depth, seen from the grinder."""
        return self.case_depth_mm

    @property
    def ground_mm(self):
        """Where the ground faces lie, mm from the first face as carburised."""
        return self.removed_mm[0], self.thickness_mm - self.removed_mm[1]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "heats": [
                {
                    "name": h.name,
                    "temperature_c": h.temperature_c,
                    "hours": h.hours,
                    "surface": h.surface,
                    "surface_pct": h.held_pct,
                    "faces": h.faces,
                }
                for h in self.heats
            ],
            "thickness_mm": self.thickness_mm,
            "removed_mm": list(self.removed_mm),
            "finished_mm": self.finished_mm,
            "target": {"carbon_pct": self.target_pct, "hardness_hrc": self.target_hrc},
            "case_depth_mm": self.case_depth_mm.to_dict(),
            "soft_skin_mm": self.soft_skin_mm.to_dict(),
            "safe_grind_mm": self.safe_grind_mm.to_dict(),
            "edge_carbon_pct": self.edge_carbon_pct.to_dict(),
            "face_carbon_pct": self.face_carbon_pct.to_dict(),
            "edge_hardness_hrc": self.edge_hardness_hrc.to_dict(),
            "probability_edge_hard": plain(self.probability_edge_hard),
            "probability_faces_hard": plain(self.probability_faces_hard),
            "probability_through": plain(self.probability_through),
            "by_diffusivity": self.by_diffusivity,
            "calibration": self.calibration.to_dict() if self.calibration else None,
            "samples": self.samples,
            "level": self.level,
            "profile": {
                "depth_mm": self.depth_mm.tolist(),
                **{
                    f"{name}_{end}": row.tolist()
                    for name, rows in (
                        ("carbon_pct", self.carbon_pct),
                        ("hardness_hrc", self.hardness_hrc),
                    )
                    for end, row in zip(("low", "middle", "high"), rows, strict=True)
                },
            },
            **told(self.doubts),
        }

    def to_frame(self):
        """Profile: depth, carbon and hardness with their intervals, and what the grind leaves."""
        import pandas as pd

        frame = pd.DataFrame({"depth_mm": self.depth_mm})
        for name, rows in (("carbon_pct", self.carbon_pct), ("hardness_hrc", self.hardness_hrc)):
            for end, row in zip(("low", "middle", "high"), rows, strict=True):
                frame[f"{name}_{end}"] = row
        first, second = self.ground_mm
        frame["left_after_grinding"] = (self.depth_mm >= first) & (self.depth_mm <= second)
        return frame

    def summary(self):
        """The case as a maker reads it out."""
        said = (
            f"A {self.thickness_mm:g} mm section carries {self.target_pct:.2f} % carbon "
            f"({self.target_hrc:.0f} HRC as quenched) to {self.case_depth_mm.summary()}."
        )
        if self.probability_through >= 0.95:
            said = f"A {self.thickness_mm:g} mm section hardens right through."
        elif self.probability_through > 0.05:
            said += f" Hard right through with probability {chance(self.probability_through)}."
        sure = self.safe_grind_mm.low
        if self.probability_through < 0.95 and sure > 0:
            said += f" Up to {sure:.2f} mm may come off a face and leave it hard, at the least."
        whole = self.finished_mm == self.thickness_mm
        left = "Unground" if whole else f"Ground to {self.finished_mm:g} mm"
        return (
            f"{said} {left}, its softest place holds {self.edge_carbon_pct.summary()} and is "
            f"hard with probability {chance(self.probability_edge_hard)}; its faces are hard with "
            f"probability {chance(self.probability_faces_hard)}."
        )


def case_result(
    schedule,
    thickness_mm,
    *,
    core_pct,
    removed_mm=(0.0, 0.0),
    target_hrc=58.0,
    target_pct=None,
    martensite=1.0,
    diffusivities=PUBLISHED,
    calibration=None,
    temperature_sd_c=10.0,
    surface_sd_pct=0.1,
    core_sd_pct=0.02,
    samples=1000,
    nodes=200,
    level=0.95,
    rng,
):
    """Carbon and hardness across a section after a schedule of heats, then after grinding.

    The schedule is solved for every sample of the thermometer's error (shared by all
    heats), the surface carbon of the pack, the core's carbon, and the published
    diffusivity (each set equally likely); intervals are quantiles of the samples.

    Parameters
    ----------
    schedule : sequence of Heat
        In the order done: pack, thermal cycles, the heat for the quench.
    thickness_mm : float
        Section when the heats were done, mm.
    core_pct : float
        Carbon of the steel before the pack, %.
    removed_mm : tuple of float
        Ground off each face after the heats, mm.
    target_hrc : float
        As-quenched hardness wanted of the edge; `target_pct` states the carbon instead.
    target_pct : float or None
        Carbon counted as enough, %.
    martensite : float
        Fraction of martensite expected in the quench (see `as_quenched_hrc`).
    diffusivities : sequence of str
        Keys of `DIFFUSIVITIES`.
    calibration : Calibration or None
        From `calibrate`.
    temperature_sd_c, surface_sd_pct, core_sd_pct : float
        Standard uncertainties of temperature (°C), carbon held by the pack, and core (%).
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
        If the schedule is empty, the grind leaves nothing, or a value is out of range.
    """
    heats = tuple(schedule)
    first, second = _check(heats, thickness_mm, removed_mm, core_pct)
    if target_pct is None:
        target_pct = carbon_for_hardness(target_hrc, martensite)
    target_hrc = as_quenched_hrc(target_pct, martensite)
    grid = plate_grid(thickness_mm, nodes)
    carbon, which = _sample_carbon(
        heats, grid, core_pct, diffusivities, calibration, temperature_sd_c, surface_sd_pct,
        core_sd_pct, samples, rng,
    )  # fmt: skip

    x = grid.centres_mm
    one_sided = any(h.surface == "carburising" and h.faces == 1 for h in heats)
    reach = thickness_mm if one_sided else thickness_mm / 2
    depth = depth_to_carbon(x, carbon, target_pct, reach)
    skin = _soft_skin(x, carbon, target_pct, reach)
    ends = np.stack([_at(x, carbon, first), _at(x, carbon, second)], axis=1)
    inside = (x >= first) & (x <= second)
    edge = np.concatenate([carbon[:, inside], ends], axis=1).min(axis=1)
    through = depth >= reach

    quantiles = [0.5 - level / 2, 0.5, 0.5 + level / 2]
    profile = np.quantile(carbon, quantiles, axis=0)
    method = f"Monte Carlo, {samples} samples"

    def estimate(sample, unit):
        low, middle, high = np.quantile(sample, quantiles).tolist()
        return Estimate(middle, low, high, unit, level, method)

    edge_hrc = as_quenched_hrc(edge, martensite)
    by_law = {
        name: {
            "case_depth_mm": float(np.median(depth[which == i])),
            "edge_carbon_pct": float(np.median(edge[which == i])),
        }
        for i, name in enumerate(diffusivities)
    }
    found = _doubts(
        heats, profile[1], np.median(edge), np.median(ends), target_pct,
        1 if calibration else len(diffusivities),
    )  # fmt: skip
    return CaseResult(
        heats=heats,
        thickness_mm=float(thickness_mm),
        removed_mm=(float(removed_mm[0]), float(removed_mm[1])),
        finished_mm=float(second - first),
        target_pct=float(target_pct),
        target_hrc=float(target_hrc),
        case_depth_mm=estimate(depth, "mm"),
        soft_skin_mm=estimate(skin, "mm"),
        edge_carbon_pct=estimate(edge, "% C"),
        face_carbon_pct=estimate(ends.min(axis=1), "% C"),
        edge_hardness_hrc=estimate(edge_hrc, "HRC"),
        probability_edge_hard=float(np.mean(edge >= target_pct)),
        probability_faces_hard=float(np.mean(ends.min(axis=1) >= target_pct)),
        probability_through=float(np.mean(through)),
        by_diffusivity=by_law,
        calibration=calibration,
        samples=samples,
        level=level,
        doubts=found,
        depth_mm=x,
        carbon_pct=profile,
        hardness_hrc=as_quenched_hrc(profile, martensite),
        edge_carbon_samples=edge,
    )


def _check(heats, thickness_mm, removed_mm, core_pct):
    """Where the ground faces lie, after the input has been found usable."""
    if not heats:
        raise UnusableInput("no heat given", "schedule", "give at least the pack heat")
    if not 0 <= core_pct <= 2.1:
        raise UnusableInput(f"{core_pct:g} % carbon", "core_pct", "give 0 to 2.1 %")
    first, second = removed_mm[0], thickness_mm - removed_mm[1]
    if not thickness_mm > 0:
        what = f"{thickness_mm:g} mm is no thickness"
        raise UnusableInput(what, "thickness_mm", "give the section at heat treatment")
    if min(removed_mm) < 0 or second <= first:
        what = f"{removed_mm[0]:g} + {removed_mm[1]:g} mm ground off {thickness_mm:g} mm"
        raise UnusableInput(what, "removed_mm", "grind less than the thickness, zero or more")
    return first, second


def _sample_carbon(
    heats, grid, core_pct, names, calibration, temperature_sd_c, surface_sd_pct, core_sd_pct,
    samples, rng,
):  # fmt: skip
    """Carbon of every sample, and which diffusivity each was run with."""
    which = rng.permutation(np.arange(samples) % len(names))
    shift_c = temperature_sd_c * rng.standard_normal(samples)
    shift_pct = surface_sd_pct * rng.standard_normal(samples)
    core = np.clip(core_pct + core_sd_pct * rng.standard_normal(samples), 0.0, 2.1)
    relative_u = calibration.relative_u if calibration else 0.0
    factor = np.exp(relative_u * rng.standard_normal(samples))
    carbon = np.empty((samples, grid.centres_mm.size))
    for i, name in enumerate(names):
        own = which == i
        known = calibration.factors[name] if calibration else 1.0
        carbon[own] = run_schedule(
            diffusivity(name), heats, grid, core[own], shift_c[own], shift_pct[own],
            known * factor[own], SAMPLE_STEPS,
        )  # fmt: skip
    return carbon, which


def _at(x, carbon, position_mm):
    """Carbon of every sample at one depth, straight between cell centres."""
    right = int(np.clip(np.searchsorted(x, position_mm), 1, x.size - 1))
    share = np.clip((position_mm - x[right - 1]) / (x[right] - x[right - 1]), 0.0, 1.0)
    return carbon[:, right - 1] * (1 - share) + carbon[:, right] * share


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
