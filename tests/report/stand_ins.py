"""Small results of known numbers, in the shape that the rooms below give them."""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np


@dataclass(frozen=True)
class Band:
    cuts: np.ndarray
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    level: float = 0.95


@dataclass(frozen=True)
class Life:
    cuts: float
    low: float
    high: float
    limit: float = 12.0
    extrapolated: bool = False
    censored: bool = False

    @property
    def read_cuts(self):
        return self.cuts


@dataclass(frozen=True)
class Curve:
    blade: str
    w0: float
    K: float
    cuts: np.ndarray
    value: np.ndarray
    station: np.ndarray
    residuals: np.ndarray
    life: Life | None
    law: str = "wedge"
    residual_cv: float = 0.04
    doubts: tuple = ()
    told_from: float = 0.0

    def predict(self, cuts):
        cuts = np.asarray(cuts, float)
        value = np.sqrt(self.w0**2 + self.K * cuts)
        return Band(cuts, value, value * 0.95, value * 1.05)

    def to_dict(self):
        life = self.life
        return {
            "blade": self.blade,
            "law": self.law,
            "parameters": {
                "w0": {"value": self.w0, "low": self.w0 * 0.9, "high": self.w0 * 1.1},
                "K": {"value": self.K, "low": self.K * 0.9, "high": self.K * 1.1},
            },
            "life": None
            if life is None
            else {
                "cuts": life.cuts,
                "low": life.low,
                "high": life.high if np.isfinite(life.high) else None,
                "extrapolated": life.extrapolated,
                "censored": life.censored,
            },
            "residual_cv": self.residual_cv,
            "warnings": [],
        }


def curve(blade, life, *, w0=2.0, limit=12.0, last=400, spread=1.06, **flags):
    """A blade whose width passes `limit` after `life` cuts, read at three stations."""
    K = (limit**2 - w0**2) / life
    stages = np.linspace(0, last, 9)
    cuts = np.repeat(stages, 3)
    station = np.tile(["10", "25", "40"], 9)
    wobble = np.tile([0.96, 1.0, 1.05], 9)
    value = np.sqrt(w0**2 + K * cuts) * wobble
    got = Life(
        life, life / spread, np.inf if flags.get("censored") else life * spread, limit,
        extrapolated=life > last, **flags,
    )  # fmt: skip
    return Curve(blade, w0, K, cuts, value, station, np.log(wobble), got)


def lives(*, names=("A1", "A2", "A3", "B1", "B2", "B3")):
    """Three blades each of two heat treatments; the second lasts about 1.4 times as long."""
    return [
        curve(name, life) for name, life in zip(names, (240, 262, 255, 344, 371, 349), strict=True)
    ]


TREATMENTS = ["Temper 200 °C"] * 3 + ["Temper 180 °C"] * 3


def comparison(treatments=("Temper 200 °C", "Temper 180 °C")):
    """A comparison of known numbers: the second lasts 1.41 times as long as the first."""
    from edgetest.estimate import Estimate
    from edgetest.wear.compare.chances import Chances
    from edgetest.wear.compare.comparison_result import Comparison, Group, Ratio
    from edgetest.wear.compare.verdict_on_ratio import Practical

    def group(treatment, blades, life, low, high, sd):
        ends = Estimate(life, low, high, "cuts")
        return Group(treatment, blades, 3, 3, ends, sd, float(np.log(life)))

    first, second = treatments
    optional = {
        key: None for key in ("other_interval", "with_history", "control", "needed")
        if key in Comparison.__dataclass_fields__
    }  # fmt: skip
    return Comparison(
        first=first,
        second=second,
        groups=(
            group(first, ("A1", "A2", "A3"), 252.0, 221.0, 287.0, 0.044),
            group(second, ("B1", "B2", "B3"), 354.0, 311.0, 403.0, 0.041),
        ),
        ratio=Ratio(1.405, 1.212, 1.629, 0.95, "pooled t", 4.0),
        chances=Chances(0.996, 0.985, 0.981, 1.38, 1.19, 1.6, 0.95, in_words=False),
        practical=Practical(0.10, "longer", 1.25, 1.58, 0.90, reaches_margin=True),
        scope="heat_treatments",
        pairs=(),
        doubts=(),
        **optional,
    )


def study(folder, *, blades=("A1", "A2", "A3", "B1", "B2", "B3"), treatments=TREATMENTS, **more):
    """A study of those blades, as `load_study` gives it."""
    from edgetest.store.records import Study

    steps = [
        {"kind": "austenitise", "temperature_c": 800, "soak_min": 10},
        {"kind": "quench", "medium": "oil at 50 °C"},
        {"kind": "temper", "temperature_c": 200, "time_min": 60, "repeats": 2},
    ]
    data = {
        "title": "Billhook tempers",
        "protocol": "rope",
        "invented": True,
        "maker": "Thornside Forge",
        "tested_by": "R. Hollin",
        "date": "2026-05-14",
        "heat_treatments": [{"id": name, "steps": steps} for name in dict.fromkeys(treatments)],
        "blades": [
            {"id": name, "heat_treatment": its, "steel": "80CrV2", "angle_per_side_deg": 17,
             "thickness_behind_edge_mm": 0.6, "hardness_target_hrc": "58-60",
             "hardness_hrc": [59.0, 59.5]}
            for name, its in zip(blades, treatments, strict=True)
        ],
        **more,
    }  # fmt: skip
    made = Study.model_validate(data)
    made._folder, made._rules = folder, protocol()
    return made


def protocol():
    """A rope protocol."""
    from edgetest.store.protocol import Protocol

    return Protocol.model_validate(
        {
            "id": "rope",
            "title": "Sisal rope, draw cuts",
            "purpose": "wear of the edge",
            "medium": {"kind": "sisal rope", "size": "10 mm", "batch": "one coil", "source": "x"},
            "cut": {"stroke": "draw", "length_used_mm": 50, "backing": "on a soft board",
                    "how": "through the rope in one stroke", "source": "x"},
            "stages": [0, 50, 100, 150, 200, 250, 300, 350, 400],
            "stations_mm": [10, 25, 40],
            "readings": [{"name": "edge_width_um", "title": "edge width", "unit": "µm",
                          "check": "photograph of the apex", "at_stations": True, "source": "x"}],
            "edge_preparation": {"angle_per_side_deg": 17, "finish": "stone, 1000 grit",
                                 "wire_edge": "removed on leather", "source": "x"},
            "control_blade": "one blade run in every block",
            "limit": {"reading": "edge_width_um", "value": 12, "why": "dull", "source": "x"},
            "cautions": ["Cut away from the hand that holds the rope.",
                         "Wear glasses; rope ends whip."],
            "sources": {"stages": "x", "control_blade": "x", "cautions": "x"},
        }
    )  # fmt: skip


def readings(blades, treatments, *, source="photograph"):
    """One used reading for each value of the curves."""
    from edgetest.study.wear.wear_result import UsedReading

    line = 1
    for fit, treatment in zip(blades, treatments, strict=True):
        for cuts, value, station in zip(fit.cuts, fit.value, fit.station, strict=True):
            line += 1
            yield UsedReading(
                blade=fit.blade, heat_treatment=treatment, cuts=float(cuts), station=station,
                value=float(value), lower=np.nan, upper=np.nan, relative_u=0.01, source=source,
                line=line, run=fit.blade, excluded=line == 20,
                reason="wire edge left" if line == 20 else "",
            )  # fmt: skip


def photo(folder, blade, cuts, station_mm, width_um, *, refused=False, um_per_px=1.0):
    """A rendered photograph on disk and a measurement that says its true width."""
    import cv2

    from edgetest.photo.render.apex_scene import render_apex
    from edgetest.study.photos.photo_result import PhotoResult

    picture, _ = render_apex(
        width_um=width_um, um_per_px=um_per_px, tilt_deg=8, land_grain=0.1, bevel_grain=0.05,
        rng=np.random.default_rng(int(cuts) + int(station_mm)),
    )  # fmt: skip
    path = folder / f"{blade}_{cuts:g}_{station_mm:g}.jpg"
    cv2.imwrite(str(path), picture)
    measured = measurement(picture.shape, width_um / um_per_px, um_per_px, refused=refused)
    return PhotoResult(
        photo=f"photos/{path.name}", path=path, numbers=measured.to_dict(), sha256="0" * 64,
        seconds=0.2, measurement=measured, blade=blade, cuts=cuts, station_mm=station_mm,
    )  # fmt: skip


def measurement(shape, width_px, um_per_px, *, tilt_deg=8, refused=False, chips=True):
    """An apex measurement along a straight tilted band through the middle."""
    rows, columns = shape[:2]
    across = np.linspace(0.05 * columns, 0.95 * columns, 300)
    down = rows / 2 + np.tan(np.radians(tilt_deg)) * (across - columns / 2)
    normal = np.array([np.cos(np.radians(tilt_deg)), -np.sin(np.radians(tilt_deg))])
    centre = np.column_stack([down, across])
    along = np.hypot(down - down[0], across - across[0]) * um_per_px
    used = np.ones(300, dtype=bool)
    used[90:130] = False
    found = (
        SimpleNamespace(
            position_um=0.7 * along[-1],
            length_um=22.0,
            depth_um=6.0,
            length_u_um=0.8,
            depth_u_um=0.3,
            kind="notch",
            side=1,
        ),
    )
    reason = SimpleNamespace(code="out_of_focus", text="The edge is out of focus; focus on it.")
    width = width_px * um_per_px
    numbers = {
        "status": "refused" if refused else "measured",
        "reasons": [vars(reason)] if refused else [],
        "width_um": None if refused else {
            "mean": width, "low": 0.98 * width, "high": 1.02 * width, "sd_along_edge": 0.3,
            "p05": 0.9 * width, "p50": width, "p95": 1.1 * width,
        },
        "light": {"direction": "on-axis", "lens_na": 0.2, "lamp_na": None},
        "w30_um": None if refused else {"value": None, "low": 0.98 * width, "high": 7 * width},
        "crest": None,
        "apex": None if refused else {"flat_um": width, "round_up_to_radius_um": 7 * width},
        "below_um": None, "measured_length_um": 500.0, "share_measured": 0.87, "blur_px": 1.4,
        "snr": 30.0, "scale": {"um_per_px": um_per_px, "relative_u": 0.005},
        "chips": [vars(chip) for chip in found] if chips and not refused else [], "warnings": [],
        "doubts": [],
    }  # fmt: skip
    return SimpleNamespace(
        status=numbers["status"], reasons=(reason,) if refused else (), um_per_px=um_per_px,
        centre_rc=centre, left_rc=centre - normal * width_px / 2,
        right_rc=centre + normal * width_px / 2, used=used, width_px=np.full(300, width_px),
        position_um=along, chips=found if chips and not refused else (),
        to_dict=lambda: numbers,
        summary=lambda: f"Edge width {width:.1f} µm ({0.98 * width:.1f} to {1.02 * width:.1f}).",
    )  # fmt: skip


def study_result(folder, *, blades=None, treatments=TREATMENTS, photos=None, against=None, **more):
    """A whole result: six billhooks in two tempers, with photographs."""
    from edgetest.doubts import doubt
    from edgetest.estimate import Estimate
    from edgetest.study.wear.wear_result import Compared, StudyResult, counted_doubt
    from edgetest.wear.curve.curve_result import StudyFit

    blades = lives() if blades is None else blades
    names = [fit.blade for fit in blades]
    power = Estimate(2.06, 1.91, 2.22, "")
    powers = dict.fromkeys(("soft", "hard"), power)
    fit = StudyFit("wedge", power, tuple(blades), (), powers=powers)
    if photos is None:
        photos = [
            photo(folder, name, cuts, 25.0, width)
            for name, cuts, width in [
                ("A1", 0, 4.0), ("A1", 400, 15.4), ("B1", 0, 4.0), ("B1", 400, 13.0),
            ]
        ]  # fmt: skip
        photos.append(photo(folder, "B2", 400, 25.0, 12.0, refused=True))
    used = tuple(readings(blades, treatments))
    return StudyResult(
        study=study(folder, blades=names, treatments=treatments, **more), protocol=protocol(),
        log=SimpleNamespace(
            reading_names=("edge_width_um",),
            rows=(SimpleNamespace(blade=names[0], cuts=150, line=14, mishap="hit the board",
                                  note="", operator="", block="", batch="", exclude="",
                                  waiting=False),)
        ),
        reading="edge_width_um", limit=12.0, photos=tuple(photos), readings=used, fit=fit,
        compared=Compared(comparison() if against is None else against),
        study_doubts=(
            counted_doubt("excluded_rows", 1),
            doubt("photograph_refused", photographs="1 photograph", which="no scale a.jpg"),
        ),
    )  # fmt: skip


def lines_at(ax, y):
    """Lines that lie at one height of the Axes."""
    heights = [np.asarray(line.get_ydata()) for line in ax.lines]
    return [line for line, h in zip(ax.lines, heights, strict=True) if h.size and np.all(h == y)]
