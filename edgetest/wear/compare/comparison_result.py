"""The comparison as a result: groups, ratio, verdict, and the sentences a maker reads."""

from dataclasses import dataclass, replace
from math import ceil, exp, floor, inf, isfinite

from edgetest.doubts import Doubt, told
from edgetest.estimate import Estimate, decimals, format_ratio, plain
from edgetest.wear.compare.chances import Chances
from edgetest.wear.compare.lives_beside_ratio import quotient_sentences
from edgetest.wear.compare.looks import LookFound
from edgetest.wear.compare.reliable_life import ReliableLife
from edgetest.wear.compare.sentence_start import with_capital
from edgetest.wear.compare.side_names import part_names, side_names
from edgetest.wear.compare.verdict_on_ratio import (
    BladesNeeded,
    Practical,
    needed_sentence,
    verdict_sentence,
)

BETWEEN_ENDS = "one blade, its life between two ends"


@dataclass(frozen=True)
class Group:
    """One heat treatment's blades and the life they point to."""

    treatment: str
    blades: tuple[str, ...]
    n: int  # blades
    replicates: int  # blades, or batches where these are the replicates
    life: Estimate  # cuts, median
    sd_log_life: float | None  # scatter between its replicates; None with one
    log_life: float
    reliable: ReliableLife | None = None  # what nine of ten such blades last at least
    counted: str = "blades"  # what the replicates are; or "batches", "blocks"
    sd_at_most: bool = False  # the stages between which lives ended tell of no smaller scatter
    sd_taken: float | None = None  # the scatter that its interval rests on
    parts: int = 1  # batches or blocks of its blades, where a ratio speaks of these alone

    def to_dict(self):
        """JSON-plain values."""
        return {
            "treatment": self.treatment,
            "blades": list(self.blades),
            "n": self.n,
            "replicates": self.replicates,
            "counted": self.counted,
            "life": {
                "cuts": plain(self.life.value),
                "low": plain(self.life.low),
                "high": plain(self.life.high),
            },
            "sd_log_life": plain(self.sd_log_life),
            "sd_at_most": self.sd_at_most,
            "reliable": self.reliable.to_dict() if self.reliable else None,
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
            "estimate": plain(self.estimate) if self.estimate > 0 else None,  # 0: an end is open
            "low": plain(self.low),
            "high": plain(self.high),
            "level": self.level,
            "method": self.method,
            "df": plain(self.df),
        }

    def reaches(self, margin):
        """Whether the interval leaves out every ratio within the margin."""
        return self.low > 1 + margin or self.high < 1 / (1 + margin)

    @property
    def tells_of_first(self):
        """Whether it is said of the first, which lasts longer; an open end tells by the other."""
        return (self.estimate if 0 < self.low <= self.high < inf else self.high) < 1

    def inverted(self):
        """How many times as long the first lasts as the second."""
        values = self.estimate, self.high, self.low
        estimate, low, high = (1 / x if x > 0 else inf for x in values)
        return replace(self, estimate=estimate, low=low, high=high)

    def longer(self):
        """The ratio with the longer one above the other."""
        return self if self.estimate >= 1 else self.inverted()

    def __str__(self):
        if not (isfinite(self.estimate) and self.estimate > 0):  # an end or both are open
            words = ("at least", self.low), ("at most", self.high)
            told = [(word, end) for word, end in words if 0 < end < inf]
            return _ends_in_words(told) or "not known"
        low = self.low if self.low > 0 else -inf
        return format_ratio(self.estimate, low, self.high)


def _ends_in_words(ends):
    """The known ends of a ratio: "at least 1.2"."""
    return " and ".join(f"{word} {end:.{decimals(0.9 * end, 1.1 * end)}f}" for word, end in ends)


def exp_or_open(*logs):
    """Values of logs; beyond what a float holds, an open end."""
    return [exp(x) if x < 700 else inf for x in logs]


def ratio_of(found, level, family):
    """Ratio of lives from a contrast of their logs, jointly over a `groups.Family`."""
    value, low, high = exp_or_open(float(found.difference), *found.limits(level, family))
    names = {"range": ", adjusted for all pairs", "dunnett": ", adjusted for several groups"}
    adjusted = names.get(family.kind, names["dunnett"] if family.size > 1 else "")
    return Ratio(value, low, high, level, found.method + adjusted, plain(found.df))


@dataclass(frozen=True)
class Pair:
    """Two heat treatments of several; the interval holds jointly over its family."""

    first: str
    second: str
    ratio: Ratio
    verdict: str
    scope: str
    family: str  # "all pairs" or "against <reference>"
    blades_verdict: str | None = None  # of the blades, where the heat treatments allow none

    def to_dict(self):
        """JSON-plain values."""
        return {**vars(self), "ratio": self.ratio.to_dict()}


@dataclass(frozen=True)
class Comparison:
    """The answer of a study: the second heat treatment against the first (the reference)."""

    first: str
    second: str
    groups: tuple[Group, ...]
    ratio: Ratio
    other_interval: Ratio | None  # by another rule for the scatter, where it disagrees
    with_history: Ratio | None  # moderated by the shop's earlier studies
    chances: Chances | None  # shrunk by what heat treatments usually differ
    practical: Practical
    needed: BladesNeeded | None
    scope: str  # what the ratio speaks of: "heat_treatments", "batches", "blocks" or "blades"
    control: str | None  # the control blade, where its runs have a part in the ratio
    pairs: tuple[Pair, ...]
    doubts: tuple[Doubt, ...]
    look: LookFound | None = None  # which planned look this is, and whether to go on

    @property
    def probability_longer(self):
        """Chance that the second lasts longer on average; None where words must do."""
        return self._chance("longer")

    @property
    def probability_next_blade_outlasts(self):
        """Chance that its next blade outlasts the next of the first; None where words must do."""
        return self._chance("next_outlasts")

    def _chance(self, name):
        told = self.chances is not None and not self.chances.in_words
        return float(getattr(self.chances, name)) if told else None

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
            "chances": self.chances.to_dict() if self.chances else None,
            "probability_longer": plain(self.probability_longer),
            "probability_next_blade_outlasts": plain(self.probability_next_blade_outlasts),
            "practical": self.practical.to_dict(),
            "blades_needed": self.blades_needed,
            "blades_needed_detail": self.needed.to_dict() if self.needed else None,
            "scope": self.scope,
            "control": self.control,
            "look": self.look.to_dict() if self.look else None,
            "pairs": [pair.to_dict() for pair in self.pairs],
            **told(self.doubts),
            "summary": self.summary(),
        }

    def to_frame(self):
        """One row a heat treatment: treatment, n, life, its interval, scatter."""
        import pandas as pd

        return pd.DataFrame(
            {
                "heat_treatment": group.treatment,
                "blades": group.n,
                "life_cuts": group.life.value,
                "life_low_cuts": group.life.low,
                "life_high_cuts": group.life.high,
                "sd_log_life": group.sd_log_life,
                "sd_at_most": group.sd_at_most,
            }
            for group in self.groups
        )

    def summary(self):
        """The answer as a maker would read it out."""
        return " ".join(self.sentences())

    def sentences(self):
        """The sentences of the summary, in order."""
        return [with_capital(sentence, self.groups) for sentence in _sentences(self)]


MOST_IN_WORDS = 4  # heat treatments whose every pair is told in sentences; else in the table


def _sentences(found):
    """The sentences of `Comparison.summary`, in order."""
    if found.scope == "blades":
        yield from _blade_sentences(found)
        return
    first, second = part_names(found, found.first, found.second)
    if found.ratio.low == 0 and found.ratio.high == inf:
        yield _why_no_ratio(found, first, second)
        return
    over = found.look.over if found.look is not None else ""
    adjusted = ", adjusted for several" if found.pairs else ""
    yield ratio_sentence(found.ratio, first, second, doubt=f"{over}{adjusted}")
    practical = found.practical
    margin, far = practical.margin, practical.reaches_margin
    yield verdict_sentence(practical.verdict, second, first, margin, far)
    if found.look is not None:
        yield found.look.summary()
    yield from quotient_sentences(found)
    if found.chances is not None:
        yield f"{found.chances.sentence(first, second)} {found.chances.basis()}"
    yield from _other_pairs(found)
    for group in found.groups:
        if group.reliable is not None:
            yield f"{group.treatment}: {group.reliable.summary()}"
    if found.other_interval is not None:
        yield f"By {found.other_interval.method} it would be {found.other_interval.longer()}."
    if found.with_history is not None:
        yield f"With the scatter of the shop's earlier studies: {found.with_history.longer()}."
    if found.needed is not None:
        counted = found.groups[0].counted
        yield needed_sentence(found.needed, counted, found.scope, margin=margin)


def _why_no_ratio(found, first, second):
    """Why both ends of the ratio are open."""
    if any(one.code == "no_scatter" for one in found.doubts):
        return f"No ratio can be given: {first} and {second} leave no scatter to judge by."
    both, bounds = {found.first, found.second}, ("life_is_a_bound", "bound_left_out")
    stopped = {one.where.blade for one in found.doubts if one.code in bounds}
    if all(stopped >= set(group.blades) for group in found.groups if group.treatment in both):
        return f"Both {first} and {second} were stopped too early to say by how much they differ."
    return (
        f"Too many lives of {first} and of {second} have one known end alone to say by how "
        "much they differ: look at closer stages, and cut on until each blade is dull."
    )


def ratio_sentence(ratio, first, second, verb="lasts", doubt=""):
    """How many times as long the longer one lasts as the other."""
    level = f"{100 * ratio.level:g} % interval"
    if ratio.tells_of_first:
        first, second, ratio = second, first, ratio.inverted()
    return f"{second} {verb} {ratio} times as long as {first} ({level}{doubt})."


def _other_pairs(found):
    """The other pairs: against the reference, then, of few heat treatments, all the rest."""
    against = [pair for pair in found.pairs if pair.family != "all pairs"]
    rest = [
        pair for pair in found.pairs if pair.family == "all pairs" and pair.first != found.first
    ]
    for pair in [*against, *(rest if len(found.groups) <= MOST_IN_WORDS else ())]:
        if (pair.first, pair.second) == (found.first, found.second):
            continue
        adjusted = "all pairs" if pair in rest else "several"
        first, second = part_names(found, pair.first, pair.second)
        over = found.look.over if found.look is not None else ""
        if pair.scope == "blades" or not (pair.ratio.low > 0 or pair.ratio.high < inf):
            yield f"Of {second} against {first} these blades do not tell."
            continue
        doubt = f"{over}, adjusted for {adjusted}"
        yield ratio_sentence(pair.ratio, first, second, doubt=doubt)
        margin = found.practical.margin
        yield verdict_sentence(pair.verdict, second, first, margin, pair.ratio.reaches(margin))


def _blade_sentences(found):
    """One blade in a group: the blades are compared, the heat treatments are not."""
    names = {group.treatment: group.blades for group in found.groups}
    lives = {group.treatment: group.life for group in found.groups}
    pair, sides = (found.first, found.second), side_names(names, found.scope)
    first, second = (sides[t] for t in pair)
    if isfinite(found.ratio.high) or found.ratio.low > 0:
        by_runs = found.ratio.method.endswith("of runs")
        doubt = ", by how much their runs differ" if by_runs else ", reading uncertainty alone"
        yield ratio_sentence(found.ratio, first, second, "lasted", doubt)
    else:
        told = " and ".join(
            f"{who} {_one_life(lives[t])} cuts"
            for who, t in zip((first, second), pair, strict=True)
        )
        yield (
            f"{told}: how much a second run of the same blade would differ is not known, so "
            "neither can be said to last longer."
        )
    if all(names[t] == (t,) for t in pair):
        yield "No heat treatment is named, so these blades are compared, each as it is."
        return
    yield (
        f"That is about these blades, not about the heat treatments {found.first} and "
        f"{found.second}: with one blade the difference between blades of one heat treatment "
        "is not known."
    )
    if found.needed is not None:
        yield needed_sentence(found.needed)


def _one_life(life):
    """The life of one blade: a number, or what it is known to lie between, rounded outwards."""
    if life.method != BETWEEN_ENDS and isfinite(life.value):
        return f"{life.value:.0f}"
    if isfinite(life.high):
        under = ceil(life.high - 1e-6)
        return f"{floor(life.low + 1e-6)} to {under}" if life.low > 0 else f"under {under}"
    return f"over {floor(life.low + 1e-6)}" if life.low >= 1 else "an unknown number of"
