"""Make the sample runs again, from stated truth and a fixed seed: everything in them is invented.

    python sample_runs/make_sample_runs.py [FOLDER]

The truth that the photographs were rendered from is kept in each run's truth.json, so
that anyone can hold the program's answer against it.
"""

import csv
import json
import sys
from pathlib import Path

import cv2
import numpy as np

from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.ruling_scene import render_ruling

sys.path.insert(0, str(Path(__file__).parent))

from make_hatchet_run import make_hatchet_run
from make_plough_disc_run import make_plough_disc_run

ROPE_SEED = 20261125
UM_PER_PX = 0.4
LIMIT_UM = 12.0
STAGES = (0, 10, 25, 50, 100, 150, 200, 300)
STATIONS_MM = (20, 40, 60)
ROLLS = ("roll 1", "roll 2", "roll 3")
# Median life of each temper on an average roll, cuts until the edge is LIMIT_UM wide.
MEDIAN_LIFE = {"temper_190": 270.0, "temper_260": 170.0, "shop_standard": 215.0}
SD_LOG_LIFE_BLADES = 0.09
SD_LOG_LIFE_ROLLS = 0.07
SD_LOG_WIDTH_STATIONS = 0.03
SD_LOG_WIDTH_PLACES = 0.03
BLADES = {
    "H1": ("temper_190", 0),
    "H2": ("temper_190", 1),
    "H3": ("temper_190", 2),
    "S1": ("temper_260", 0),
    "S2": ("temper_260", 1),
    "S3": ("temper_260", 2),
}
CONTROL = "C1"


def save_jpeg(path, picture, quality=50):
    """Write a grey picture as JPEG."""
    path.parent.mkdir(parents=True, exist_ok=True)
    smallest = [cv2.IMWRITE_JPEG_OPTIMIZE, 1, cv2.IMWRITE_JPEG_PROGRESSIVE, 1]
    cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, quality, *smallest])


def rope_lives(rng):
    """True life of every run: (blade, roll) -> cuts; and the runs' order."""
    roll_effect = SD_LOG_LIFE_ROLLS * rng.standard_normal(len(ROLLS))
    lives = {}
    control = SD_LOG_LIFE_BLADES * rng.standard_normal()
    for roll, name in enumerate(ROLLS):
        here = [blade for blade, (_, where) in BLADES.items() if where == roll]
        for blade in rng.permutation(here):
            temper = BLADES[blade][0]
            spread = SD_LOG_LIFE_BLADES * rng.standard_normal()
            lives[str(blade), name] = MEDIAN_LIFE[temper] * np.exp(roll_effect[roll] + spread)
        lives[CONTROL, name] = MEDIAN_LIFE["shop_standard"] * np.exp(roll_effect[roll] + control)
    return lives, dict(zip(ROLLS, roll_effect.tolist(), strict=True))


def rope_width_um(life, fresh_um, cuts):
    """Edge width of a wedge worn flat at a constant volume per cut: w² = w0² + K n."""
    return np.sqrt(fresh_um**2 + (LIMIT_UM**2 - fresh_um**2) * cuts / life)


def make_rope_run(folder):
    """Two tempers on hedging billhooks: three blades each, a control on every roll of rope."""
    rng = np.random.default_rng(ROPE_SEED)
    lives, roll_effect = rope_lives(rng)
    rows, photos = [], {}
    for (blade, roll), life in lives.items():
        fresh_um = 2.4 * np.exp(0.06 * rng.standard_normal())
        at_station = np.exp(SD_LOG_WIDTH_STATIONS * rng.standard_normal(len(STATIONS_MM)))
        at_station /= np.exp(np.mean(np.log(at_station)))
        for cuts in STAGES:
            for station_mm, factor in zip(STATIONS_MM, at_station, strict=True):
                place = np.exp(SD_LOG_WIDTH_PLACES * rng.standard_normal())
                width_um = rope_width_um(life, fresh_um, cuts) * factor * place
                name = f"{blade}_{roll.replace(' ', '')}_{cuts:03d}_{station_mm:03d}.jpg"
                spoilt = (blade, cuts, station_mm) == ("H2", 50, 40)
                picture, truth = rope_photograph(width_um, cuts, spoilt, rng)
                save_jpeg(folder / "photos" / name, picture)
                photos[name] = truth
                rows.append(rope_row(blade, roll, cuts, station_mm, name))
    ruling, truth = render_ruling(
        shape=(320, 480), um_per_px=UM_PER_PX, pitch_um=10.0, rotation_deg=1.3, rng=rng
    )
    save_jpeg(folder / "photos" / "micrometer.jpg", ruling, quality=92)
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


def rope_photograph(width_um, cuts, spoilt, rng):
    """An apex photograph as a careful maker takes it; one in the run is out of focus."""
    picture, truth = render_apex(
        shape=(320, 480),
        width_um=width_um,
        um_per_px=UM_PER_PX,
        tilt_deg=rng.uniform(-6, 6),
        bow_px=rng.uniform(-6, 6),
        offset_px=rng.uniform(-25, 25),
        width_sd=0.04,
        width_grain_um=15.0,
        land=rng.uniform(0.45, 0.65),
        bevels=(rng.uniform(0.04, 0.08), rng.uniform(0.04, 0.08)),
        land_grain=0.05,
        land_grain_um=12.0,
        bevel_grain=0.15,
        scratches=int(rng.integers(0, 3)),
        uneven_light=rng.uniform(-0.15, 0.15),
        dust=int(rng.integers(0, 3)),
        blur_px=30.0 if spoilt else rng.uniform(0.9, 1.3),
        noise=0.012,
        rng=rng,
    )
    wanted = ("width_um", "width_sd_um", "edge_length_um", "tilt_deg", "blur_px", "um_per_px")
    return picture, {key: truth[key] for key in wanted} | {"cuts": cuts}


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
