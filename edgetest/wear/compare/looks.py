"""Testing as you go: which planned look is this, and does the study end here or go on?

One rule for all that is said of it: a look is made when the smaller side has reached its number,
counted in what counts as one result (blades; batches or blocks where these count once), and it is
made once. A look that stops or is the last ends the test. What is no look claims nothing.
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
    "between": "{which}, was made already, without {since}: this is no look of its own, and "
    "nothing is claimed. Go on to look {next_number} with {next_size} a side.",
    "beyond": "No look: {size} {counted} a side are more than the greatest number that was fixed "
    "beforehand, {most}, and nothing is claimed of them.",
    "after": "No look: the test ended at {ended} a side. The answer of that look stands and is not "
    "this one, so nothing is claimed here.",
    "stop": "{which}: stop, the answer stands.",
    "futile": "{which}: stop, going on is futile: at this trend a difference would show by {most} "
    "a side in fewer than {futility:.0f} of 100 such studies. You may go on all the same, "
    "and what you cut then counts.",
    "go_on": "{which}: go on to look {next_number} with {next_size} a side.",
    "end": "{which}: the test ends here without an answer.",
    "early": "{which}, comes too early: {waiting} wait to be cut on. Cut on, and look again.",
}
# Decisions of what claims nothing.
NO_LOOK = ("before", "between", "beyond", "after", "early")
ENDS = ("stop", "end")  # what a look says that ends the test; after "futile" you may go on


@dataclass(frozen=True)
class LookMade:
    """A look that the study remembers: blades a side, what it said, its blades and its ratio.

    `first` is the ratio that it gave when it was made first, where its blades were cut on, or a
    reading corrected, and it was made again.
    """

    size: int
    decision: str
    blades: tuple[str, ...] = ()  # none where nobody noted them
    answer: str = ""  # the longer over the shorter, as told
    first: str = ""


@dataclass(frozen=True)
class Looks:
    """The looks of a study, fixed beforehand, and those already made.

    `cut_before` is how many blades a side had been cut when they were fixed.
    """

    boundary: LookBounds
    made: tuple[LookMade, ...] = ()
    cut_before: int = 0

    @property
    def ended(self):
        """The look that ended the test; None while it goes on."""
        return next((one for one in self.made if one.decision in ENDS), None)


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
    decision: str  # "stop", "futile", "go_on", "end"; of no look one of `NO_LOOK`
    next_size: int | None
    made: tuple[LookMade, ...] = ()
    counted: str = "blades"
    together: float = 0.95  # at which the intervals of all looks hold
    uneven: bool = False  # whether the sides differ in number
    blades: tuple[str, ...] = ()  # that it is made of
    since: tuple[str, ...] = ()  # of them, those that this number's look was made without
    answer: str = ""  # its ratio, the longer over the shorter, as told
    waiting: tuple[str, ...] = ()  # of its blades, those that are to be cut on first

    def too_early(self, waiting):
        """The same look as none, while so many of its blades wait to be cut on."""
        return replace(self, decision="early", waiting=tuple(waiting))

    def gone_on(self):
        """The same without an answer: go on, where a look is left and none has ended the test."""
        left = self.number < self.of and all(one.decision not in ENDS for one in self.made)
        return replace(self, decision="go_on" if left else "end")

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
            "made": [
                {
                    "a_side": one.size,
                    "decision": one.decision,
                    "blades": list(one.blades),
                    "answer": one.answer,
                    "first": one.first,
                }
                for one in self.made
            ],
            "summary": self.summary(),
        }

    def summary(self):
        """Whether to stop or to go on, and why the interval is wider than at a single reading."""
        return f"{self._decided()}{self._wider()}"

    def _wider(self):
        """At which level this look's interval stands, and what for."""
        if not self.over:
            return ""
        at = {"before": "the first look's", "between": "that look's", "early": "this look's"}.get(
            self.decision, "the last look's" if self.decision in NO_LOOK else "this look's"
        )
        return (
            f" The interval is wider than that of a test read once: at {at} level, "
            f"{100 * self.level:.1f} %, so that those of all {self.of} looks together hold the "
            f"truth in {100 * self.together:g} of 100 tests."
        )

    def _decided(self):
        counted = "" if self.counted == "blades" else f" {self.counted}"
        side = "on the smaller side" if self.uneven else "a side"
        ended = next((one.size for one in self.made if one.decision in ENDS), None)
        return SAYS[self.decision].format(
            which=f"Look {self.number} of {self.of}, at {self.size}{counted} {side}",
            most=self.most,
            size=self.size,
            counted=self.counted,
            next_size=self.next_size,
            next_number=self.number + 1,
            futility=100 * FUTILITY,
            ended=ended,
            since=", ".join(self.since),
            waiting=", ".join(self.waiting),
        )


def level_at(looks, sizes, blades=()):
    """Level of the interval at the look that the smaller group of these blades has reached.

    Before the first look it is the first look's: the strictest.
    """
    return looks.boundary.levels[_reached(looks, min(sizes), blades) or 0]


def _reached(looks, size, blades):
    """Which look it is, from 0; None before the first.

    The blades of the look that ended the test stay that look, also where one was left out since.
    """
    ended = looks.ended
    if ended and blades and {*blades} <= {*ended.blades}:
        size = max(size, ended.size)
    return looks.boundary.look_at(size)


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
    blades = tuple(blade for one in found.groups for blade in one.blades)
    reached = _reached(looks, size, blades)
    number = 0 if reached is None else reached + 1
    ahead = plan.sizes[number] if number < len(plan.sizes) else None
    practical, pairs, level = found.practical, found.pairs, level_at(looks, sizes, blades)
    look = LookFound(
        number, len(plan.sizes), size, plan.most, level, "before", ahead, looks.made,
        found.groups[0].counted, plan.level, len(set(sizes)) > 1, blades,
        _not_in_it(looks, reached, blades), str(found.ratio.longer()),
    )  # fmt: skip
    decision = _no_look(looks, look) or _decision(plan, reached, found.ratio, practical.verdict)
    look = replace(look, decision=decision)
    look = look.gone_on() if looks.ended and decision not in (*NO_LOOK, *ENDS) else look
    if decision in NO_LOOK:
        practical = replace(practical, verdict="cannot_tell", reaches_margin=False)
        pairs = tuple(replace(pair, verdict="cannot_tell") for pair in pairs)
    kept = [one for one in found.doubts if one.code not in OTHER_RULES]
    pairs = tuple(replace(pair, ratio=_over_all(pair.ratio, plan)) for pair in pairs)
    return replace(
        found,
        ratio=_over_all(found.ratio, plan),
        practical=replace(practical, level=round(2 * plan.level - 1, 12)),
        other_interval=None,
        needed=None,
        pairs=pairs,
        doubts=(*kept, *look_doubts(look, found.groups)),
        look=look,
    )


def _over_all(ratio, plan):
    """A look's ratio, whose interval holds with the plan's level over all looks together."""
    return replace(ratio, level=plan.level, method=f"{ratio.method}, repeated")


def _not_in_it(looks, reached, blades):
    """Of these blades those without which the study noted the same look."""
    same = [one for one in looks.made if one.blades and looks.boundary.look_at(one.size) == reached]
    return tuple(blade for blade in blades if same and blade not in same[-1].blades)


def _no_look(looks, look):
    """Why this is none of the looks that were fixed; "" where it is one."""
    ended = looks.ended
    if not look.number:
        return "before"
    if ended and (look.size > ended.size or (ended.blades and set(look.blades) - {*ended.blades})):
        return "after"
    if look.size > look.most:
        return "beyond"
    return "between" if look.since else ""


def look_doubts(look, groups):
    """What is wrong with the numbers at which a study was read.

    Parameters
    ----------
    look : LookFound
    groups : sequence of Group
        Named as a reader knows them.

    Yields
    ------
    Doubt
    """
    where = Where(value=look.size)
    fewer = [one for one in groups if one.replicates == look.size < len(one.blades)]
    if fewer:
        which = "; ".join(
            f"{len(one.blades)} blades of {one.treatment} are {one.replicates} {one.counted}"
            for one in fewer
        )
        yield doubt("looks_not_of_blades", which=which, counted=look.counted, where=where)
    if look.decision == "beyond":
        yield doubt("beyond_last_look", most=look.most, where=where)
    if look.decision == "between":
        words = {"ahead": look.next_size, "counted": look.counted}
        yield doubt("between_looks", size=look.size, **words, where=where)


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
