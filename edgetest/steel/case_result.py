"""The case against the grind as a result: how deep, how hard, how much may come off."""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import Doubt, codes, told
from edgetest.estimate import Estimate, chance, plain
from edgetest.steel.heat_schedule import Heat, Plate
from edgetest.steel.pack import PackKnowledge
from edgetest.steel.wanted_edge import WantedEdge
from edgetest.units import as_typed

COMING_UP = (
    "Hours count from when the steel itself is at heat: a packed box comes up long after the fire, "
    "often an hour and more (common practice, no source); a wire drawn from the vent shows it."
)
SURE = 0.95  # from here a summary says it as a fact
ESTIMATES = (
    "case_depth_mm", "soft_skin_mm", "safe_grind_mm", "edge_carbon_pct", "face_carbon_pct",
    "edge_hardness_hrc", "edge_tempered_hrc", "retained_austenite_pct",
)  # fmt: skip


@dataclass(frozen=True)
class CaseResult:
    """Carbon and hardness across a carburised section, and what is left after grinding."""

    heats: tuple[Heat, ...]
    plate: Plate
    wanted: WantedEdge
    target_pct: float  # least carbon that the relation gives the hardness wanted
    case_depth_mm: Estimate  # deepest place whose carbon makes it hard after the temper
    soft_skin_mm: Estimate  # for want of carbon, above what is hard
    edge_carbon_pct: Estimate
    face_carbon_pct: Estimate
    edge_hardness_hrc: Estimate  # straight from the quench, softest place left
    edge_tempered_hrc: Estimate
    retained_austenite_pct: Estimate  # where there is most of it in the section left
    probability_edge_hard: float
    probability_faces_hard: float
    probability_through: float
    by_diffusivity: dict[str, dict[str, float]]
    known: PackKnowledge
    samples: int
    level: float
    doubts: tuple[Doubt, ...]
    depth_mm: np.ndarray = field(repr=False)
    carbon_pct: np.ndarray = field(repr=False)  # (3, nodes): low, middle, high
    hardness_hrc: np.ndarray = field(repr=False)  # (3, nodes), straight from the quench
    tempered_hrc: np.ndarray = field(repr=False)  # (3, nodes)
    austenite_pct: np.ndarray = field(repr=False)  # (3, nodes)
    edge_carbon_samples: np.ndarray = field(repr=False)

    def with_doubts(self, doubts):
        """The same result with its doubts."""
        return replace(self, doubts=tuple(doubts))

    @property
    def thickness_mm(self):
        """The section when the heats were done, mm."""
        return self.plate.thickness_mm

    @property
    def finished_mm(self):
        """What the grinder leaves of it, mm."""
        first, second = self.ground_mm
        return float(second - first)

    @property
    def safe_grind_mm(self):
        """Greatest grind off a face that leaves it hard: the case depth, seen from the grinder."""
        return self.case_depth_mm

    @property
    def ground_mm(self):
        """Where the ground faces lie, mm from the first face as carburised."""
        return self.plate.ground_mm

    @property
    def pack(self):
        """The first heat that carburises; None where none does."""
        return next((heat for heat in self.heats if heat.surface == "carburising"), None)

    @property
    def skin_left(self):
        """Whether a soft skin may be left on the ground faces."""
        return self.soft_skin_mm.high > min(self.plate.removed_mm)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "heats": [_told_heat(heat) for heat in self.heats],
            "thickness_mm": self.thickness_mm,
            "removed_mm": [float(mm) for mm in self.plate.removed_mm],
            "skin_mm": self.plate.skin_mm,
            "finished_mm": self.finished_mm,
            "target": self.wanted.to_dict(),
            **{name: getattr(self, name).to_dict() for name in ESTIMATES},
            "probability_edge_hard": plain(self.probability_edge_hard),
            "probability_faces_hard": plain(self.probability_faces_hard),
            "probability_through": plain(self.probability_through),
            "by_diffusivity": self.by_diffusivity,
            "calibration": self.known.calibration.to_dict() if self.known.calibration else None,
            "samples": self.samples,
            "level": self.level,
            "profile": {name: column.tolist() for name, column in self._profile().items()},
            **told(self.doubts),
        }

    def _profile(self):
        """Depth, carbon, hardness and retained austenite with their intervals, as columns."""
        bands = {
            "carbon_pct": self.carbon_pct,
            "hardness_hrc": self.hardness_hrc,
            "tempered_hrc": self.tempered_hrc,
            "austenite_pct": self.austenite_pct,
        }
        return {"depth_mm": self.depth_mm} | {
            f"{name}_{end}": row
            for name, rows in bands.items()
            for end, row in zip(("low", "middle", "high"), rows, strict=True)
        }

    def to_frame(self):
        """Profile: carbon, hardness and austenite with intervals, and what the grind leaves."""
        import pandas as pd

        frame = pd.DataFrame(self._profile())
        first, second = self.ground_mm
        frame["left_after_grinding"] = (self.depth_mm >= first) & (self.depth_mm <= second)
        return frame

    def summary(self):
        """The case as a maker reads it out."""
        section = f"A {as_typed(self.thickness_mm, 'mm')} section"
        hard = self.wanted.words()
        said = f"{section} is hard ({hard}) to {self.case_depth_mm.summary()}."
        if self.probability_through >= SURE:
            sound = self.probability_edge_hard >= SURE  # else too much may stay austenite
            does = "hardens right through" if sound else "holds enough carbon right through"
            said = f"{section} {does} ({hard})."
        elif self.probability_through > 1 - SURE:
            through = chance(self.probability_through)
            said += f" The chance that its carbon is enough right through is {through}."
        sure = self.safe_grind_mm.low
        if self.probability_through < SURE and sure > 0:
            said += f" Up to {sure:.2f} mm may come off a face and leave it hard, at the least."
        whole = self.finished_mm == self.thickness_mm
        left = "Unground" if whole else f"Ground to {self.finished_mm:g} mm"
        return (
            f"{said} {left}, its softest place holds {self.edge_carbon_pct.summary()}. The chance "
            f"that this place is hard, soft austenite counted, is "
            f"{chance(self.probability_edge_hard)}, and that the faces are, "
            f"{chance(self.probability_faces_hard)}."
        )

    def lines(self):
        """What the summary leaves out, a sentence or two each."""
        return [*self._of_hardness(), *self.notes()]

    def notes(self):
        """What holds for every section: the pack's carbon, coupon, hours, a skin it filled."""
        coming_up = COMING_UP if self.pack is not None else ""
        own = self.known.calibration
        coupon = own.summary() if own is not None else ""
        return [line for line in (self._of_skin(), self._of_pack(), coupon, coming_up) if line]

    def _of_hardness(self):
        """Mark in the quench and after the temper, and what stays austenite."""
        wanted, softens = self.wanted, self.wanted.softening_hrc
        heat = next(h for h in reversed(self.heats) if h.is_austenite)
        hot = as_typed(heat.temperature_c, "c")
        quenched = f"{self.edge_hardness_hrc.summary()} straight from the quench from {hot}"
        if wanted.temper is None:
            yield f"Its softest place comes to {quenched}, not tempered."
        else:
            yield (
                f"Its softest place comes to {quenched}, and to "
                f"{self.edge_tempered_hrc.summary()} after {wanted.temper.words()}, which takes "
                f"off {softens[0]:.1f} ± {softens[1]:.1f} HRC. Straight from the quench that asks "
                f"{wanted.quenched_hrc:.0f} HRC, and {self.target_pct:.2f} % carbon."
            )
        if "retained_austenite" not in codes(self.doubts):  # which tells the same number
            yield f"Retained austenite, where most stays: {self.retained_austenite_pct.summary()}."

    def _of_skin(self):
        """What became of a decarburised skin from before; one that is left is a doubt."""
        before = self.plate.skin_mm
        if before > 0 and not self.soft_skin_mm.high and self.case_depth_mm.low > 0:
            return (
                f"The decarburised skin of {as_typed(before, 'mm')} from before is filled up by "
                "the pack: you need not grind anything off for it."
            )
        return ""

    def _of_pack(self):
        """What carbon the pack was taken to hold, and why."""
        if self.pack is None:
            return ""
        why = "as stated" if self.pack.surface_pct is not None else self.pack.potential.why
        return (
            f"Carbon held by the pack: {self.pack.held_pct:.2f} ± "
            f"{self.known.surface_sd_pct:.2f} %, {why}."
        )


def _told_heat(heat):
    """A heat as JSON carries it."""
    return {
        "name": heat.name,
        "temperature_c": heat.temperature_c,
        "hours": heat.hours,
        "surface": heat.surface,
        "surface_pct": heat.held_pct,
        "faces": heat.faces,
    }
