"""What depths of single chops yield: each blade's and heat treatment's line, and their ratios."""

from dataclasses import dataclass

from edgetest.chop.count_results import BladeRatio
from edgetest.doubts import Doubt
from edgetest.estimate import Estimate, json_fields


@dataclass(frozen=True)
class DepthLine:
    """One blade's (or one heat treatment's) depth when fresh, half way, and its loss."""

    name: str
    scope: str
    blades: int
    depths: int
    fresh_mm: Estimate
    midway_mm: Estimate
    loss_pct_per_100_chops: Estimate | None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def summary(self):
        """The line as a maker reads it."""
        text = f"{self.name}: {self.fresh_mm.summary()} when fresh"
        if self.loss_pct_per_100_chops:
            text += f"; {self.loss_pct_per_100_chops.summary()}"
        return text


@dataclass(frozen=True)
class DepthFit:
    """Depth per chop of every blade and heat treatment, and their ratios half way."""

    blades: tuple[DepthLine, ...]
    treatments: tuple[DepthLine, ...]
    ratios: tuple[BladeRatio, ...]
    midway_chops: float
    sd_log_within: float
    sd_log_between: float | None
    level: float
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self, without=("level",))

    def to_frame(self):
        """One row a blade or heat treatment."""
        import pandas as pd

        return pd.DataFrame(
            {
                "name": line.name,
                "scope": line.scope,
                "depths": line.depths,
                "fresh_mm": line.fresh_mm.value,
                "fresh_low_mm": line.fresh_mm.low,
                "fresh_high_mm": line.fresh_mm.high,
                "loss_pct_per_100_chops": (
                    line.loss_pct_per_100_chops.value if line.loss_pct_per_100_chops else None
                ),
            }
            for line in (*self.blades, *self.treatments)
        )

    def summary(self):
        """The figures as a maker would read them out."""
        lines = [line.summary() for line in (*self.blades, *self.treatments)]
        return "\n".join([*lines, *(one.summary() for one in self.ratios if one.scope == "blades")])
