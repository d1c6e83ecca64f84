"""How many pieces show a ratio between two tools, and what do those show that are planned?"""

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from edgetest.chop.tool_power import simulated_tests
from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.stats.power import Power
from edgetest.stats.regression import USUAL_SPREAD
from edgetest.store.kept_answers import worked_out_once
from edgetest.study.chop.alone_planned import (
    alone_factor_words,
    alone_words,
    boards_alone,
    told_alone,
    tools_of,
)
from edgetest.study.chop.woods_planned import (
    MOST_WOODS,
    WoodToChop,
    planned_strokes,
    woods_to_chop,
)
from edgetest.study.wear.plan_options import NUMBERS_SEED
from edgetest.study.words import counted
from edgetest.wear.plan.design_result import Curve, PlanWords, difference_words
from edgetest.wear.plan.pooled_blades import MOST_BLADES, blades_by_curve, blades_to_tell
from edgetest.wear.plan.study_design import Goal

# Pieces with each tool that are simulated.
NUMBERS: tuple[int, ...] = (3, 6, 12, 24, 48)
NUMBERS_ENDS: tuple[int, ...] = (12, 36)
# Scatter of pieces of one board beyond chance: even wood, as usual, and as in the guide's table
# of ratios at the worst. No source.
PIECE_CVS = (0.0, USUAL_SPREAD.cv, 0.30)
STUDIES, STUDIES_ENDS, STUDIES_OWN = 150, 80, 300
MOST_STUDIES = STUDIES_OWN + MOST_WOODS * (
    len(NUMBERS) * STUDIES + 2 * len(NUMBERS_ENDS) * STUDIES_ENDS
)
USUAL_RATIO = 1.25  # that a plan asks for where nobody names one
WORK = (
    "Saw {pieces} for each tool from every board, all pieces of a board alike. Chop a piece with "
    "each tool in turn, {again}then take the next board."
)
WORK_ALONE = "Saw the pieces of the order below, all alike, and chop them in that order."
ADDED = "Pieces of another wood or size count for the ratio too, if each tool chops one."
WORDS = PlanWords(
    "{share} % more chops to sever", "{share} % fewer chops to sever", "pieces", "board",
    "pieces with each tool",
)  # fmt: skip


@dataclass(frozen=True)
class WoodNeed:
    """Pieces with each tool that show the ratio; None where `MOST_BLADES` would not do.

    `low` where chance alone parts the pieces of a board, `high` where they differ by 30 %.
    """

    wood: WoodToChop
    pieces: int | None
    low: int | None
    high: int | None

    def to_dict(self):
        """JSON-plain values."""
        return {
            "wood": self.wood.words or None,
            "strokes": self.wood.strokes,
            "pieces_seen": self.wood.seen,
            "pieces": self.pieces,
            "low": self.low,
            "high": self.high,
        }

    def number(self, each=WORDS.each):
        """The pieces, or what is counted else, with their range."""
        if self.pieces is None:
            return f"more than {MOST_BLADES} {each}"
        high = f"more than {MOST_BLADES}" if self.high is None else self.high
        return f"{self.pieces} {each} ({self.low} to {high})"


@dataclass(frozen=True)
class ToolsNeed:
    """Pieces for a ratio of two tools, and what the pieces show that are planned.

    `alone` holds, for a tool without another beside it, pieces and the factor either side to
    which they tell its mean strokes, those that are planned first.
    """

    ratio: float
    power: float
    level: float
    woods: tuple[WoodNeed, ...]
    curve: Curve  # of the first wood, by pieces with each tool
    planned: int
    as_planned: Power
    least_shown: float  # ratio that the planned pieces show with the same chance; inf for none
    words: PlanWords = WORDS
    options: tuple = ()
    alone: tuple[tuple[int, float], ...] = ()

    @property
    def difference(self):
        """The ratio in words: "25 % more chops to sever"."""
        return difference_words(self.ratio, self.words)

    def to_dict(self):
        """JSON-plain values; what is told of blades and heat treatments is not planned here."""
        blank = ("sd_blades", "chosen", "blades", "blades_low", "blades_high", "heat_treatments",
                 "as_planned")  # fmt: skip
        points = zip(self.curve.blades, self.curve.powers, strict=True)
        return {
            "ratio": self.ratio,
            "power": self.power,
            "level": self.level,
            **dict.fromkeys(blank),
            "curve": [],
            "options": [],
            "tools": {
                "woods": [need.to_dict() for need in self.woods],
                "pieces_planned": self.planned,
                "chance": self.as_planned.value,
                "chance_stderr": self.as_planned.stderr,
                "interval_factor": plain(self.as_planned.factor),
                "ratio_shown": plain(self.least_shown),
                "curve": [{"pieces": n, "power": p.value, "stderr": p.stderr} for n, p in points],
                "alone": [{"pieces": n, "interval_factor": plain(each)} for n, each in self.alone],
            },
        }

    def to_frame(self):
        """The woods, one row each."""
        import pandas as pd

        return pd.DataFrame([need.to_dict() for need in self.woods])

    def in_short(self):
        """How many pieces are planned, and what more would show; for a bench sheet."""
        if self.alone:
            (pieces, factor), *_ = self.alone
            told = f"its mean strokes to a factor of {alone_factor_words(factor)}"
            return f"planned: {counted(pieces, 'piece')}, {told}"
        number = " ".join(self.woods[0].number("").split())
        return (
            f"planned: {self.planned} {self.words.each}; to show {self.difference} takes {number}"
        )

    def summary(self):
        """The plan as a maker reads it out."""
        return " ".join(self.sentences())

    def sentences(self):
        """The plan a line each: what it takes, what is planned, other woods, how it was got."""
        first, *others = self.woods
        if self.alone:
            beside = f"Beside a second tool: {self._beside()}. {self._method()}"
            return [alone_words(self.alone), beside]
        lines = [
            f"{self._first()} That is for {_wood_words(first.wood)}.",
            self._as_planned(),
            *(f"For {_wood_words(need.wood)}: {need.number()}." for need in others),
        ]
        lines.append(
            "Pieces of all woods and sizes count together for the ratio." if others else ADDED
        )
        return [*lines, self._ends(), self._method()]

    def _ends(self):
        """What the range of each number means."""
        return (
            f"In brackets: the first number holds where luck in the counts alone parts the pieces "
            f"of a board, the last where these differ by another {100 * PIECE_CVS[-1]:.0f} %; the "
            f"number before takes {100 * USUAL_SPREAD.cv:.0f} %."
        )

    def _first(self):
        """What the ratio takes, of the first wood."""
        usual = self.ratio == USUAL_RATIO
        return (
            f"To show {self.difference} with one tool than with the other, with a chance of "
            f"{100 * self.power:.0f} %: {self.woods[0].number(self.words.each)}."
            + f" ({100 * (self.ratio - 1):.0f} % is asked where --ratio says nothing else.)"
            * usual
        )

    def _beside(self):
        """What a ratio would take of a tool that has none beside it yet."""
        first = self.woods[0]
        number = f"over {MOST_BLADES}" if first.pieces is None else f"some {first.pieces}"
        return (
            f"to show {self.difference} with a chance of {100 * self.power:.0f} % takes {number} "
            f"{self.words.each}, of {_wood_words(first.wood)}"
        )

    def _method(self):
        """By what the chances were got."""
        worst = max(power.stderr for power in self.curve.powers)
        return (
            "The chances come from simulated tests that went through the comparison itself "
            f"(standard error up to {counted(round(100 * worst), 'point')})."
        )

    def _as_planned(self):
        """What the pieces that are planned can show."""
        what = self.words.readings.removesuffix("s")
        words = f"With the {counted(self.planned, what)} of each tool here the chance of that is "
        words += f"{100 * self.as_planned.value:.0f} %"
        if self.as_planned.factor is not None:
            words += (
                f", and the interval of the ratio typically reaches a factor of "
                f"{self.as_planned.factor:.2g} either side"
            )
        if self.least_shown < float("inf"):
            return (
                f"{words}: for a chance of {100 * self.power:.0f} % the ratio must be "
                f"{self.least_shown:.2g} or more."
            )
        return f"{words}: so few show no ratio at all."


def _wood_words(wood):
    named = f" of {wood.words}" if wood.words else ""
    return f"pieces{named} that take about {wood.strokes:.0f} chops"


def numbers_of_tools(source, options, boards, step=None, *, left=None):
    """What a plan says of tools whose heat treatments are not compared.

    Parameters
    ----------
    source : Source
    options : PlanOptions
        Its `fresh` is the chops that a piece takes.
    boards : sequence of str
        Boards that give a piece to each tool, each once for every such piece.
    step : callable(), optional
        Called after each simulated test.
    left : sequence of Run, optional
        Of a test under way: the turns that are still to come.

    Returns
    -------
    dict
        `need`, `work` and `doubts` of a plan.

    Raises
    ------
    UnusableInput
        For a ratio or power that is none, and for a scatter between blades, which tells nothing
        of two tools.
    """
    goal = goal_of_tools(options)
    woods, doubts = woods_to_chop(source, options.fresh)
    planned = planned_strokes(source, woods[0].strokes, len(boards), left)
    rng = np.random.default_rng(NUMBERS_SEED)
    alone = boards_alone(source, boards)

    def simulated():
        need = _simulated(goal, woods, planned, rng, step)
        return replace(need, alone=tuple(told_alone(alone, woods[0].strokes, rng, goal.level)))

    need = worked_out_once("plan", ("tools", goal, woods, planned, alone), simulated)
    return {
        "need": need,
        "work": WORK_ALONE if alone else work_words(boards),
        "doubts": (*doubts, *claims_of_tools(source.study)),
    }


def work_words(boards):
    """What is to be sawn and chopped, by the names of the boards, one for each piece of a tool."""
    each = Counter(boards).values()
    if set(each) == {1}:
        return WORK.format(pieces="a piece", again="")
    if len(set(each)) == 1:
        return WORK.format(pieces=counted(next(iter(each)), "piece"), again="a round a piece, ")
    pieces = f"{min(each)} to {max(each)} pieces, as the order below has it,"
    return WORK.format(pieces=pieces, again="a round a piece, ")


def goal_of_tools(options):
    """What a plan of tools is to show; a scatter between blades is refused."""
    if options.history or options.sd_blades is not None:
        raise UnusableInput(
            "how blades of one heat treatment scatter tells nothing of a ratio of two tools",
            "history (--history), sd_blades (--sd)",
            "leave them out, or name two heat treatments",
        )
    blades_to_tell(options.ratio, 1.0, power=options.power, level=options.level)  # refuses
    return Goal(options.ratio, options.power, options.level)


def claims_of_tools(study):
    """What can be claimed of tools, as doubts."""
    tools = tools_of(study)
    if len(tools) < 2:
        yield doubt("one_tool_planned")
    if len(tools) > 2:
        yield doubt("tools_compared_singly", tools=len(tools))
    yield doubt("tools_not_treatments")


def _simulated(goal, woods, planned, rng, step):
    """Every number of the plan, from simulated tests."""
    needs, curves = zip(*(_need(goal, wood, rng, step) for wood in woods), strict=True)
    own = simulated_tests(
        planned, goal.ratio, rng, level=goal.level, studies=STUDIES_OWN, step=step
    )
    return ToolsNeed(
        float(goal.ratio), goal.power, goal.level, needs, curves[0], len(planned),
        own.power(goal.ratio), own.ratio_shown(goal.power),
    )  # fmt: skip


def _need(goal, wood, rng, step):
    """Pieces of one wood by its strokes, and the chances as usual."""
    found, usual = [], None
    for cv in PIECE_CVS:
        middle = cv == USUAL_SPREAD.cv
        numbers, studies = (NUMBERS, STUDIES) if middle else (NUMBERS_ENDS, STUDIES_ENDS)

        def power(number, cv=cv, studies=studies):
            tests = simulated_tests(
                [wood.strokes] * number, goal.ratio, rng, piece_cv=cv, level=goal.level,
                studies=studies, step=step,
            )  # fmt: skip
            return tests.power(goal.ratio)

        curve = Curve(numbers, tuple(power(number) for number in numbers))
        usual = curve if middle else usual
        sd = (1 / wood.strokes + cv**2) ** 0.5
        found.append(blades_by_curve(goal, curve, sd, sd))
    low, pieces, high = found
    return WoodNeed(wood, pieces, low, high), usual
