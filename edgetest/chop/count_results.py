"""What a chop count yields: each blade's figure, blades compared, and the counts' scatter."""

from dataclasses import dataclass

from edgetest.doubts import Doubt, told
from edgetest.estimate import Estimate, format_estimate, plain


@dataclass(frozen=True)
class BladeRate:
    """One blade: chops per 100 cm² of the reference wood, over the test and from fresh."""

    blade: str
    billets: int
    chops: int
    area_cm2: float
    chops_per_100_cm2: Estimate
    fresh_chops_per_100_cm2: Estimate | None
    log_rate: float
    log_rate_se: float

    def to_dict(self):
        """Plain values for JSON."""
        fresh = self.fresh_chops_per_100_cm2
        return {
            "blade": self.blade,
            "billets": self.billets,
            "chops": self.chops,
            "area_cm2": self.area_cm2,
            "chops_per_100_cm2": self.chops_per_100_cm2.to_dict(),
            "fresh_chops_per_100_cm2": fresh.to_dict() if fresh else None,
        }


@dataclass(frozen=True)
class BladeRatio:
    """`first` over `second` in a quantity ("chops" or "depth per chop").

    `probability_less` is that of the first having the smaller one; `scope` says whether two
    blades are compared or two heat treatments with their blades as replicates.
    """

    first: str
    second: str
    quantity: str
    ratio: Estimate
    probability_less: float
    scope: str
    df: float

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "first": self.first,
            "second": self.second,
            "quantity": self.quantity,
            "ratio": self.ratio.to_dict(),
            "probability_less": plain(self.probability_less),
            "scope": self.scope,
            "df": plain(self.df),
        }

    def summary(self):
        """The ratio as a maker reads it."""
        shown = format_estimate(self.ratio.value, self.ratio.low, self.ratio.high)
        verdict = "the two cannot be told apart"
        if self.ratio.high < 1:
            verdict = f"{self.first} comes out lower"
        elif self.ratio.low > 1:
            verdict = f"{self.first} comes out higher"
        return f"{self.quantity}, {self.first} over {self.second}: {shown}; {verdict}"


@dataclass(frozen=True)
class Dispersion:
    """How much the counts scatter against chance: 1 is chance, more is uneven wood or hand."""

    pearson: float
    df: float
    used: float
    p_over: float
    p_under: float
    spread: str

    def to_dict(self):
        """Plain values for JSON."""
        estimate = self.pearson / self.df if self.df >= 0.5 else None
        return {
            "pearson": self.pearson,
            "df": self.df,
            "estimate": estimate,
            "used": self.used,
            "p_over": plain(self.p_over),
            "p_under": plain(self.p_under),
            "spread": self.spread,
        }


@dataclass(frozen=True)
class ChopCounts:
    """Chops to sever for every blade, their ratios, and what the wood and dulling did."""

    blades: tuple[BladeRate, ...]
    ratios: tuple[BladeRatio, ...]
    treatments: tuple[BladeRatio, ...]
    dispersion: Dispersion
    hardness_exponent: Estimate | None
    dulling_pct_per_100_chops: Estimate | None
    area_exponent: Estimate | None
    reference_wood: str
    at_chops: float
    level: float
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        optional = {
            "hardness_exponent": self.hardness_exponent,
            "dulling_pct_per_100_chops": self.dulling_pct_per_100_chops,
            "area_exponent": self.area_exponent,
        }
        return {
            "blades": [blade.to_dict() for blade in self.blades],
            "ratios": [ratio.to_dict() for ratio in self.ratios],
            "treatments": [ratio.to_dict() for ratio in self.treatments],
            "dispersion": self.dispersion.to_dict(),
            **{key: value.to_dict() if value else None for key, value in optional.items()},
            "reference_wood": self.reference_wood,
            "at_chops": self.at_chops,
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a blade."""
        import pandas as pd

        return pd.DataFrame(
            {
                "blade": blade.blade,
                "billets": blade.billets,
                "chops": blade.chops,
                "area_cm2": blade.area_cm2,
                "chops_per_100_cm2": blade.chops_per_100_cm2.value,
                "low": blade.chops_per_100_cm2.low,
                "high": blade.chops_per_100_cm2.high,
            }
            for blade in self.blades
        )

    def summary(self):
        """The figures as a maker would read them out."""
        lines = [
            f"{blade.blade}: {blade.chops_per_100_cm2.summary()} of {self.reference_wood},"
            f" from {blade.chops} chops through {blade.billets} billet(s)"
            for blade in self.blades
        ]
        lines += [ratio.summary() for ratio in (*self.ratios, *self.treatments)]
        return "\n".join(lines)
