"""What is typed of a wear study that reads the edge width once a stage, and what is its truth?

    python -m tests.benchmarks.folder_worlds.read_once_folder FIRST LAST FOLDER

Each seed gives FOLDER/single_SEED/ with study.toml, the protocol once_read.toml, log.csv and
truth.json. In the truth:

  blades.ID.runs.BLOCK.cuts_to_limit   true cuts at which this run's edge, jumps and roll and all,
                     reached the limit (beyond the last stage the wear runs on without jumps);
                     bracket: the stages that hold it, or 'beyond'
  blades.ID.cuts_to_limit              geometric mean of its runs
  blades.ID.cuts_steady                its cuts on a mean roll (geometric mean of the study's
                     rolls), no jumps
  median_life        {A, B} cuts of the treatment's median blade on the mean roll, no jumps
  ratio_median_lives                   B / A of these: the main figure (population)
  ratio_sample       B / A of geometric means of blades' cuts_to_limit (the blades at hand)
"""

import json
import sys
from pathlib import Path

import numpy as np

from tests.benchmarks.folder_worlds.edge_widening import wear_at
from tests.benchmarks.folder_worlds.read_once_drawn import TREATMENTS, drawn
from tests.benchmarks.folder_worlds.read_once_wear import (
    crossing,
    limit_of,
    read_stages,
    run_blades,
)

PROTOCOL = """id = "once_read"
title = "Edge width, read once a stage"
purpose = "Cuts through rope; at each stage the edge width is read once, at one place."
log = "log"
life_unit = "cuts"
stages = [{stages}]
stations_mm = []
control_blade = "none"
cautions = ["Mind your fingers."]

[medium]
kind = "rope"
size = "10 mm"
batch = "roll"
source = "common practice, no source"

[cut]
stroke = "draw"
length_used_mm = 60
backing = "soft wood"
how = "Full draws through the rope on the board."
source = "common practice, no source"

[[readings]]
name = "edge_width_um"
title = "edge width"
kind = "number"
unit = "µm"
check = "One look straight at the edge through a cheap microscope, in the middle \
of the cutting part."
repeats = 1
at_stations = false
dulling = "rises"
law = "wedge"
source = "common practice, no source"

[edge_preparation]
angle_per_side_deg = 17
finish = "fine stone"
wire_edge = "stropped off"
source = "common practice, no source"

[limit]
reading = "edge_width_um"
value = 10
why = "where this shop calls it dull"
source = "common practice, no source"

[sources]
stages = "common practice, no source"
control_blade = "common practice, no source"
cautions = "common practice, no source"
"""


def number(x):
    """A number as it stands in the truth; None where it is infinite."""
    return None if not np.isfinite(x) else round(float(x), 3)


def typed_width(width_um):
    """A width as typed: what rounds to nought is below 0.5 µm."""
    return f"{width_um:.1f}".rstrip("0").rstrip(".") if width_um > 0 else "<0.5"


def log_text(made, readings):
    """The log, a row a reading."""
    lines = ["blade,heat_treatment,cuts,edge_width_um,block,day,note"]
    for run, stage, width, note in readings:
        cells = [run.blade, run.treatment, str(int(made.stages[stage])), typed_width(width)]
        day = str(made.day_of[run.roll, stage])
        lines.append(",".join([*cells, f"roll {run.roll + 1}", day, note]))
    return "\n".join(lines) + "\n"


def study_text(seed, made, limit_um):
    """The study's file."""
    lines = [
        f'title = "Two heat treatments read once a stage, seed {seed}"',
        'protocol = "once_read.toml"', f"limit = {limit_um:.1f}", 'reading = "edge_width_um"',
    ]  # fmt: skip
    if made.scale_declared:
        lines.append("typed_scale_u = 0.02")
    for treatment in TREATMENTS:
        told = [f'id = "{treatment}"', f'title = "temper {treatment}"']
        lines += ["", "[[heat_treatments]]", *told]
    for name, blade in made.blades.items():
        told = [f'id = "{name}"', f'heat_treatment = "{blade["treatment"]}"']
        finish = ["angle_per_side_deg = 17", 'edge_finish = "fine stone"']
        lines += ["", "[[blades]]", *told, *finish]
    return "\n".join(lines) + "\n"


def run_truth(made, run, limit_um):
    """What is true of one run."""
    cuts = crossing(made, run, limit_um)
    after = int(np.searchsorted(made.stages, cuts))
    between = [int(made.stages[k]) for k in (max(after - 1, 0), after) if k < len(made.stages)]
    return {
        "cuts_to_limit": number(cuts),
        "bracket": "beyond" if cuts > made.stages[-1] else between,
        "true_width_um": [round(float(w), 3) for w in run.width_um],
    }


def blade_truths(made, runs, limit_um):
    """What is true of each blade."""
    found = {}
    for name, blade in made.blades.items():
        mine = [run for run in runs if run.blade == name]
        lives = [np.log(crossing(made, run, limit_um)) for run in mine]
        steady = wear_at(made.law, limit_um, blade["w0_um"], made.first[blade["treatment"]])
        found[name] = {
            "heat_treatment": blade["treatment"], "cuts_to_limit": number(np.exp(np.mean(lives))),
            "cuts_steady": number(steady * blade["tau"]),
            "runs": {f"roll {run.roll + 1}": run_truth(made, run, limit_um) for run in mine},
        }  # fmt: skip
    return found


def mean_life(blades, treatment):
    """Geometric mean of the lives of a treatment's blades; infinite where one has no end."""
    lives = [b["cuts_to_limit"] for b in blades.values() if b["heat_treatment"] == treatment]
    return np.exp(np.mean(np.log(lives))) if all(lives) else np.inf


def truth_of_read_once(made, runs, limit_um, inside):
    """What is true of the study."""
    blades = blade_truths(made, runs, limit_um)
    median = {
        t: wear_at(made.law, limit_um, made.w0_mid_um, made.first[t]) * made.tau[t]
        for t in TREATMENTS
    }
    mean = {t: mean_life(blades, t) for t in TREATMENTS}
    finite = np.isfinite(mean["A"] + mean["B"])
    law = {k: v if isinstance(v, str) else round(float(v), 4) for k, v in made.law.items()}
    return {
        "limit_um": limit_um, "blades": blades,
        "median_life": {t: number(median[t]) for t in TREATMENTS},
        "ratio_median_lives": median["B"] / median["A"],
        "ratio_sample": number(mean["B"] / mean["A"]) if finite else None,
        "law": law, "first_part_of_B": made.first["B"],
        "stages": [int(v) for v in made.stages], "doubling": made.doubling,
        "blades_a_treatment": made.blades_a_treatment, "rolls": made.roll_count,
        "each_blade_on_both_rolls": made.on_both, "runs_inside": inside,
        "roll_wear": [round(float(v), 4) for v in made.roll_wear],
        "sd_blade_pct": 100 * made.sd_blade, "sd_sharpening_pct": 100 * made.sd_sharpening,
        "sd_day_pct": 100 * made.sd_day, "sd_own_stage_pct": 100 * made.sd_own,
        "sd_reading_pct": 100 * made.sd_reading, "sd_day_shift_pct": 100 * made.sd_shift,
        "scale_error": made.scale, "scale_declared": made.scale_declared,
        "slip_share": made.slip_share,
    }  # fmt: skip


def write_read_once(seed, place):
    """Write the study of a seed into a folder of its own below `place`; its folder and truth."""
    rng = np.random.default_rng([20452, seed])
    made = drawn(rng)
    runs = run_blades(rng, made)
    limit_um, inside = limit_of(made, runs)
    readings, slips = read_stages(rng, made, runs)
    truth = {"world": "single_reading_world", "seed": seed}
    truth |= truth_of_read_once(made, runs, limit_um, inside)
    truth["slips"] = [
        [run.blade, f"roll {run.roll + 1}", int(made.stages[stage]), round(float(factor), 3)]
        for run, stage, factor in slips
    ]
    folder = Path(place) / f"single_{seed:05d}"
    folder.mkdir(parents=True, exist_ok=True)
    texts = {
        "log.csv": log_text(made, readings),
        "once_read.toml": PROTOCOL.format(stages=", ".join(str(int(v)) for v in made.stages)),
        "study.toml": study_text(seed, made, limit_um),
        "truth.json": json.dumps(truth, indent=1) + "\n",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder, truth


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit("read_once_folder FIRST LAST FOLDER")
    for each in range(int(sys.argv[1]), int(sys.argv[2]) + 1):
        write_read_once(each, sys.argv[3])
