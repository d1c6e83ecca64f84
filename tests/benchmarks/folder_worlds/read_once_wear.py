"""How do the blades of a drawn study wear, when do they reach the limit, and what is read?

Limit   set from the law alone (not from readings or jumps): the width that a blade midway between
        the two treatments has at 35 to 75 % of the last stage, on 0.5 µm; moved only where fewer
        than two thirds of the runs would cross it between the first cut stage and the last.
"""

from dataclasses import dataclass

import numpy as np

from tests.benchmarks.folder_worlds.edge_widening import risen, wear_at
from tests.benchmarks.folder_worlds.read_once_drawn import lognormal


@dataclass(frozen=True)
class Run:
    """A blade from its sharpening to the last stage on one roll."""

    blade: str
    roll: int
    treatment: str
    life: float  # cuts that are u = 1, without the jumps of days
    w0_um: float
    wear: np.ndarray  # u at each stage
    width_um: np.ndarray  # true width at each stage


def run_blades(rng, made):
    """The runs of every blade, in the order in which they are drawn."""
    runs = []
    for name, blade in made.blades.items():
        for roll in made.rolls_of[name]:
            sharpened = float(lognormal(rng, made.sd_sharpening))
            life = blade["tau"] * sharpened / made.roll_wear[roll]
            own = lognormal(rng, made.sd_own, len(made.stages))
            jumps = [made.jump[made.day_of[roll, s]] for s in range(1, len(made.stages))]
            wear = np.r_[0, np.cumsum(np.array(jumps) * own[1:] / life * np.diff(made.stages))]
            width = blade["w0_um"] + risen(made.law, wear, made.first[blade["treatment"]])
            runs.append(Run(name, roll, blade["treatment"], life, blade["w0_um"], wear, width))
    return runs


def crossing(made, run, limit_um):
    """True cuts at which a run reached a width; beyond the last stage it wears without jumps."""
    wear = wear_at(made.law, limit_um, run.w0_um, made.first[run.treatment])
    if not np.isfinite(wear):
        return np.inf
    if wear <= run.wear[-1]:
        return float(np.interp(wear, run.wear, made.stages))
    return float(made.stages[-1] + (wear - run.wear[-1]) * run.life)


def limit_of(made, runs):
    """The limit, µm, and the share of runs that reach it between the first stage and the last."""
    stages, midway = made.stages, np.sqrt(made.first["B"])
    u = 1.0
    for _ in range(30):
        middle = made.w0_mid_um + float(risen(made.law, u, midway))
        limit_um = max(round(2 * middle) / 2, 2.0)
        lives = np.array([crossing(made, run, limit_um) for run in runs])
        inside = float(np.mean((lives > stages[1]) & (lives <= stages[-1])))
        if inside >= 2 / 3:
            break
        late = np.mean(lives > stages[-1]) >= np.mean(lives <= stages[1])
        u *= 0.93 if late else 1.07
    return limit_um, inside


def read_stages(rng, made, runs):
    """Each reading as typed (run, stage, µm, note), stage by stage on each roll; and the slips."""
    readings, slips = [], []
    for roll in range(made.roll_count):
        here = [run for run in runs if run.roll == roll]
        for stage in range(len(made.stages)):
            for j in rng.permutation(len(here)):
                width = here[j].width_um[stage] * made.scale
                width *= made.shift[made.day_of[roll, stage]]
                width *= float(lognormal(rng, made.sd_reading))
                note = ""
                if rng.random() < made.slip_share:
                    factor = rng.uniform(1.2, 1.8) if rng.random() < 0.8 else rng.uniform(0.7, 0.85)
                    width *= factor
                    slips.append((here[j], stage, factor))
                    note = "focus doubtful" if rng.random() < 0.5 else ""
                readings.append((here[j], stage, np.floor(2 * width + 0.5) / 2, note))
    return readings, slips
