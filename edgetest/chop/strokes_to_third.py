"""After how many strokes with one edge does a piece take a third more strokes?

Pieces seldom tell an edge that dulls alike all the time from one that loses the most in its first
strokes, which is due sooner: the interval gives either half the chance. Nor do they tell whether
it dulls on beyond the strokes that it made: there the interval has no upper end.
"""

from dataclasses import dataclass
from math import exp, floor, inf, log, log10

from scipy.optimize import brentq

from edgetest.estimate import Estimate, format_count, json_fields
from edgetest.stats.regression import exponential

MORE = 1 / 3  # of the strokes that a piece took: when an edge is due to be touched up. Our choice
EARLY_POWER = 0.5  # of the strokes made, by which the log grows of an edge that dulls most at first
LOG_CHOPS = (-20.0, 20.0)  # an end is sought between; what lies later is no end


@dataclass(frozen=True)
class ThirdMore:
    """Strokes with one edge until a piece takes a third more of them, by the dulling fitted.

    `strokes` is None where the interval of the dulling reaches to none; `at_least` then is all
    that is known. `made` are the most strokes that one edge made by the end of a piece; an upper
    end beyond them is open.
    """

    strokes: Estimate | None
    at_least: float
    made: float

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    @property
    def beyond(self):
        """Whether it lies beyond the strokes that were made, reckoned on from them."""
        return (self.at_least if self.strokes is None else self.strokes.value) > self.made

    def words(self):
        """Such as "330 (180 to 1,400) strokes", "at least 160 strokes"."""
        if self.strokes is None:
            told = f"at least {_rounded_down(self.at_least)} strokes"
        else:
            one = self.strokes
            value, ends = format_count(one.value, one.low, one.high)
            told = f"{value} ({ends}) strokes"
        if self.beyond:
            told += f" (it made {self.made:.0f}: only if it dulls on alike)"
        return told


def strokes_to_third(even, early, made, first, *, level=0.95, shown=True):
    """Strokes with one edge until a piece takes a third more of them than at first.

    Parameters
    ----------
    even : LogContrast
        Dulling: growth of log chops per 100 chops, if it is the same all the time.
    early : LogContrast
        Growth of log chops by the first 100, if it is as the root of the chops.
    made : float
        The most chops that one edge had made by the end of a piece.
    first : float
        The chops of the first piece: a third more is more than it took.
    level : float
        Coverage of the interval.
    shown : bool
        Whether such a test would show a dulling of use at all: where it would not, an end of
        the interval is the prior's and no number of the pieces.

    Returns
    -------
    ThirdMore or None
        Chops: by `even`, with the ends that leave as much of both, at half the chance each; the
        lower one is never later than by `even` alone, the upper one is open beyond `made`. None
        where the edge is not seen to dull, or the pieces tell nothing of it.
    """
    half = even.half(level)
    if not shown or even.value + half <= 0 or exponential(even.value + half) == inf:
        return None
    low, high = (_due(even, early, first, 0.5 + side * level / 2) for side in (-1, 1))
    low = min(low, 100 * log(1 + MORE) / (even.value + half))
    if even.value <= half:
        return ThirdMore(None, low, float(made))
    value = 100 * log(1 + MORE) / even.value
    strokes = Estimate(value, low, high if high <= made else inf, "chops", level)
    return ThirdMore(strokes, low, float(made))


def _due(even, early, first, chance):
    """Chops by which a third more is due with this chance, no end where it never is."""

    def beyond(log_chops):
        hundreds, fresh = exp(log_chops) / 100, first / 2 / 100
        root = (hundreds + fresh) ** EARLY_POWER - fresh**EARLY_POWER
        later = even.probability_below(log(1 + MORE) / hundreds)
        later += early.probability_below(log(1 + MORE) / root)
        return 1 - later / 2 - chance

    return exp(brentq(beyond, *LOG_CHOPS)) if beyond(LOG_CHOPS[1]) > 0 else inf


def _rounded_down(value):
    """A number of strokes to two digits, downwards: "160" of 168.3."""
    step = 10.0 ** max(floor(log10(value)) - 1, 0) if value >= 1 else 1.0
    return f"{floor(value / step) * step:,.0f}"
