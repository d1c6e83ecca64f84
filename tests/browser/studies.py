"""Small studies of the tests' own, so that no test waits for two hundred photographs."""

from functools import cache

import cv2
import numpy as np

from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import change_study, new_study, save_protocol

UM_PER_PX = 0.42
LADDER = ["shaves", "slices paper", "tears paper", "will not bite"]
STATION = {
    "name": "edge_width_um",
    "title": "edge width",
    "unit": "µm",
    "check": "apex view at each station",
    "at_stations": True,
    "law": "wedge",
    "source": "common practice, no source",
}
FORCE = {
    "name": "sever_force_gf",
    "title": "thread severing force",
    "unit": "gf",
    "check": "the largest reading of the scale counts",
    "repeats": 2,
    "source": "common practice, no source",
}
GRADE = {
    "name": "grade",
    "title": "sharpness grade",
    "kind": "grade",
    "check": "paper, by the same hand",
    "source": "common practice, no source",
}
PAPER = {
    "name": "paper",
    "title": "newsprint",
    "kind": "pass_fail",
    "check": "push cut through one sheet",
    "source": "common practice, no source",
}


def bench_study(
    root,
    *,
    name="bench_study",
    blades=("K1", "K2"),
    stages=(0, 10, 20),
    stations=(10.0, 30.0),
    readings=(STATION, FORCE, GRADE, PAPER),
    limit=12.0,
    planned=True,
):
    """A study with no reading yet, on a short protocol of its own; returns its folder."""
    folder = root / name
    folder.mkdir(parents=True)
    data = load_protocol("sisal_rope").to_toml_dict()
    data |= {"id": "short_rope", "title": "Short rope", "readings": list(readings)}
    data |= {"stages": list(stages), "ladder": LADDER, "stations_mm": list(stations)}
    names = [rule["name"] for rule in readings]
    if "edge_width_um" in names:
        data["limit"] |= {"value": limit}
    else:
        data.pop("limit")
    save_protocol(data, folder)
    study = new_study(
        folder,
        "short_rope.toml",
        "Two tempers at the bench",
        blades=[
            {"id": blade, "heat_treatment": f"ht{i % 2}", "angle_per_side_deg": 15}
            for i, blade in enumerate(blades)
        ],
        heat_treatments=[
            {"id": "ht0", "title": "temper 190 °C"},
            {"id": "ht1", "title": "temper 260 °C"},
        ],
    )
    changes = {"scale": {"um_per_px": UM_PER_PX, "relative_u": 0.01}}
    if planned:
        changes["plan"] = {"order": [["", blade] for blade in blades]}
    data = study.to_toml_dict() | changes
    change_study(folder, lambda _: type(study).model_validate(data))
    return folder


@cache
def photograph(width_um, *, seed=1, blur_px=1.3, **scene):
    """An apex view of known width, as the bytes of a PNG."""
    picture, _ = render_apex(
        shape=(240, 480),
        width_um=width_um,
        um_per_px=UM_PER_PX,
        land_grain=0.05,
        width_sd=0.02,
        blur_px=blur_px,
        rng=np.random.default_rng(seed),
        **scene,
    )
    return cv2.imencode(".png", picture)[1].tobytes()


def no_edge():
    """A photograph that shows no edge and must be refused, as the bytes of a PNG."""
    noise = np.random.default_rng(3).normal(60, 4, (240, 480)).clip(0, 255).astype(np.uint8)
    return cv2.imencode(".png", noise)[1].tobytes()
