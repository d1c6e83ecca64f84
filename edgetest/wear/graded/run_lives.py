"""Lives of runs that have no wear curve: noted as such, or read off grades, pass and fail."""

from dataclasses import dataclass, field
from math import exp, inf, log, nan

from edgetest.doubts import Doubt, joined, sentences, told
from edgetest.estimate import plain
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.graded.life_distributions import LifeFit


@dataclass(frozen=True)
class RunLife:
    """Life of one run, in cuts: known (`low` = `high`), or somewhere in (low, high].

    `low` is 0 where the run was dull at its first check, `high` inf where it never was.
    `grade` is the grade whose leaving ended it, "" for a life noted as such; `told` is False
    where nothing is known of it.
    """

    blade: str
    low: float
    high: float
    grade: str = ""
    checks: int = 0
    told: bool = True
    doubts: tuple[Doubt, ...] = ()
    study_doubts: tuple[Doubt, ...] = ()
    came_back: tuple[float, float] | None = None  # cuts at the first fail and the last pass after
    residual_cv: float = nan  # of readings about a curve: there is none

    @property
    def life(self):
        """The life as a wear curve's life is read; None where nothing is known of it."""
        return NotedLife(self.low, self.high, self.grade) if self.told else None

    def to_dict(self):
        """Plain values for JSON; an open end is None."""
        return {
            "blade": self.blade,
            "grade": self.grade or None,
            "low": plain(self.low),
            "high": plain(self.high),
            "checks": self.checks,
            "told": self.told,
            "life": self.life.to_dict() if self.life else None,
            **told(self.doubts + self.study_doubts),
        }

    def summary(self):
        """The life as a maker reads it."""
        if self.life is None:
            return f"{self.blade}: no life" + (f" for '{self.grade}'" if self.grade else "")
        if not self.grade:
            return f"{self.blade}: {self.life.words()} cuts"
        if self.high == inf and self.came_back:
            failed, again = self.came_back
            back = f"passed again at {again:g}" if again > failed else "passed there too"
            return (
                f"{self.blade}: '{self.grade}' over {self.low:g} cuts; failed at {failed:g}, {back}"
            )
        if self.high == inf:
            return f"{self.blade}: still '{self.grade}' after {self.low:g} cuts"
        return f"{self.blade}: left '{self.grade}' between {self.low:g} and {self.high:g} cuts"


@dataclass(frozen=True)
class NotedLife:
    """A life known exactly or to an interval, by the names that a curve's life has."""

    low: float
    high: float
    limit: str = ""
    extrapolated: bool = False

    @property
    def cuts(self):
        """The life where it is known, else nan."""
        return self.low if self.low == self.high else nan

    @property
    def read_cuts(self):
        """The life where it is known, else nan."""
        return self.cuts

    @property
    def censored(self):
        """Whether the run was stopped before its end."""
        return self.high == inf

    def to_dict(self):
        """Plain values for JSON; what is not known is None."""
        return {
            "cuts": plain(self.cuts),
            "low": plain(self.low),
            "high": plain(self.high),
            "extrapolated": self.extrapolated,
            "censored": self.censored,
        }

    def words(self):
        """The life in words: "340", "320 to 340", "over 150", "under 20"."""
        if self.low == self.high:
            return f"{self.low:g}"
        if self.high == inf:
            return f"over {self.low:g}"
        return f"{self.low:g} to {self.high:g}" if self.low > 0 else f"under {self.high:g}"

    summary = words


@dataclass(frozen=True)
class RunLives:
    """The lives of a study's runs where no curve was fitted; stands where its curves would.

    `together` is what the blades of each heat treatment say of its median life under one law,
    None where they say nothing of it.
    """

    blades: tuple[RunLife, ...]
    ends: str  # what ended a life: the grade left, "" where lives were noted
    together: LifeFit | None = None
    doubts: tuple[Doubt, ...] = ()
    level: float = 0.95
    power: None = None  # of a wear law: there is none
    powers: dict = field(default_factory=dict)

    @property
    def limit(self):
        """The grade whose leaving ends a life; None where lives were noted as such."""
        return self.ends or None

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "limit": self.limit,
            "blades": [life.to_dict() for life in self.blades],
            "together": self.together.to_dict() if self.together else None,
            **told(self.doubts),
        }

    def all_doubts(self):
        """Doubts of the lives together, then of each run."""
        return joined(self.doubts, *(life.doubts for life in self.blades))

    def lines(self):
        """The life of every run, a line each."""
        return [life.summary() for life in self.blades]

    def summary(self, titles=None):
        """The life of every run, what they say together, and what is doubtful about them.

        `titles` are those of the heat treatments by their ids.
        """
        lines = self.lines()
        if self.together is not None:
            lines.append(self.together.summary(titles))
        return "\n".join([*lines, *sentences(self.all_doubts())])


def noted_lives(lives, **columns):
    """Lives of runs for `compare_lives`.

    Parameters
    ----------
    lives : sequence of RunLife, length n
    **columns
        Blade, heat treatment, batch and block of each, as `BladeLives` has them.

    Returns
    -------
    BladeLives
    """
    ends = [log_ends(life) for life in lives]
    low, high = ([pair[end] for pair in ends] for end in (0, 1))
    return BladeLives(log_low=low, log_high=high, **columns)


def log_ends(life):
    """Natural logs of a life's two ends; nan for a life of which nothing is known."""
    if not life.told:
        return nan, nan
    return (log(life.low) if life.low > 0 else -inf), (log(life.high) if life.high < inf else inf)


def mean_ends(lives):
    """Ends of the mean log life of one blade's runs, in cuts: the means of their ends."""
    ends = [log_ends(life) for life in lives if life.told]
    low, high = (sum(column) / len(ends) for column in zip(*ends, strict=True))
    return exp(low) if low > -inf else 0.0, exp(high) if high < inf else inf
