"""Two tools compared in each wood by itself, and whether one number holds for all woods."""

from dataclasses import dataclass

from edgetest.chop.count_results import BladeRatio
from edgetest.estimate import json_fields

WOODS_APART = 0.05  # chance tells woods of one ratio apart in so many tests; a choice
ONE_IN = round(1 / WOODS_APART)
NOT_TOLD = "whether the woods differ these pieces do not tell"
BY_CHANCE = "the woods differ no more than chance brings, which does not prove them alike"


@dataclass(frozen=True)
class RatioInWood:
    """Strokes of one tool over those of another in one wood; `pieces` are those of either."""

    wood: str
    pieces: tuple[int, int]
    compared: BladeRatio

    def to_dict(self):
        """Plain values for JSON."""
        one = self.compared
        return {
            "wood": self.wood, "pieces": list(self.pieces), "ratio": one.ratio.to_dict(),
            "probability_less": one.probability_less, "df": one.df,
        }  # fmt: skip


@dataclass(frozen=True)
class RatioByWood:
    """Two tools in two woods or more; `p` is how often woods alike bring ratios so far apart.

    It is None where the pieces do not part the woods from boards, hardness or wear of the edge.
    """

    first: str
    second: str
    woods: tuple[RatioInWood, ...]
    p: float | None

    @property
    def apart(self):
        """Whether the woods disagree by more than chance explains."""
        return self.p is not None and self.p < WOODS_APART

    def to_dict(self):
        """Plain values for JSON."""
        return {**json_fields(self), "apart": self.apart}

    def lines(self):
        """The ratio in each wood, and before or behind them whether one number holds for all."""
        own = [one.compared.summary() for one in self.woods]
        pair = f"{self.first} over {self.second}"
        if self.apart:
            often = f"woods alike would bring that in fewer than 1 of {ONE_IN} such tests"
            return [f"chops, {pair}: no one number holds for all woods; {often}", *own]
        return [*own, f"wood by wood, {pair}: {NOT_TOLD if self.p is None else BY_CHANCE}"]
