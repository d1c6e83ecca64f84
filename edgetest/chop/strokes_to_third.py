"""After how many strokes with one edge does a piece take a third more strokes?"""

from dataclasses import dataclass
from math import floor, inf, isfinite, log, log1p, log10

from edgetest.estimate import Estimate, format_count, json_fields

MORE = 1 / 3  # of the strokes that a piece took: when an edge is due to be touched up. Our choice


@dataclass(frozen=True)
class ThirdMore:
    """Strokes with one edge until a piece takes a third more of them, by the dulling fitted.

    `strokes` is None where the interval of the dulling reaches to none; `at_least` then is all
    that is known. `made` are the most strokes that one edge made by the end of a piece.
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


def strokes_to_third(loss, made, *, shown=True):
    """Strokes with one edge until a piece takes a third more of them than at first.

    Strokes are taken to grow by the same per cent with every 100, as the dulling was fitted: from
    a fresh edge, from one just touched up, or from any other, a third takes the same work.

    Parameters
    ----------
    loss : Estimate
        Dulling, per cent more chops per 100 chops.
    made : float
        The most chops that one edge had made by the end of a piece.
    shown : bool
        Whether such a test would show a dulling of use at all: where it would not, an end of
        the interval is the prior's and no number of the pieces.

    Returns
    -------
    ThirdMore or None
        Chops. The ends are those of the dulling, at its level. None where the edge is not seen
        to dull, or the pieces tell nothing of it.
    """
    if not shown or not 0 < loss.high < inf:
        return None
    value, low, high = (_until(pct) for pct in (loss.value, loss.high, loss.low))
    if not isfinite(high):
        return ThirdMore(None, low, float(made))
    return ThirdMore(Estimate(value, low, high, "chops", loss.level), low, float(made))


def _until(pct):
    """Chops until a third more at so many per cent per 100 chops; without end at none."""
    return 100 * log(1 + MORE) / log1p(pct / 100) if pct > 0 else inf


def _rounded_down(value):
    """A number of strokes to two digits, downwards: "160" of 168.3."""
    step = 10.0 ** max(floor(log10(value)) - 1, 0) if value >= 1 else 1.0
    return f"{floor(value / step) * step:,.0f}"
