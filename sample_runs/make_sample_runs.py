"""Make the sample runs again, from stated truth and a fixed seed: everything in them is invented.

    python sample_runs/make_sample_runs.py [FOLDER]

The truth that the photographs were rendered from is kept in each run's truth.json, so
that anyone can hold the program's answer against it.
"""

import csv
import json
import sys
from pathlib import Path

import numpy as np

from edgetest.photo.render.rope_run import (
    LIMIT_UM,
    MEDIAN_LIFE,
    MICROMETER,
    ROPE_SEED,
    micrometer_picture,
    rope_lives,
    rope_pictures,
)

sys.path.insert(0, str(Path(__file__).parent))

from make_hatchet_run import make_hatchet_run
from make_plough_disc_run import make_plough_disc_run


def make_rope_run(folder):
    """Two tempers on hedging billhooks: three blades each, a control on every roll of rope."""
    rng = np.random.default_rng(ROPE_SEED)
    lives, roll_effect = rope_lives(rng)
    rows, photos = [], {}
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    for (*row, name), jpeg, truth in rope_pictures(rng, lives):
        (folder / "photos" / name).write_bytes(jpeg)
        photos[name] = truth
        rows.append(rope_row(*row, name))
    jpeg, truth = micrometer_picture(rng)
    (folder / "photos" / MICROMETER).write_bytes(jpeg)
    write_rows(folder / "log.csv", rows)
    everything = {
        "label": "invented data, rendered from the truth below",
        "seed": ROPE_SEED,
        "limit_um": LIMIT_UM,
        "median_life_cuts": MEDIAN_LIFE,
        "ratio_of_median_lives_190_to_260": MEDIAN_LIFE["temper_190"] / MEDIAN_LIFE["temper_260"],
        "log_life_effect_of_roll": roll_effect,
        "lives_cuts": {f"{blade} on {roll}": float(life) for (blade, roll), life in lives.items()},
        "micrometer": truth,
        "photos": photos,
    }
    (folder / "truth.json").write_text(json.dumps(everything, indent=1) + "\n", encoding="utf-8")


def rope_row(blade, roll, cuts, station_mm, photo):
    """One row of the log: a photograph at a station."""
    row = {
        "blade": blade,
        "cuts": cuts,
        "station_mm": station_mm,
        "edge_width_um": "",
        "photo": photo,
        "stroke": "draw",
        "block": roll,
        "operator": "maker",
        "mishap": "",
        "exclude": "",
        "note": "",
    }
    if (blade, cuts, station_mm) == ("S2", 100, 60):
        row |= {
            "mishap": "edge touched the cutting board's clamp",
            "exclude": "edge struck the clamp between 50 and 100 cuts at this station",
        }
    if cuts == 0:
        row["note"] = "fresh edge, wire edge stropped off"
    return row


def write_rows(path, rows):
    """A CSV table of equal dictionaries."""
    with path.open("w", newline="", encoding="utf-8") as handle:
        writer = csv.DictWriter(handle, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def main(folder):
    """Make every run below `folder`; study.toml files are kept by hand and stay."""
    make_rope_run(folder / "billhook_temper_study")
    make_hatchet_run(folder / "camp_hatchet_study")
    make_plough_disc_run(folder / "plough_disc_study")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
