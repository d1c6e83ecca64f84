"""A blade's life in cuts: what is known of it, what only its law says, and in which words."""

from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

from edgetest.estimate import format_count, plain


@dataclass(frozen=True)
class Life:
    """Cuts until the limit, with its interval (a median: the law is fitted on the log scale).

    `extrapolated`: the life lies beyond the last stage. `censored`: the blade was stopped
    before its reading reached the limit. An interval without an upper end has `high` = inf.
    `log_life_se` is the doubt from this blade's own readings and stations; `log_life_shared_u`
    from a scale error that all blades of the calibration share (cancels in a ratio);
    `log_life_law_u` (K,) from the powers of the heat treatments: the change of log life for one
    standard normal unit of each of K latent factors that the blades of a study share (in a
    ratio the difference of two blades counts, squared and summed over K).
    `beyond_reach`: the life lies too far beyond the last stage to be read. It is then known to be
    above `low`, and above `least_log_life` (log of the last stage that was still short of the
    limit, noise allowed for), and `cuts` is the law's own figure. `by_law` has that figure with
    its interval, whether the life can be read or not.
    """

    cuts: float
    low: float
    high: float
    extrapolated: bool
    censored: bool
    limit: float
    log_life: float
    log_life_se: float
    df: float
    log_life_shared_u: float = 0.0
    log_life_law_u: tuple[float, ...] = (0.0,)
    last_stage: float = inf
    level: float = 0.95
    beyond_reach: bool = False
    least_log_life: float = -inf
    by_law: "Life | None" = None

    @property
    def read_cuts(self) -> float:
        """The life where the readings bear it out, inf where they give a bound alone."""
        return inf if self.beyond_reach else self.cuts

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON; an open end is None."""
        told: dict[str, Any] = {
            "cuts": plain(self.cuts),
            "low": plain(self.low),
            "high": plain(self.high),
            "extrapolated": self.extrapolated,
            "censored": self.censored,
        }
        if self.beyond_reach and self.by_law is not None:
            by_law = self.by_law
            values = {name: plain(getattr(by_law, name)) for name in ("cuts", "low", "high")}
            told["only_if_law_holds"] = values
        return told

    def summary(self, to: str = "") -> str:
        """The life as a maker reads it; `to` says its limit: " to 400 gf"."""
        if not self.beyond_reach:
            tail = ", beyond the last stage" if self.extrapolated else ""
            return f"{cuts_words(self.cuts, self.low, self.high, tail=tail)}{to}"
        least = f"more than {self.low:,.0f} cuts{to}"
        if self.low == self.last_stage:
            least += ", its last reading"
        if self.by_law is None or not isfinite(self.by_law.cuts):
            return least
        law = self.by_law
        return f"{least}; only if the law holds {cuts_words(law.cuts, law.low, law.high)}"


def cuts_words(cuts: float, low: float, high: float, *, tail: str = "") -> str:
    """Cuts with their interval, as every count is said (`format_count`)."""
    shown, ends = format_count(cuts, low, high)
    return f"{shown} cuts ({ends}{tail})"
