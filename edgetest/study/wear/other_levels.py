"""The same ratio to other levels of wear: does the answer hold, or do the curves cross?"""

from dataclasses import dataclass
from math import inf

import numpy as np

from edgetest.estimate import plain
from edgetest.study.words import counted, name_of_reading
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.side_names import side_names

LEVELS = 6  # looked at besides the limit, evenly on the log scale within the readings
LEAST_WEAR = 0.3  # of the way (log) from the freshest edge's reading: before it lives are too short


@dataclass(frozen=True)
class Carried:
    """How many of the lives to one level no stage reached: told by the law, or least lives."""

    lives: int
    by_law: int = 0  # beyond the last stage of their blade
    bounds: int = 0  # no more than "over so many cuts"

    @property
    def mostly(self):
        """Whether most of the lives are so."""
        return 2 * (self.by_law + self.bounds) > self.lives

    def words(self):
        """Them in a few words; "" where each curve reaches the level within its stages."""
        beyond = "beyond the last stage by the fitted curve"
        kinds = (self.by_law, beyond), (self.bounds, "known only to be longer")
        told = [f"{count} {words}" for count, words in kinds if count]
        return f"of {self.lives} lives {' and '.join(told)}" if told else ""


@dataclass(frozen=True)
class AtLevel:
    """The ratio of lives to one level of the reading."""

    level_value: float
    comparison: Comparison
    carried: Carried

    @property
    def extrapolated(self):
        """Whether most of its lives lie beyond the last stage."""
        return self.carried.mostly

    def to_dict(self, turned=False):
        """Plain values for JSON; the first heat treatment above the second where `turned`."""
        ratio = self.comparison.ratio.inverted() if turned else self.comparison.ratio
        return {
            "limit": plain(self.level_value),
            "estimate": plain(ratio.estimate),
            "low": plain(ratio.low),
            "high": plain(ratio.high),
            "extrapolated": self.extrapolated,
            "lives": self.carried.lives,
            "beyond_last_stage": self.carried.by_law,
            "least_lives": self.carried.bounds,
        }

    def words(self, turned):
        """The ratio at this level, the first heat treatment above the second where `turned`."""
        ratio = self.comparison.ratio
        carried = self.carried.words()
        tail = f", {carried}" if carried else ""
        return f"{self.level_value:.3g}: {ratio.inverted() if turned else ratio}{tail}"


@dataclass(frozen=True)
class LevelWords:
    """What the ratios by the limit are of, and each in a few words."""

    of: str
    to: str
    limit: str
    each: tuple[str, ...]
    turned: bool  # the comparison's first above its second
    carried: tuple[str, ...] = ()  # by limit, of which lives no stage reached it
    blades: str = ""  # how many against how many, where other blades have a life to the limit

    @property
    def says(self):
        """What the numbers are, as a heading."""
        of = f"{self.of} lasts as {self.to}{self.blades}"
        return f"How many times as long {of}, by the {self.limit}"

    def carried_words(self):
        """What a picture of the ratios does not show: which lives the stages do not hold."""
        each = "; ".join(self.carried)
        return f"Lives that lie beyond the stages, by limit: {each}." if each else ""

    def summary(self):
        """All of them in one sentence."""
        return f"{self.says}: {'; '.join(self.each)}." if self.each else ""


def level_words(levels, comparison, reading, unit=""):
    """The ratio by the limit in words, one heat treatment above the other at every level.

    Parameters
    ----------
    levels : sequence of AtLevel
    comparison : Comparison
        As those of the levels under the titles by which its heat treatments are to be named.
    reading : str
        Column of the log.
    unit : str
        Of the reading.

    Returns
    -------
    LevelWords
        The side that the comparison's own sentence begins with stands above the other.
    """
    turned = comparison.ratio.tells_of_first
    sides = [_sides(each.comparison) for each in levels]
    one_kind = bool(sides) and all(each == sides[0] for each in sides)
    named = sides[0] if one_kind else _sides(comparison)
    of, to = (named.get(name, name) for name in (comparison.second, comparison.first))
    of, to = (to, of) if turned else (of, to)
    blades = _blade_counts(levels[0].comparison, turned) if one_kind else ""
    blades = "" if blades == _blade_counts(comparison, turned) else blades
    limit = f"{name_of_reading(reading)} that ends a life{f', in {unit}' if unit else ''}"
    each = tuple(level.words(turned) for level in levels)
    told = ((level.level_value, level.carried.words()) for level in levels)
    carried = tuple(f"{value:.3g}: {words}" for value, words in told if words)
    return LevelWords(of, to, limit, each, turned, carried, blades)


def _sides(comparison):
    """What each heat treatment's side is called: its blades where the ratio is no more than these.

    At another limit other blades may have a life, and one blade be several.
    """
    if comparison.scope != "blades":
        return {}
    return side_names({one.treatment: one.blades for one in comparison.groups}, "blades")


def _blade_counts(comparison, turned):
    """How many blades stand against how many: " (4 blades against 3)"."""
    counts = {one.treatment: len(one.blades) for one in comparison.groups}
    of, to = (counts.get(name, 0) for name in (comparison.second, comparison.first))
    of, to = (to, of) if turned else (of, to)
    return f" ({counted(of, 'blade')} against {to})" if of and to else ""


def levels_within(fit, runs):
    """Levels of the reading that the blades' curves ran through, three digits each.

    Parameters
    ----------
    fit : StudyFit
    runs : collection of str
        Those that are compared; the control blade's are not.

    Returns
    -------
    tuple of float
        Empty where no level lies beyond every fresh edge and short of the last readings.
    """
    ends = [fit_.predict([fit_.cuts.min(), fit_.cuts.max()]).value for fit_ in fit.blades
            if fit_.blade in runs and len(fit_.psi)]  # fmt: skip
    if not ends:
        return ()
    fresh, last = np.log(np.array(ends)).T
    way = np.sign(np.median(last - fresh))
    begin, end = way * np.max(way * fresh), np.median(last)
    if way * (end - begin) <= 0:
        return ()
    logs = begin + (end - begin) * np.linspace(LEAST_WEAR, 1.0, LEVELS)
    return tuple(dict.fromkeys(float(f"{level:.3g}") for level in np.exp(logs)))


def where_curves_cross(levels):
    """The level at which the ratio passes 1, and the levels between which it does.

    Parameters
    ----------
    levels : sequence of AtLevel
        In any order.

    Returns
    -------
    tuple of float or None
        Level (straight between neighbours, both axes logarithmic), lower end, upper end.
    """
    inside = sorted(
        (each for each in levels if not each.extrapolated), key=lambda each: each.level_value
    )
    logs = [float(np.log(each.comparison.ratio.estimate)) for each in inside]
    for i in range(1, len(inside)):
        if logs[i - 1] * logs[i] < 0:
            low, high = inside[i - 1].level_value, inside[i].level_value
            share = logs[i - 1] / (logs[i - 1] - logs[i])
            return float(low * (high / low) ** share), low, high
    return None


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
