"""The comparison at more than one level of wear: does the answer hold, or do the curves cross?"""

from dataclasses import dataclass

from edgetest.wear.answer import Comparison


@dataclass(frozen=True)
class LevelComparison:
    """One comparison a limit, and whether the order of the heat treatments turns over."""

    limits: tuple[float, ...]
    unit: str
    comparisons: tuple[Comparison, ...]

    @property
    def crosses(self):
        """Whether one limit says longer and another shorter, each beyond doubt."""
        seen = {found.practical.verdict for found in self.comparisons}
        return {"longer", "shorter"} <= seen

    @property
    def may_cross(self):
        """Whether the ratio found lies above 1 at one limit and below 1 at another."""
        ratios = [found.ratio.estimate for found in self.comparisons]
        return min(ratios) < 1 < max(ratios)

    def to_dict(self):
        """JSON-plain values."""
        rows = zip(self.limits, self.comparisons, strict=True)
        return {
            "unit": self.unit,
            "levels": [
                {
                    "limit": limit,
                    "ratio": found.ratio.to_dict(),
                    "verdict": found.practical.verdict,
                }
                for limit, found in rows
            ],
            "crosses": self.crosses,
            "may_cross": self.may_cross,
        }

    def summary(self):
        """One sentence a limit, and the crossing where there is one."""
        first, second = self.comparisons[0].first, self.comparisons[0].second
        lines = [
            f"To {limit:g} {self.unit} {second} lasts {found.ratio} times as long as {first}."
            for limit, found in zip(self.limits, self.comparisons, strict=True)
        ]
        if self.crosses:
            lines.append(
                "The curves cross: which lasts longer depends on how dull is dull, so no single "
                "ratio tells it."
            )
        elif self.may_cross:
            lines.append("The curves may cross; these blades do not settle it.")
        return " ".join(lines)


def compare_levels(limits, comparisons, *, unit="µm"):
    """Put comparisons of the same blades at several limits side by side.

    Parameters
    ----------
    limits : sequence of float
        Reading at which a blade counts as dull, in `unit`; the protocol's, the customer's.
    comparisons : sequence of Comparison
        One a limit, of the same two heat treatments.
    unit : str

    Returns
    -------
    LevelComparison
        In rising order of the limits.
    """
    rows = sorted(zip(limits, comparisons, strict=True), key=lambda row: row[0])
    return LevelComparison(
        tuple(float(limit) for limit, _ in rows), unit, tuple(found for _, found in rows)
    )
