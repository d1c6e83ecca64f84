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
    warnings: tuple = ()

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
        curve(name, life)
        for name, life in zip(names, (240, 262, 255, 344, 371, 349), strict=True)
    ]


TREATMENTS = ["Temper 200 °C"] * 3 + ["Temper 180 °C"] * 3


def comparison(treatments=("Temper 200 °C", "Temper 180 °C")):
    """A comparison as the wear room gives it."""
    numbers = {
        "groups": [
            {"treatment": treatments[0], "blades": ["A1", "A2", "A3"], "n": 3,
             "life": {"cuts": 252.0, "low": 221.0, "high": 287.0}, "sd_log_life": 0.044},
            {"treatment": treatments[1], "blades": ["B1", "B2", "B3"], "n": 3,
             "life": {"cuts": 354.0, "low": 311.0, "high": 403.0}, "sd_log_life": 0.041},
        ],
        "ratio": {"estimate": 1.405, "low": 1.212, "high": 1.629, "level": 0.95,
                  "method": "restricted maximum likelihood, t with 4 df", "df": 4.0},
        "probability_longer": 0.996,
        "probability_next_blade_outlasts": 0.981,
        "practical": {"margin": 0.10, "verdict": "longer"},
        "blades_needed": None,
        "scope": "heat_treatments",
        "pairs": [],
        "warnings": [],
    }  # fmt: skip
    sentence = (
        f"{treatments[1]} keeps its edge 1.41 times as long as {treatments[0]} (1.21 to 1.63, 95 %)."
    )
    return SimpleNamespace(**numbers, to_dict=lambda: numbers, summary=lambda: sentence)
