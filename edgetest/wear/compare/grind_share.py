"""A ratio of lives with all that the grind may do to it taken out."""

from dataclasses import dataclass
from math import exp, inf, log, sqrt

from edgetest.estimate import plain

# Ways in which life may go with the grind: as tan(half angle)**-x * thickness**-y, (x, y). Area
# alone makes x 1. Wear in proportion to a force that goes with the wedge adds 1 to x or, where it
# goes with the thickness behind the edge, 1 to y: it is one force, so not both. A slender apex
# turns x about: one that rolls, chips or rounds with the root of the cuts loses up to the second
# power. The ends are our own choice, no source; worlds of worn edges that know nothing of them
# judge it in the guide's tables of grinds. Chips that deepen faster than that are outside.
WAYS = ((1.0, 0.0), (2.0, 0.0), (1.0, 1.0), (-2.0, 0.0))


@dataclass(frozen=True)
class GrindShare:
    """The ratio of lives of a pair, second over first, whatever the grind did to it."""

    first: str  # heat treatments
    second: str
    low: float
    high: float
    what: tuple[str, ...]  # in which the edges differ
    second_longer: bool  # as the ratio was found
    told: bool  # the ratio as it was found leaves out 1

    @property
    def may_be_all(self):
        """Whether a difference was found, and the grind alone may be all of it."""
        return self.told and self.low <= 1 <= self.high

    def to_dict(self):
        """JSON-plain values."""
        return {
            "first": self.first,
            "second": self.second,
            "low": plain(self.low),
            "high": plain(self.high),
            "what": list(self.what),
            "may_be_all": self.may_be_all,
        }

    def summary(self):
        """How many times as long the one lasts as the other, the longer one first."""
        longer, other, low, high = self.second, self.first, self.low, self.high
        if not self.second_longer:
            longer, other = other, longer
            low, high = 1 / high if high < inf else 0.0, 1 / low if low > 0 else inf
        if high == inf and low == 0:
            return f"how many times as long {longer} lasts as {other} is open"
        if high == inf:
            return f"{longer} lasts at least {low:.2f} times as long as {other}"
        return f"{longer} lasts between {low:.2f} and {high:.2f} times as long as {other}"


def grind_share(first, second, ratio, angle=None, thickness=None):
    """The range of a ratio of lives with what angle and thickness behind the edge may do taken out.

    Parameters
    ----------
    first, second : str
        The ratio is second over first.
    ratio : Ratio
        As it was found.
    angle, thickness : Estimate, optional
        The factors that they would make, second over first, if life went with the first power
        of each (`angle_share`, `thickness_share`); None where they are alike or unknown.

    Returns
    -------
    GrindShare or None
        None where neither is given. From the least to the most of `WAYS`; the doubt of the
        ratio and that of the grind are taken together, as independent errors.
    """
    given = {"angle": angle, "thickness behind the edge": thickness}
    what = tuple(name for name, factor in given.items() if factor is not None)
    if not what:
        return None
    ends = ratio.low, ratio.high
    below, above = (log(end) if 0 < end < inf else (-inf if end <= 0 else inf) for end in ends)
    middle = log(ratio.estimate) if 0 < ratio.estimate < inf else _known_end(below, above)
    (turn, turn_u), (lift, lift_u) = _log(angle), _log(thickness)
    lows, highs = [], []
    for x, y in WAYS:
        left, u = middle - x * turn - y * lift, sqrt((x * turn_u) ** 2 + (y * lift_u) ** 2)
        lows.append(left - sqrt((middle - below) ** 2 + u**2) if below > -inf else -inf)
        highs.append(left + sqrt((above - middle) ** 2 + u**2) if above < inf else inf)
    second_longer = ratio.low >= 1 or (ratio.high > 1 and middle >= 0)
    told = not ratio.low <= 1 <= ratio.high
    return GrindShare(first, second, exp(min(lows)), exp(max(highs)), what, second_longer, told)


def _known_end(below, above):
    """The end that is not open, in place of an estimate that nobody can give."""
    return next((end for end in (below, above) if abs(end) < inf), 0.0)


def _log(factor):
    """Log of a factor and its half interval; none where there is no factor."""
    if factor is None:
        return 0.0, 0.0
    return log(factor.value), log(factor.high / factor.value)
