"""Two plough discs of unknown steel: log, photographs and coupon readings from a stated truth.

Called by make_sample_runs.py. study.toml of the run is kept by hand; the hardness readings
that stand in it come from the truth here and are kept in truth.json too.
"""

import csv
import json

import cv2
import numpy as np

from edgetest.photo.render.apex_scene import render_apex
from edgetest.steel.heat_schedule import Heat, carbon_profile, depth_to_carbon
from edgetest.steel.martensite import as_quenched_hrc

SEED = 20261103
UM_PER_PX = 0.4
LIMIT_UM = 12.0
STAGES = (0, 10, 25, 50, 100, 150, 200, 300)
STATIONS_MM = (20, 40, 60)
PHOTOGRAPHED = (0, 100, 200)  # at the middle station
# Cuts until the edge is LIMIT_UM wide: reference, carburised blade, blade of the steel as it is.
LIFE = {"R1": 200.0, "K1": 226.0, "U1": 84.0}
LAST_STAGE = {"R1": 300, "K1": 300, "U1": 150}
SD_LOG_WIDTH_STATIONS, SD_LOG_WIDTH_PLACES = 0.03, 0.03
CARBON_PCT = {"disc A": 0.24, "disc B": 0.22}
MARTENSITE = {"water": 0.97, "oil": 0.62}  # of a 6 mm coupon of this steel, as it truly hardens
READING_SD_HRC = 0.8
TEMPERED_HRC = 60.3  # the carburised blade's edge after 200 °C
# What the pack truly was; the thermometer showed 900 °C.
PACK = (
    Heat(906.0, 4.0, "carburising", 0.95, name="pack"),
    Heat(810.0, 0.15, "sealed", name="heat for the quench"),
)
TRUE_DIFFUSIVITY = "wells_mehl"
SECTIONS = {"edge": (1.0, 0.05), "ground after the pack": (4.0, 1.3)}  # thickness, off each face


def make_plough_disc_run(folder):
    """Log, photographs and truth of the run."""
    rng = np.random.default_rng(SEED)
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    rows, photos = rope_test(folder / "photos", rng)
    with (folder / "log.csv").open("w", newline="", encoding="utf-8") as handle:
        writer = csv.DictWriter(handle, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    everything = {
        "label": "invented data, made from the truth below",
        "seed": SEED,
        "limit_um": LIMIT_UM,
        "life_cuts": LIFE,
        "ratio_to_reference": {name: LIFE[name] / LIFE["R1"] for name in ("K1", "U1")},
        "carbon_pct": CARBON_PCT,
        "coupons": coupons(rng),
        "blades_hrc": blades_hardness(rng),
        "pack": [vars(heat) for heat in PACK],
        "diffusivity": TRUE_DIFFUSIVITY,
        "sections": {name: section(*size) for name, size in SECTIONS.items()},
        "photos": photos,
    }
    (folder / "truth.json").write_text(json.dumps(everything, indent=1) + "\n", encoding="utf-8")


def rope_test(folder, rng):
    """Rows of the log with edge widths as typed, and a photograph of some."""
    rows, photos = [], {}
    for cuts in STAGES:
        for blade, life in LIFE.items():
            if cuts > LAST_STAGE[blade]:
                continue
            stations = np.random.default_rng([SEED, ord(blade[0])])
            at_station = np.exp(SD_LOG_WIDTH_STATIONS * stations.standard_normal(3))
            fresh_um = 2.4 * float(np.exp(0.06 * stations.standard_normal()))
            for station_mm, factor in zip(STATIONS_MM, at_station, strict=True):
                worn = np.sqrt(fresh_um**2 + (LIMIT_UM**2 - fresh_um**2) * cuts / life)
                width_um = worn * factor * np.exp(SD_LOG_WIDTH_PLACES * rng.standard_normal())
                photo = ""
                if cuts in PHOTOGRAPHED and station_mm == STATIONS_MM[1]:
                    photo = f"{blade}_{cuts:03d}_{station_mm:03d}.jpg"
                    photos[photo] = photograph(folder / photo, width_um, rng)
                rows.append(row(blade, cuts, station_mm, width_um, photo))
    return rows, photos


def row(blade, cuts, station_mm, width_um, photo):
    """One row of the log."""
    return {
        "blade": blade,
        "cuts": cuts,
        "station_mm": station_mm,
        "edge_width_um": f"{width_um:.1f}",
        "photo": photo,
        "stroke": "draw",
        "block": "roll 1",
        "operator": "maker",
        "mishap": "",
        "exclude": "",
        "note": "fresh edge, wire edge stropped off" if cuts == 0 else "",
    }


def photograph(path, width_um, rng):
    """An apex view of that width, and its truth."""
    picture, truth = render_apex(
        shape=(320, 480), width_um=width_um, um_per_px=UM_PER_PX, tilt_deg=rng.uniform(-5, 5),
        bow_px=rng.uniform(-5, 5), width_sd=0.04, width_grain_um=15.0,
        land=rng.uniform(0.45, 0.65), bevels=(0.05, 0.07), land_grain=0.05, land_grain_um=12.0,
        bevel_grain=0.15, scratches=int(rng.integers(0, 3)), uneven_light=rng.uniform(-0.1, 0.1),
        dust=int(rng.integers(0, 3)), blur_px=rng.uniform(1.0, 1.5), noise=0.012, rng=rng,
    )  # fmt: skip
    cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, 80])
    return {key: truth[key] for key in ("width_um", "width_sd_um", "tilt_deg", "blur_px")}


def coupons(rng):
    """As-quenched hardness of a coupon of each disc in each medium, and what the tester read."""
    found = {}
    for piece, carbon_pct in CARBON_PCT.items():
        for medium, martensite in MARTENSITE.items():
            true_hrc = as_quenched_hrc(carbon_pct, martensite)
            read = true_hrc + READING_SD_HRC * rng.standard_normal(2)
            found[f"{piece}, {medium}"] = {"true_hrc": true_hrc, "read_hrc": read.round(1).tolist()}
    return found


def blades_hardness(rng):
    """Hardness of the finished blades' edges, and what the tester read."""
    true = {"K1": TEMPERED_HRC, "R1": 60.0, "U1": as_quenched_hrc(CARBON_PCT["disc A"], 0.97) - 1.5}
    return {
        name: {
            "true_hrc": value,
            "read_hrc": (value + READING_SD_HRC * rng.standard_normal(3)).round(1).tolist(),
        }
        for name, value in true.items()
    }


def section(thickness_mm, removed_mm):
    """What truly stands in a section after the pack and the grind."""
    x, carbon = carbon_profile(
        PACK, thickness_mm, core_pct=CARBON_PCT["disc A"], diffusivity_name=TRUE_DIFFUSIVITY
    )
    left = (x >= removed_mm) & (x <= thickness_mm - removed_mm)
    face = float(np.interp(removed_mm, x, carbon))
    return {
        "thickness_mm": thickness_mm,
        "removed_mm": removed_mm,
        "least_carbon_pct": float(carbon[left].min()),
        "face_carbon_pct": face,
        "depth_to_0.52_pct_mm": float(depth_to_carbon(x, carbon[None], 0.52, thickness_mm / 2)[0]),
    }
