"""What a chop count yields: each blade's figure, blades compared, and the counts' scatter."""

from dataclasses import dataclass
from math import ceil, floor, isfinite, log10
from typing import Any

from edgetest.chop.strokes_to_third import ThirdMore
from edgetest.doubts import Doubt
from edgetest.estimate import Estimate, estimate_parts, format_estimate, json_fields
from edgetest.stats.regression import LEAST_DF, exponential


@dataclass(frozen=True)
class BladeRate:
    """One blade: chops per 100 cm² of the reference wood, over the test and from fresh."""

    blade: str
    billets: int
    chops: int
    area_cm2: float
    chops_per_100_cm2: Estimate
    fresh_chops_per_100_cm2: Estimate | None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


# By the first word of a quantity: what is said of the smaller and of the larger one.
SAID_OF_RATIO = {
    "chops": ("takes fewer strokes", "takes more strokes"),
    "depth": ("goes less deep", "goes deeper"),
    "loss": ("loses less", "loses more"),
    "chips": ("chips less", "chips more"),
    "rolls": ("rolls less", "rolls more"),
}


@dataclass(frozen=True)
class BladeRatio:
    """`first` over `second` in a quantity ("chops", "depth per chop", "chips"…).

    `probability_less` is that of the first having the smaller one. `scope` says what is
    compared: two "blades"; two "heat_treatments", their blades the replicates; or two "tools",
    where a heat treatment has one blade and nothing is said of heat treatments. `blades` are
    those of either side, `scatter` the sd of log values between blades of one treatment, `at_chops`
    where on the edge's way it holds. The loss has a `difference` too, in percent points.
    """

    first: str
    second: str
    quantity: str
    ratio: Estimate
    probability_less: float
    scope: str
    df: float | None = None
    blades: tuple[int, int] = (1, 1)
    scatter: float | None = None
    difference: Estimate | None = None
    at_chops: float | None = None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def summary(self):
        """The ratio as a maker reads it."""
        shown = format_estimate(self.ratio.value, self.ratio.low, self.ratio.high, apart=1.0)
        if self.difference:
            shown = f"{self.difference.summary()}; ratio {shown}"
        verdict = "the two cannot be told apart"
        less, more = SAID_OF_RATIO[self.quantity.split()[0]]
        if self.ratio.high < 1:
            verdict = f"{self.first} {less}"
        elif self.ratio.low > 1:
            verdict = f"{self.first} {more}"
        only = "; of these tools only, not of the heat treatments" if self.scope == "tools" else ""
        return f"{self.quantity}, {self.first} over {self.second}: {shown}; {verdict}{only}"


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
        estimate = self.pearson / self.df if self.df >= LEAST_DF else None
        return {**json_fields(self), "estimate": estimate}


@dataclass(frozen=True)
class ToolDulling:
    """How one tool's strokes changed as its edge was used, and what would show a dulling.

    Where the interval holds no change: `shows_pct` is the least dulling per 100 chops that a
    test like this shows in four of five cases, None where it shows none of use; `pieces_more`
    further pieces with each tool (`strokes_more` chops of this one) would show `aim_pct`.
    `third_more`: after how many chops a piece takes a third more, None where nobody can tell.
    """

    blade: str
    pieces: int
    pct_per_100_chops: Estimate
    shows_pct: float | None = None
    aim_pct: float | None = None
    pieces_more: int | None = None
    strokes_more: int | None = None
    third_more: ThirdMore | None = None

    @property
    def seen(self):
        """1 where the edge took more chops as it went, -1 where fewer, 0 where nobody can tell."""
        return (self.pct_per_100_chops.low > 0) - (self.pct_per_100_chops.high < 0)

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def wanted_words(self):
        """What these pieces would show of a dulling, and how many more would show less of it."""
        if self.seen:
            return ""
        told = []
        if self.shows_pct is not None:
            own = f"its {_pieces(self.pieces)} would show a dulling of"
            told.append(f"{own} {rounded_up(self.shows_pct)} % per 100 chops in 4 of 5 such tests")
        if self.pieces_more is not None:
            strokes = f"some {rounded_up(self.strokes_more)} strokes with {self.blade}"
            more = f"about {_pieces(self.pieces_more)} more with each tool, {strokes}"
            told.append(f"{more}, would show one of {self.aim_pct:g} %")
        elif self.aim_pct is not None:
            told.append(f"over 100 pieces more would show one of {self.aim_pct:g} %")
        return "; ".join(told)

    def third_words(self):
        """After how many strokes with one edge a piece takes a third more; "" where unknown."""
        if self.third_more is None:
            return ""
        until = f"until a piece takes a third more strokes: {self.third_more.words()}"
        mind = (
            "a third is our choice; only an edge that loses nearly all of it in the first quarter "
            "of its strokes is due before that"
        )
        return f"{self.blade}, work with one edge {until}; {mind}"


def _pieces(count):
    return f"{count} piece{'s' * (count != 1)}"


def rounded_up(value):
    """A number to two digits, upwards: "230" of 224.3."""
    step = 10.0 ** max(floor(log10(value)) - 1, 0)
    return f"{ceil(value / step) * step:.0f}"


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
    dulling_by_tool: tuple[ToolDulling, ...] = ()
    by_wood: tuple[Any, ...] = ()  # of RatioByWood, whose module knows this one

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self, without=("level",))

    def in_woods(self, ratio):
        """The same two tools in each wood by itself, or None where both chopped but one."""
        pair = ratio.first, ratio.second
        return next((one for one in self.by_wood if (one.first, one.second) == pair), None)

    def ratio_lines(self, ratio):
        """A ratio as a maker reads it; of woods that disagree each by itself, not all together."""
        woods = self.in_woods(ratio)
        overall = [] if woods and woods.apart else [ratio.summary()]
        return [*overall, *(woods.lines() if woods else ())]

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

    def rate_words(self):
        """What each blade's strokes come to in the reference wood, by blade.

        Returns
        -------
        dict of str to str
            No blade whose figure has no upper end.
        """
        stood = {one.where.blade for one in self.doubts if one.code == "given_up"}
        return {
            blade.blade: f"{blade.blade}: reckoned by area, {blade.chops_per_100_cm2.summary()} of"
            f" {self.reference_wood}, from {blade.chops} chops"
            f" {'at' if blade.blade in stood else 'through'}"
            f" {blade.billets} piece{'s' * (blade.billets != 1)}"
            f"{', not all severed' * (blade.blade in stood)}"
            for blade in self.blades
            if isfinite(blade.chops_per_100_cm2.high)
        }

    def summary(self):
        """The figures as a maker would read them out."""
        lines = [*self.rate_words().values()]
        lines += [line for ratio in self.ratios for line in self.ratio_lines(ratio)]
        return "\n".join(filter(None, [*lines, *self._dulling_lines()]))

    def _dulling_lines(self):
        """What all edges lose and what each tool's own; where it is unseen, what would show it."""
        told = self.dulling_words()
        if len(self.dulling_by_tool) == 1:
            (alone,) = self.dulling_by_tool
            yield ": ".join(filter(None, [told, alone.wanted_words()]))
            yield alone.third_words()
            return
        yield told
        for one in self.dulling_by_tool:
            unseen = "" if one.seen else "; too few pieces to see whether its edge dulls"
            own = f"{one.blade} alone: {loss_words(one.pct_per_100_chops)}{unseen}"
            yield ": ".join(filter(None, [own, one.wanted_words()]))
            yield one.third_words()

    def _tells_of_a_tool(self, loss):
        """Whether the change of all edges lies between those of the tools.

        The prior draws each tool's own towards none, that of all together less so: where it lies
        outside all of them it tells of no tool.
        """
        own = [one.pct_per_100_chops.value for one in self.dulling_by_tool]
        return len(own) < 2 or min(own) <= loss.value <= max(own)

    def dulling_words(self):
        """What the edges lose, and whether the pieces show it.

        Returns
        -------
        str
            "" where it was not estimated, or lies outside what each tool's own edge loses.
        """
        loss = self.dulling_pct_per_100_chops
        if loss is None or not self._tells_of_a_tool(loss):
            return ""
        seen = loss.low > 0 or loss.high < 0
        more = "" if seen else "; too few pieces to see whether the edge dulls"
        all_tools = ", of all tools together" * (len(self.blades) != 1)
        if any(one.code == "dulling_unlike" for one in self.doubts):
            all_tools += ", which did not dull alike"
        return f"as the test went on, {loss_words(loss)}{all_tools}{more}"


def loss_estimate(slope, level):
    """A change of log strokes per 100 chops as an estimate in percent."""
    half = slope.half(level)
    ends = (slope.value, slope.value - half, slope.value + half)
    value, low, high = (100 * (exponential(x) - 1) for x in ends)
    return Estimate(value, low, high, "% more chops per 100 chops", level)


def loss_words(loss):
    """A change in per cent with its interval: "5 % fewer chops per 100 chops (…)"."""
    value, told = loss_parts(loss)
    return f"{value} chops per 100 chops ({told})"


def loss_parts(loss):
    """A change in per cent and its interval apart: "5 % fewer", "9 % fewer to 1 % more"."""
    value, interval = estimate_parts(loss.value, loss.low, loss.high, apart=0.0)
    ends = [_more(end) for end in interval.removesuffix(" or more").split(" to ")]
    told = " to ".join(ends) if len(ends) > 1 else f"from {ends[0]}, with no upper end"
    return _more(value), told


def _more(percent):
    """A per cent as it is printed, "-5" as "5 % fewer"."""
    return f"{percent[1:]} % fewer" if percent.startswith("-") else f"{percent} % more"
