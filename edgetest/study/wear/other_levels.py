"""The same ratio to other levels of wear: does the answer hold, or do the curves cross?"""

from dataclasses import dataclass
from math import inf

from edgetest.estimate import plain
from edgetest.wear.compare.comparison_result import Comparison

SHARES = (0.6, 0.8, 1.25)  # of the limit: levels looked at besides the one that was named


@dataclass(frozen=True)
class AtLevel:
    """The ratio of lives to one level of the reading."""

    level_value: float
    comparison: Comparison
    extrapolated: bool  # most of its lives lie beyond the last stage

    def to_dict(self):
        """Plain values for JSON."""
        ratio = self.comparison.ratio
        return {
            "limit": plain(self.level_value),
            "estimate": plain(ratio.estimate),
            "low": plain(ratio.low),
            "high": plain(ratio.high),
            "extrapolated": self.extrapolated,
        }

    def summary(self):
        """The ratio at this level, in a line."""
        ratio = self.comparison.ratio
        tail = " (mostly beyond the last stage)" if self.extrapolated else ""
        return f"to {self.level_value:.3g}: {ratio}{tail}"


def crossing(levels):
    """Whether one treatment lasts longer to one level and shorter to another.

    Parameters
    ----------
    levels : sequence of AtLevel

    Returns
    -------
    {"cross", "may_cross", ""}
        "cross" where both findings leave out a ratio of 1; "may_cross" where the best
        estimates part by more than a tenth on either side of 1 and neither is sure.
    """
    inside = [each.comparison.ratio for each in levels if not each.extrapolated]
    above = [ratio for ratio in inside if 1 < ratio.estimate < inf]
    below = [ratio for ratio in inside if 0 < ratio.estimate < 1]
    if any(ratio.low > 1 for ratio in above) and any(ratio.high < 1 for ratio in below):
        return "cross"
    far = any(ratio.estimate > 1.1 for ratio in above) and any(r.estimate < 1 / 1.1 for r in below)
    return "may_cross" if far else ""
