"""What is typed of a wear study whose rolls ran out within the runs, and what is its truth?

    python -m tests.benchmarks.folder_worlds.changed_rolls_folder FIRST LAST FOLDER

Each seed gives FOLDER/rolls_SEED/ with study.toml, the protocol once_read.toml, log.csv and
truth.json. In the truth:

  ratio_median_lives   B / A of the median blades on one and the same rope: the figure judged; with
                       one law for both it is the same at every limit and on every rope
  median_life          {A, B} cuts of the median blade on mean rope
  blades.ID            cuts_to_limit as it was cut (its last roll goes on beyond the last stage;
                       None where the law never reaches the limit), cuts_mean_rope, roll_of_stage
                       (of the cuts up to each stage, the fresh edge's the one to be cut first),
                       changed_at_cuts, true_width_um at each stage
  share_on_first_roll  {A, B} share of the treatment's cuts that fell on the first roll, of as many
                       cuts of each blade as the two median lives are on the mean (the geometric;
                       at most the last stage)
"""

import json
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

from tests.benchmarks.folder_worlds.changed_rolls_drawn import (
    TREATMENTS,
    drawn_rolls_study,
    rise_um,
)
from tests.benchmarks.folder_worlds.read_once_folder import PROTOCOL, number

HEADS = {
    "batch": ("batch",),
    "block": ("block", "batch"),
    "both": ("block", "batch"),
}


def cut_by_roll(made, name, low, high):
    """Cuts of a blade between two numbers of cuts, by roll."""
    ends = [0, *made.changes[name], np.inf]
    return np.array([max(0.0, min(high, end) - max(low, begun)) for begun, end in pairwise(ends)])


def wear_made(made, name, cuts):
    """Wear of a blade after so many cuts, as its rolls fell; 1 is about the limit's."""
    by_roll = cut_by_roll(made, name, 0, cuts)
    worn = by_roll @ made.roll_wear[: len(by_roll)]
    return float(worn) / made.blades[name]["scale_cuts"]


def rolls_of_stages(made, name):
    """The roll (from 0) that cut most of the way to each stage; the fresh edge has the first's."""
    found = [
        int(np.argmax(cut_by_roll(made, name, low, high))) for low, high in pairwise(made.stages)
    ]
    return [found[0], *found]


def first_above(value, wanted, high):
    """Where a rising function reaches a value, or infinity if it does not below `high`."""
    if value(high) < wanted:
        return np.inf
    low = 0.0
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if value(middle) < wanted else (low, middle)
    return high


def cuts_until_dull(made, w0_um, wear_at_cuts):
    """Cuts at which an edge is as wide as the limit; infinite where it never is."""
    return first_above(
        lambda cuts: w0_um + float(rise_um(made.law, wear_at_cuts(cuts))),
        made.limit_um,
        1e3 * float(made.stages[-1]),
    )


def true_widths_um(made, name):
    """True edge widths of a blade at the stages, µm."""
    worn = [wear_made(made, name, cuts) for cuts in made.stages]
    return made.blades[name]["w0_um"] + rise_um(made.law, worn)


def rolls_log(made):
    """The log, blade after blade, a row a stage."""
    heads = HEADS[made.written]
    lines = [",".join(["blade", "heat_treatment", "cuts", "edge_width_um", *heads])]
    for name, blade in made.blades.items():
        rolls = [f"roll {roll + 1}" for roll in rolls_of_stages(made, name)]
        typed = np.maximum(true_widths_um(made, name) * made.read[name], 0.1)
        for cuts, width, roll in zip(made.stages, typed, rolls, strict=True):
            later = "" if made.written == "block" and roll == rolls[0] else roll
            cells = (rolls[0], later) if len(heads) == 2 else (roll,)
            lines.append(
                ",".join([name, blade["treatment"], str(int(cuts)), f"{width:.1f}", *cells])
            )
    return "\n".join(lines) + "\n"


def rolls_study_text(made, seed):
    """The study's file."""
    lines = [
        f'title = "Two heat treatments on rolls that ran out, seed {seed}"',
        'protocol = "once_read.toml"', f"limit = {made.limit_um:.1f}", 'reading = "edge_width_um"',
    ]  # fmt: skip
    for treatment in TREATMENTS:
        lines += ["", "[[heat_treatments]]", f'id = "{treatment}"', f'title = "temper {treatment}"']
    for name, blade in made.blades.items():
        told = [f'id = "{name}"', f'heat_treatment = "{blade["treatment"]}"']
        finish = ["angle_per_side_deg = 17", 'edge_finish = "fine stone"']
        lines += ["", "[[blades]]", *told, *finish]
    return "\n".join(lines) + "\n"


def _blade_truth(made, name, blade):
    """What is true of a blade."""
    last = int(made.stages[-1])
    scale, w0_um = blade["scale_cuts"], blade["w0_um"]
    cut = cuts_until_dull(made, w0_um, lambda cuts: wear_made(made, name, cuts))
    return {
        "heat_treatment": blade["treatment"],
        "cuts_to_limit": number(cut),
        "cuts_mean_rope": number(cuts_until_dull(made, w0_um, lambda cuts: cuts / scale)),
        "roll_of_stage": [roll + 1 for roll in rolls_of_stages(made, name)],
        "changed_at_cuts": [at for at in made.changes[name] if 0 < at < last],
        "true_width_um": [round(float(width), 3) for width in true_widths_um(made, name)],
    }


def truth_of_rolls(made):
    """What is true of the study."""
    median = {
        t: cuts_until_dull(made, made.w0_um, lambda cuts, t=t: cuts / made.scale[t])
        for t in TREATMENTS
    }
    until = min(float(np.sqrt(median["A"] * median["B"])), float(made.stages[-1]))
    first = {
        t: float(np.mean([
            cut_by_roll(made, name, 0, until)[0] / until
            for name, blade in made.blades.items()
            if blade["treatment"] == t
        ]))
        for t in TREATMENTS
    }  # fmt: skip
    return {
        "fall": made.fall, "sd_rolls": made.roll_sd, "written": made.written,
        "ended_between_stages": made.between, "limit_um": made.limit_um,
        "ratio_median_lives": made.ratio,
        "median_life": {t: number(cuts) for t, cuts in median.items()},
        "blades": {name: _blade_truth(made, name, one) for name, one in made.blades.items()},
        "share_on_first_roll": {t: round(share, 4) for t, share in first.items()},
        "roll_wear": [round(float(wear), 4) for wear in made.roll_wear], "law": made.law,
        "stages": [int(cuts) for cuts in made.stages], "sd_blade": made.sd_blade,
        "sd_reading": made.sd_reading,
    }  # fmt: skip


def write_changed_rolls(seed, place):
    """Write the study of a seed into a folder of its own below `place`; its folder and truth."""
    made = drawn_rolls_study(seed)
    truth = {"world": "changed_rolls_world", "seed": seed} | truth_of_rolls(made)
    folder = Path(place) / f"rolls_{seed:05d}"
    folder.mkdir(parents=True, exist_ok=True)
    texts = {
        "log.csv": rolls_log(made),
        "once_read.toml": PROTOCOL.format(stages=", ".join(str(int(c)) for c in made.stages)),
        "study.toml": rolls_study_text(made, seed),
        "truth.json": json.dumps(truth, indent=1) + "\n",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder, truth


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit("changed_rolls_folder FIRST LAST FOLDER")
    for each in range(int(sys.argv[1]), int(sys.argv[2]) + 1):
        write_changed_rolls(each, sys.argv[3])
