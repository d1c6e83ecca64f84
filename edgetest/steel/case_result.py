"""The case against the grind as a result: how deep, how hard, how much may come off."""

from dataclasses import dataclass, field

import numpy as np

from edgetest.doubts import Doubt, told
from edgetest.estimate import Estimate, chance, plain
from edgetest.steel.heat_schedule import Heat
from edgetest.steel.pack import Calibration
from edgetest.units import as_typed

SURE = 0.95  # from here a summary says it as a fact
ESTIMATES = (
    "case_depth_mm", "soft_skin_mm", "safe_grind_mm", "edge_carbon_pct", "face_carbon_pct",
    "edge_hardness_hrc",
)  # fmt: skip


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
            **{name: getattr(self, name).to_dict() for name in ESTIMATES},
            "probability_edge_hard": plain(self.probability_edge_hard),
            "probability_faces_hard": plain(self.probability_faces_hard),
            "probability_through": plain(self.probability_through),
            "by_diffusivity": self.by_diffusivity,
            "calibration": self.calibration.to_dict() if self.calibration else None,
            "samples": self.samples,
            "level": self.level,
            "profile": {name: column.tolist() for name, column in self._profile().items()},
            **told(self.doubts),
        }

    def _profile(self):
        """Depth, carbon and hardness with their intervals, as columns."""
        bands = {"carbon_pct": self.carbon_pct, "hardness_hrc": self.hardness_hrc}
        return {"depth_mm": self.depth_mm} | {
            f"{name}_{end}": row
            for name, rows in bands.items()
            for end, row in zip(("low", "middle", "high"), rows, strict=True)
        }

    def to_frame(self):
        """Profile: depth, carbon and hardness with their intervals, and what the grind leaves."""
        import pandas as pd

        frame = pd.DataFrame(self._profile())
        first, second = self.ground_mm
        frame["left_after_grinding"] = (self.depth_mm >= first) & (self.depth_mm <= second)
        return frame

    def summary(self):
        """The case as a maker reads it out."""
        section = f"A {as_typed(self.thickness_mm, 'mm')} section"
        said = (
            f"{section} carries {self.target_pct:.2f} % carbon "
            f"({self.target_hrc:.0f} HRC as quenched) to {self.case_depth_mm.summary()}."
        )
        if self.probability_through >= SURE:
            said = f"{section} hardens right through."
        elif self.probability_through > 1 - SURE:
            said += f" Hard right through with probability {chance(self.probability_through)}."
        sure = self.safe_grind_mm.low
        if self.probability_through < SURE and sure > 0:
            said += f" Up to {sure:.2f} mm may come off a face and leave it hard, at the least."
        whole = self.finished_mm == self.thickness_mm
        left = "Unground" if whole else f"Ground to {self.finished_mm:g} mm"
        return (
            f"{said} {left}, its softest place holds {self.edge_carbon_pct.summary()} and is "
            f"hard with probability {chance(self.probability_edge_hard)}; its faces are hard with "
            f"probability {chance(self.probability_faces_hard)}."
        )
