"""How many measured chops show a ratio of depths between two tools, on one board?"""

from dataclasses import dataclass

import numpy as np

from edgetest.chop.chop_power import DEPTH_SD
from edgetest.chop.tool_power import simulated_depths
from edgetest.store.kept_answers import worked_out_once
from edgetest.study.chop.tools_planned import (
    STUDIES,
    STUDIES_OWN,
    ToolsNeed,
    WoodNeed,
    claims_of_tools,
    goal_of_tools,
)
from edgetest.study.chop.woods_planned import WoodToChop
from edgetest.study.wear.plan_options import NUMBERS_SEED
from edgetest.wear.plan.design_result import Curve, PlanWords
from edgetest.wear.plan.pooled_blades import blades_by_curve

NUMBERS: tuple[int, ...] = (4, 6, 9, 13, 20)
SDS = (0.10, DEPTH_SD, 0.25)  # of one log depth about its tool's line; common practice, no source
MOST_STUDIES = len(NUMBERS) * len(SDS) * STUDIES + STUDIES_OWN
WORDS = PlanWords(
    "chops {share} % deeper", "chops {share} % less deep", "measured chops", "board",
    "measured chops with each tool",
)  # fmt: skip


@dataclass(frozen=True)
class DepthsNeed(ToolsNeed):
    """Measured chops for a ratio of depths, and what those show that are planned."""

    def sentences(self):
        """The plan a line each: what it takes, what is planned, how it was got."""
        low, usual, high = (f"{100 * sd:.0f} %" for sd in SDS)
        ends = (
            f"One depth is taken to scatter by {usual}; the first end holds at {low}, the last at "
            f"{high}."
        )
        return [self._first(), self._as_planned(), ends, self._method()]


def depths_of_tools(source, options, step=None):
    """What a plan says of tools by the depths of single chops.

    Parameters
    ----------
    source : Source
    options : PlanOptions
    step : callable(), optional
        Called after each simulated test.

    Returns
    -------
    dict
        `need`, `work` and `doubts` of a plan.

    Raises
    ------
    UnusableInput
        See `numbers_of_tools`.
    """
    goal, stages = goal_of_tools(options), tuple(source.protocol.stages)
    rng = np.random.default_rng(NUMBERS_SEED)

    def tests(chops, sd, studies):
        return simulated_depths(
            chops, goal.ratio, rng, depth_sd=sd, level=goal.level, studies=studies, step=step
        )

    def simulated():
        found, curves = [], {}
        for sd in SDS:
            powers = (tests(range(1, n + 1), sd, STUDIES).power(goal.ratio) for n in NUMBERS)
            curves[sd] = Curve(NUMBERS, tuple(powers))
            found.append(blades_by_curve(goal, curves[sd], sd, sd))
        low, usual, high = found
        own = tests(stages, DEPTH_SD, STUDIES_OWN)
        return DepthsNeed(
            float(goal.ratio), goal.power, goal.level,
            (WoodNeed(WoodToChop("", None), usual, low, high),), curves[DEPTH_SD], len(stages),
            own.power(goal.ratio), own.ratio_shown(goal.power), WORDS,
        )  # fmt: skip

    need = worked_out_once("plan", ("depths", goal, stages), simulated)
    work = (
        f"Measure {len(stages)} chops of each tool, all tools in turn on one board; the chops "
        "between fall on the board too."
    )
    return {"need": need, "work": work, "doubts": tuple(claims_of_tools(source.study))}
