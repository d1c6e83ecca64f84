"""Whose edges read better after the same number of cuts, by what factor, and how sure is that?

The honest answer where too few blades reached a limit that would end their lives. Blades are the
replicates, as for lives: the log reading of each at those cuts takes the place of its log life.
"""

from dataclasses import dataclass, replace
from math import inf, log

import numpy as np

from edgetest.doubts import Doubt
from edgetest.estimate import format_ratio, plain
from edgetest.wear.compare.compare_lives import AS_USUAL, compare_lives
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.sentence_start import with_capital
from edgetest.wear.compare.side_names import part_names

FEWEST = 2  # blades a side: fewer tell nothing of a heat treatment
# A blade stopped so much earlier than the others is left out rather than pulling all to its
# few cuts; a choice, not measured.
EARLY = 0.5


@dataclass(frozen=True)
class Measure:
    """What is read, in words.

    `says` is the sentence with {one}, {other} and {ratio}; `noun` what is compared; `worse` is
    +1 where a larger reading belongs to the duller edge, -1 where a smaller one does; `when`
    says when it was read, with {cuts}.
    """

    says: str
    noun: str
    worse: int = 1
    when: str = "at {cuts:g} cuts"


@dataclass(frozen=True)
class AtCuts:
    """The ratio of readings at equal cuts, second over first heat treatment.

    `comparison` is of log readings: what it calls a life is the reading. `leads` where this
    answers the study, and the ratio of lives stands beside it. `worn` is False where the edges
    have hardly changed since they were fresh: what they read is their grind, and no verdict.
    `life_margin` is the share of a life that the margin of the reading stands for, by the curves.
    """

    cuts: float
    measure: Measure
    comparison: Comparison
    leads: bool = False
    worn: bool = True
    life_margin: float | None = None

    @property
    def share(self):
        """The margin in words: "4.9 % in edge width (by the curves 10 % of a life)"."""
        percent = float(f"{100 * self.comparison.practical.margin:.2g}")
        share = f"{percent:g} % in {self.measure.noun}"
        if self.life_margin is None:
            return share
        return f"{share} (by the curves {100 * self.life_margin:g} % of a life)"

    @property
    def ratio(self):
        """The ratio of readings with its interval."""
        return self.comparison.ratio

    @property
    def verdict(self):
        """Which of both has the better edge: "second", "first", "alike" or "cannot_tell"."""
        found = self.comparison.practical.verdict
        if not self.worn or self.comparison.scope == "blades":
            return "cannot_tell"
        if found in ("longer", "shorter"):
            return "second" if (found == "longer") == (self.measure.worse < 0) else "first"
        return {"no_relevant_difference": "alike"}.get(found, found)

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """What is doubtful about it."""
        return self.comparison.doubts

    def to_dict(self):
        """JSON-plain values."""
        found = self.comparison
        return {
            "cuts": plain(self.cuts),
            "reading": self.measure.noun,
            "first": found.first,
            "second": found.second,
            "ratio": found.ratio.to_dict(),
            "better": self.verdict,
            "worn": self.worn,
            "margin": found.practical.margin,
            "life_margin": self.life_margin,
            "scope": found.scope,
            "readings": [
                {
                    "treatment": group.treatment,
                    "blades": list(group.blades),
                    "value": plain(group.life.value),
                    "low": plain(group.life.low),
                    "high": plain(group.life.high),
                }
                for group in found.groups
            ],
            "leads": self.leads,
            "summary": self.summary(),
        }

    def summary(self):
        """The answer at these cuts as a maker would read it out."""
        return " ".join(self.sentences())

    def sentences(self):
        """The sentences of the summary, the better of both named first."""
        return [with_capital(sentence, self.comparison.groups) for sentence in self._sentences()]

    def _sentences(self):
        found, level = self.comparison, f"{100 * self.ratio.level:g} %"
        names = {group.treatment: group for group in found.groups}
        one, other = found.second, found.first
        numbers = [self.ratio.estimate, self.ratio.low, self.ratio.high]
        if (numbers[0] - 1) * self.measure.worse > 0:
            one, other = other, one
            numbers = [_inverse(numbers[0]), _inverse(numbers[2]), _inverse(numbers[1])]
        treatments = f"{one} and {other}"
        one, other = part_names(found, one, other)
        if found.scope == "blades":
            one, other = (_blades(names[name]) for name in (one, other))
        low = numbers[1] if numbers[1] > 0 else -inf
        ratio = format_ratio(numbers[0], low, numbers[2])
        when = self.measure.when.format(cuts=self.cuts)
        said = self.measure.says.format(one=one, other=other, ratio=ratio)
        over = found.look.over if found.look is not None else ""
        first = f"{when} {said} ({level} interval{over})."
        if found.scope == "blades":
            named = all(
                tuple(names[name].blades) != (name,) for name in (found.first, found.second)
            )
            about = f"the heat treatments {treatments}" if named else "their heat treatments"
            return [first, f"That is about these blades, not about {about}."]
        return [first, self._verdict_words(one, other)]

    def _verdict_words(self, one, other):
        share = self.share
        if not self.worn:
            return (
                f"The edges have hardly worn there: that tells how {one} and {other} were ground, "
                "not which wears less."
            )
        if self.verdict == "alike":
            unknown = ", which may be a larger share of a life" if self.life_margin is None else ""
            return f"There {one} and {other} are alike to within {share}{unknown}."
        if self.verdict == "cannot_tell":
            return f"Cannot tell yet which of {one} and {other} is the better there."
        tail = f", by more than {share}"
        if not self.comparison.practical.reaches_margin:
            tail = f"; whether by more than {share} is not settled"
        return f"{one} is the better there{tail}."


def _inverse(ratio):
    return 1 / ratio if ratio > 0 else inf


def _blades(group):
    """One blade by its name, several by their number."""
    return group.blades[0] if len(group.blades) == 1 else f"{group.n} blades of {group.treatment}"


def shared_cuts(last, treatment):
    """The cuts at which blades are compared: the last that all of them reached.

    Parameters
    ----------
    last : array_like, shape (n,)
        Last cuts of every blade at which it was read.
    treatment : sequence of str, length n

    Returns
    -------
    float
        Blades that were stopped at less than half the cuts which two blades of every heat
        treatment reached are not waited for; 0 where a heat treatment was read fresh alone.
    """
    last, treatment = np.asarray(last, dtype=float), np.asarray(treatment)
    by_group = [np.sort(last[treatment == name])[::-1] for name in dict.fromkeys(treatment)]
    of_two = min(float(group[min(FEWEST, len(group)) - 1]) for group in by_group)
    return float(last[last >= EARLY * of_two].min())


def compare_at_cuts(readings, cuts, measure, options=AS_USUAL, steepness=None):
    """Compare heat treatments by the readings of their blades at equal cuts.

    Parameters
    ----------
    readings : BladeLives
        Log readings in place of log lives, with their uncertainty.
    cuts : float
    measure : Measure
    options : ComparisonOptions
        The margin is one of a life where `steepness` is given, else of the reading.
    steepness : float, optional
        By how many per cent the reading changes there where the cuts change by one: a life so
        many times as long reads, at equal cuts, that number to this power apart.

    Returns
    -------
    AtCuts

    Raises
    ------
    UnusableInput
        As `compare_lives`.
    """
    readings, of_life = replace(readings, read=measure.noun), None
    margin = options.margin
    if steepness is not None:
        of_life, margin = margin, float(np.expm1(steepness * np.log1p(margin)))
    found = compare_lives(readings, replace(options, history=None, margin=margin))
    return AtCuts(float(cuts), measure, found, life_margin=of_life)


def log_of_sum(values, relative_u):
    """Log of the sum of readings (n,) that each are doubtful by `relative_u`, and its error."""
    values = np.asarray(values, dtype=float)
    total = float(values.sum())
    return log(total), float(relative_u) * float(np.sqrt(values @ values)) / total
