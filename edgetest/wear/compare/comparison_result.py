"""The comparison as a result: groups, ratio, verdict, and the sentences a maker reads."""

from dataclasses import dataclass
from math import exp, inf, isfinite

from edgetest.doubts import Doubt, told
from edgetest.estimate import Estimate, chance, format_estimate, plain
from edgetest.wear.compare.verdict_on_ratio import (
    BladesNeeded,
    Practical,
    verdict_sentence,
)


@dataclass(frozen=True)
class Group:
    """One heat treatment's blades and the life they point to."""

    treatment: str
    blades: tuple[str, ...]
    n: int  # blades
    replicates: int  # blades, or batches where these are the replicates
    life: Estimate  # cuts, median
    sd_log_life: float | None  # scatter between replicates; None with one
    log_life: float

    def to_dict(self):
        """JSON-plain values."""
        return {
            "treatment": self.treatment,
            "blades": list(self.blades),
            "n": self.n,
            "life": {
                "cuts": plain(self.life.value),
                "low": plain(self.life.low),
                "high": plain(self.life.high),
            },
            "sd_log_life": plain(self.sd_log_life),
        }


@dataclass(frozen=True)
class Ratio:
    """How many times as long the second lasts as the first, with its interval."""

    estimate: float
    low: float
    high: float
    level: float
    method: str
    df: float | None

    def to_dict(self):
        """JSON-plain values."""
        return {
            "estimate": plain(self.estimate),
            "low": plain(self.low),
            "high": plain(self.high),
            "level": self.level,
            "method": self.method,
            "df": plain(self.df),
        }

    def __str__(self):
        low = self.low if self.low > 0 else -inf
        return format_estimate(self.estimate, low, self.high)


def exp_or_open(*logs):
    """Values of logs; beyond what a float holds, an open end."""
    return [exp(x) if x < 700 else inf for x in logs]


def ratio_of(found, level, family):
    """Ratio of lives from a contrast of their logs, jointly over a `groups.Family`."""
    value, low, high = exp_or_open(float(found.difference), *found.limits(level, family))
    df = float(found.df) if isfinite(found.df) else None
    names = {"range": ", adjusted for all pairs", "dunnett": ", adjusted for several groups"}
    adjusted = names.get(family.kind, names["dunnett"] if family.size > 1 else "")
    return Ratio(value, low, high, level, found.method + adjusted, df)


@dataclass(frozen=True)
class Pair:
    """Two heat treatments of several; the interval holds jointly over its family."""

    first: str
    second: str
    ratio: Ratio
    verdict: str
    scope: str
    family: str  # "all pairs" or "against <reference>"

    def to_dict(self):
        """JSON-plain values."""
        return {
            "first": self.first,
            "second": self.second,
            "ratio": self.ratio.to_dict(),
            "verdict": self.verdict,
            "scope": self.scope,
            "family": self.family,
        }


@dataclass(frozen=True)
class Comparison:
    """The answer of a study: the second heat treatment against the first (the reference)."""

    first: str
    second: str
    groups: tuple[Group, ...]
    ratio: Ratio
    other_interval: Ratio | None  # by the other rule for the scatter, where it disagrees
    with_history: Ratio | None  # moderated by the shop's earlier studies
    cross_check: Ratio | None  # by a mixed model, REML; too narrow with few blades
    probability_longer: float | None
    probability_next_blade_outlasts: float | None
    practical: Practical
    needed: BladesNeeded | None
    scope: str  # "heat_treatments", "batches" or "blades": what the ratio speaks of
    pairs: tuple[Pair, ...]
    doubts: tuple[Doubt, ...]

    @property
    def blades_needed(self):
        """Blades a side that should settle it; None where settled or beyond reach."""
        return self.needed.per_side if self.needed else None

    def to_dict(self):
        """JSON-plain values."""
        return {
            "first": self.first,
            "second": self.second,
            "groups": [group.to_dict() for group in self.groups],
            "ratio": self.ratio.to_dict(),
            "other_interval": self.other_interval.to_dict() if self.other_interval else None,
            "with_history": self.with_history.to_dict() if self.with_history else None,
            "cross_check": self.cross_check.to_dict() if self.cross_check else None,
            "probability_longer": plain(self.probability_longer),
            "probability_next_blade_outlasts": plain(self.probability_next_blade_outlasts),
            "practical": self.practical.to_dict(),
            "blades_needed": self.blades_needed,
            "blades_needed_detail": self.needed.to_dict() if self.needed else None,
            "scope": self.scope,
            "pairs": [pair.to_dict() for pair in self.pairs],
            **told(self.doubts),
            "summary": self.summary(),
        }

    def to_frame(self):
        """One row a heat treatment: treatment, n, life, its interval, scatter."""
        import pandas as pd

        rows = [
            {
                "heat_treatment": group.treatment,
                "blades": group.n,
                "life_cuts": group.life.value,
                "life_low_cuts": group.life.low,
                "life_high_cuts": group.life.high,
                "sd_log_life": group.sd_log_life,
            }
            for group in self.groups
        ]
        return pd.DataFrame(rows)

    def summary(self):
        """The answer as a maker would read it out."""
        return " ".join(self.sentences())

    def sentences(self):
        """The sentences of the summary, in order."""
        return [s[0].upper() + s[1:] for s in _sentences(self)]


def _sentences(found):
    """The sentences of `Comparison.summary`, in order."""
    first, second = found.first, found.second
    level = f"{100 * found.ratio.level:g} %"
    if found.scope == "blades":
        yield from _blade_sentences(found, level)
        return
    if found.ratio.low == 0 and found.ratio.high == inf:
        yield f"Both {first} and {second} were stopped too early to say by how much they differ."
        return
    label = "the batch of " if found.scope == "batches" else ""
    yield f"{label}{second} lasts {found.ratio} times as long as {label}{first} ({level} interval)."
    yield verdict_sentence(
        found.practical.verdict,
        label + second,
        label + first,
        found.practical.margin,
        found.practical.reaches_margin,
    )
    if found.probability_longer is not None:
        yield (
            f"Chance that {label}{second} lasts longer on average: "
            f"{chance(found.probability_longer)}; "
            f"that the next {second} blade outlasts the next {first} blade: "
            f"{chance(found.probability_next_blade_outlasts)}."
        )
    if found.other_interval is not None:
        yield f"By {found.other_interval.method} it would be {found.other_interval}."
    if found.with_history is not None:
        yield f"With the scatter of the shop's earlier studies: {found.with_history}."
    if found.needed is not None:
        yield needed_sentence(found.needed)


def _blade_sentences(found, level):
    """One blade in a group: the blades are compared, the heat treatments are not."""
    names = {group.treatment: group.blades for group in found.groups}
    first, second = (
        blades[0] if len(blades) == 1 else f"the {len(blades)} blades of {treatment}"
        for treatment, blades in ((t, names[t]) for t in (found.first, found.second))
    )
    yield (
        f"{second} lasted {found.ratio} times as long as {first} "
        f"({level}, reading uncertainty alone)."
    )
    yield (
        f"That is about these blades, not about the heat treatments {found.first} and "
        f"{found.second}: with one blade the difference between blades of one heat treatment "
        "is not known."
    )
    if found.needed is not None:
        yield needed_sentence(found.needed)


def needed_sentence(needed):
    """How many blades a side, and how far that number can be trusted."""
    if needed.per_side is None:
        return (
            "More blades than a shop will make would be needed to settle it; "
            "better readings or a control blade in each block help more."
        )
    high = "many more" if needed.high is None else f"{needed.high}"
    spread = f" (somewhere from {needed.low} to {high})"
    if needed.purpose == "claim":
        return (
            f"About {needed.per_side} blades of each heat treatment{spread} would allow a claim "
            "about the heat treatments."
        )
    return f"About {needed.per_side} blades a side in all{spread} would settle it."
