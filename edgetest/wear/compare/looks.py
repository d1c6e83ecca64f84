"""Testing as you go: which planned look is this, and does the study end here or go on?

The bounds are those of `edgetest.stats.group_sequential`, kept with the study's plan.
"""

from dataclasses import dataclass, replace
from math import isfinite, log

from edgetest.doubts import Where, doubt
from edgetest.estimate import plain
from edgetest.stats.contrast import quantile
from edgetest.stats.group_sequential import FUTILITY, LookBounds

OTHER_RULES = ("intervals_disagree",)  # of other intervals, which a look does not have
SAYS = {
    "before": "No look yet, at {size} {counted} a side: the first is at {next_size} a side, and "
    "nothing is claimed before it.",
    "stop": "{which}: stop, the answer stands.",
    "futile": "{which}: stop, going on is futile: at this trend a difference would show by {most} "
    "a side in fewer than {futility:.0f} of 100 such studies. You may go on all the same.",
    "go_on": "{which}: go on to look {next_number} with {next_size} a side.",
    "end": "{which}: the test ends here without an answer.",
}


@dataclass(frozen=True)
class LookMade:
    """A look that the study remembers: blades a side, and what it said."""

    size: int
    decision: str


@dataclass(frozen=True)
class Looks:
    """The looks of a study, fixed beforehand, and those already made."""

    boundary: LookBounds
    made: tuple[LookMade, ...] = ()


@dataclass(frozen=True)
class LookFound:
    """One look: its number from 1 (0 before the first), and what it says.

    `level` is that of the interval at this look: its repeated confidence interval, which holds
    with the plan's own level over all looks together.
    """

    number: int
    of: int
    size: int
    most: int
    level: float
    decision: str  # "before", "stop", "futile", "go_on" or "end"
    next_size: int | None
    made: tuple[LookMade, ...] = ()
    counted: str = "blades"
    together: float = 0.95  # at which the intervals of all looks hold

    @property
    def over(self):
        """What stands behind the level of an interval; "" of a single look, which is as usual."""
        return f" over all {self.of} looks" if self.of > 1 else ""

    def to_dict(self):
        """JSON-plain values."""
        return {
            "number": self.number,
            "of": self.of,
            "a_side": self.size,
            "most": self.most,
            "level": plain(self.level),
            "decision": self.decision,
            "next_a_side": self.next_size,
            "made": [{"a_side": one.size, "decision": one.decision} for one in self.made],
            "summary": self.summary(),
        }

    def summary(self):
        """Whether to stop or to go on, and why the interval is wider than at a single reading."""
        return f"{self._decided()}{self._wider()}"

    def _wider(self):
        """At which level this look's interval stands, and what for."""
        if not self.over:
            return ""
        at = "the first look's" if self.decision == "before" else "this look's"
        return (
            f" The interval is wider than that of a test read once: at {at} level, "
            f"{100 * self.level:.1f} %, so that those of all {self.of} looks together hold the "
            f"truth in {100 * self.together:g} of 100 such tests."
        )

    def _decided(self):
        return SAYS[self.decision].format(
            which=f"Look {self.number} of {self.of}, at {self.size} a side",
            most=self.most,
            size=self.size,
            counted=self.counted,
            next_size=self.next_size,
            next_number=self.number + 1,
            futility=100 * FUTILITY,
        )


def level_at(looks, sizes):
    """Level of the interval at the look that the smaller group has reached.

    Before the first look it is the first look's: the strictest.
    """
    reached = looks.boundary.look_at(min(sizes))
    return looks.boundary.levels[reached or 0]


def as_looked_at(found, looks, sizes):
    """A comparison, made with the interval at `level_at`, as a look of its study.

    Parameters
    ----------
    found : Comparison
    looks : Looks
    sizes : sequence of int
        Blades of each heat treatment.

    Returns
    -------
    Comparison
        With its `look`. Its interval is the repeated confidence interval: it holds with the
        plan's level over all looks. Before the first look nothing is claimed.
    """
    plan, size = looks.boundary, min(sizes)
    reached = plan.look_at(size)
    number = 0 if reached is None else reached + 1
    ahead = plan.sizes[number] if number < len(plan.sizes) else None
    practical = found.practical
    if reached is None:
        practical = replace(practical, verdict="cannot_tell", reaches_margin=False)
        decision = "before"
    else:
        decision = _decision(plan, reached, found.ratio, practical.verdict)
    level, repeated = level_at(looks, sizes), plan.level
    look = LookFound(
        number, len(plan.sizes), size, plan.most, level, decision, ahead, looks.made,
        found.groups[0].counted, repeated,
    )  # fmt: skip
    blades = min(len(group.blades) for group in found.groups)
    kept = [one for one in found.doubts if one.code not in OTHER_RULES]
    return replace(
        found,
        ratio=replace(found.ratio, level=repeated, method=f"{found.ratio.method}, repeated"),
        practical=replace(practical, level=round(2 * repeated - 1, 12)),
        other_interval=None,
        needed=None,
        doubts=(*kept, *_doubts(looks, look, sizes, blades)),
        look=look,
    )


def _doubts(looks, look, sizes, blades):
    """What is wrong with the numbers at which the study was read."""
    where, plan = Where(value=look.size), looks.boundary
    if blades > look.size:
        words = {"blades": blades, "size": look.size, "counted": look.counted}
        yield doubt("looks_not_of_blades", where=where, **words)
    if look.size > plan.most:
        yield doubt("beyond_last_look", most=plan.most, where=where)
    elif look.number and set(sizes) != {plan.sizes[look.number - 1]}:
        yield doubt("between_looks", ahead=look.next_size or plan.most, where=where)
    ended = [one for one in looks.made if one.decision == "stop" and one.size < look.size]
    if ended:
        yield doubt("look_after_stop", size=ended[0].size, where=where)


def _decision(plan, reached, ratio, verdict):
    """What the interval and the trend of a look say."""
    if verdict != "cannot_tell":
        return "stop"
    if reached == len(plan.sizes) - 1:
        return "end"
    if not (ratio.low > 0 and isfinite(ratio.high)):
        return "go_on"
    df = ratio.df or 1e6
    stderr = log(ratio.high / ratio.low) / 2 / float(quantile(df, plan.levels[reached]))
    decided = plan.decide(reached, log(ratio.estimate) / stderr, df)
    return "futile" if decided == "futile" else "go_on"
