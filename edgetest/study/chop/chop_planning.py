"""Plan a chop test: blades of each heat treatment, and pieces or measured chops of each blade."""

from dataclasses import dataclass, replace
from math import sqrt
from statistics import median

from edgetest.chop.chop_power import ChopsExpected, chop_power
from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.stats.power import EXACT, Power
from edgetest.study.chop.chop_rows import severings
from edgetest.study.chop.woods_planned import USUAL_STROKES
from edgetest.study.words import counted
from edgetest.wear.plan.design_result import Curve, Option, PlanWords, StudyPlan
from edgetest.wear.plan.pooled_blades import blades_by_curve, blades_to_tell
from edgetest.wear.plan.study_power import UNSAID

# Blades that are simulated; a mixed model of depths takes long with many.
COUNTS: tuple[int, ...] = (2, 3, 4, 5, 6, 8, 10)
DEPTHS: tuple[int, ...] = (2, 3, 4)
STUDIES, STUDIES_OWN, STUDIES_DEPTHS = 150, 400, 80
MOST_STUDIES = len(COUNTS) * STUDIES + STUDIES_OWN
OF_BATCHES = Power(0.0, 0.0, EXACT, None, UNSAID)  # of one batch: it tells of itself alone
WORDS = {
    False: PlanWords(
        "{share} % more chops to sever", "{share} % fewer chops to sever", "pieces", "board"
    ),
    True: PlanWords(
        "chops {share} % deeper", "chops {share} % less deep", "measured chops", "board"
    ),
}


@dataclass(frozen=True)
class ChopPlan:
    """The blades needed, and what is believed of wood and strokes."""

    need: StudyPlan
    expected: ChopsExpected
    doubts: tuple[Doubt, ...]
    boards: int = 0  # that give the pieces; 0: as many as pieces

    def work(self):
        """What each blade is to do, in a maker's words."""
        one = self.expected
        if one.chops:
            return (
                f"Measure {len(one.chops)} chops of each blade, all blades in turn on one board; "
                f"one depth is taken to scatter by {100 * one.depth_sd:.0f} %."
            )
        of = "one of every board"
        if 0 < self.boards < one.pieces:
            of = f"of {counted(self.boards, 'board')}, as the order below has it"
        return (
            f"Let each blade sever {one.pieces} pieces, {of}, at about "
            f"{one.strokes:.0f} chops a piece; pieces of one board are taken to differ by "
            f"{100 * one.piece_cv:.0f} % beyond counting chance."
        )


@dataclass(frozen=True)
class OwnBlades:
    """What a study has: blades and batches of each heat treatment, and boards of its pieces.

    Attributes
    ----------
    blades : tuple of int
        Blades of each heat treatment; () for a study without two.
    batches : tuple of int
        Quench or temper batches of each, as `PlannedRuns.batches`.
    boards : tuple of str
        Boards that give a piece to each blade, each once for every such piece.
    """

    blades: tuple[int, ...] = ()
    batches: tuple[int, ...] = ()
    boards: tuple[str, ...] = ()

    @property
    def counted(self):
        """The numbers that speak for the heat treatments: batches where one holds several."""
        held = zip(self.batches, self.blades, strict=False)
        return self.batches if any(n < of for n, of in held) else self.blades

    def of_one(self, expected):
        """What is expected of one of those that count: of a batch, the mean of its blades.

        Batches are taken not to differ, so the chance is the most that it can be.
        """
        each = sum(self.blades) / sum(self.counted)
        return replace(
            expected,
            sd_blades=expected.sd_blades / sqrt(each),
            pieces=round(each * expected.pieces),
            chops=expected.chops * round(each),
        )


def plan_chops(source, goal, options, sd_blades, rng, *, own=OwnBlades(), step=None):
    """Plan a chop test by the comparison that `edgetest chop` runs.

    Parameters
    ----------
    source : Source
    goal : Goal
    options : PlanOptions
        Its `fresh` is the chops that a piece takes.
    sd_blades : float
    rng : numpy.random.Generator
    own : OwnBlades
    step : callable(), optional

    Returns
    -------
    ChopPlan

    Raises
    ------
    UnusableInput
        For a ratio, scatter or power that is none.
    """
    blades_to_tell(goal.ratio, sd_blades, power=goal.power, level=goal.level)
    expected, doubts = _expected(source, options, sd_blades, len(own.boards))
    count = max(len(own.blades), 2)

    def power(numbers, studies, of=expected):
        return chop_power(
            numbers, goal.ratio, of, rng, level=goal.level, studies=studies, step=step
        )

    numbers, studies, own_studies = COUNTS, STUDIES, STUDIES_OWN
    if expected.chops:
        numbers, studies, own_studies = DEPTHS, STUDIES_DEPTHS, STUDIES_DEPTHS
    curve = Curve(numbers, tuple(power((n,) * count, studies) for n in numbers))
    sd = _sd(expected)
    chosen = _option(goal, curve, expected, sd, count)
    more = [replace(expected, pieces=k * expected.pieces) for k in (2, 3)]
    others = [] if expected.chops else [_option(goal, curve, one, sd, count) for one in more]
    own = own if len(own.blades) > 1 else OwnBlades(boards=own.boards)
    as_planned = None
    if own.blades:
        as_planned = OF_BATCHES
        if min(own.counted) > 1 or min(own.blades) < 2:
            as_planned = power(own.counted, own_studies, own.of_one(expected))
    need = StudyPlan(
        ratio=float(goal.ratio),
        power=goal.power,
        level=goal.level,
        sd_blades=sd_blades,
        chosen=chosen,
        curve=curve,
        options=(chosen, *others),
        as_planned=as_planned,
        blades_planned=own.blades,
        batches_planned=own.batches,
        treatments=count,
        words=WORDS[bool(expected.chops)],
    )
    return ChopPlan(need, expected, tuple(doubts), len(set(own.boards)))


def _sd(expected):
    """Scatter of a blade's log figure, pieces included."""
    return (expected.sd_blades**2 + expected.reading_se**2) ** 0.5


def _option(goal, curve, expected, sd_simulated, treatments):
    """What so many pieces a blade need."""
    sd = _sd(expected)
    blades = blades_by_curve(goal, curve, sd_simulated, sd)
    each = len(expected.chops) or expected.pieces
    readings = treatments * blades * each if blades else None
    return Option(each, 1, 1, expected.reading_se, sd, blades, readings)


def _expected(source, options, sd_blades, pieces):
    """Strokes and pieces by the study's own log, what was asked, and the protocol."""
    rules = source.protocol
    if "single" in rules.chop_kinds:
        return ChopsExpected(sd_blades, chops=tuple(rules.stages)), []
    strokes, doubts = options.fresh, []
    if strokes is None:
        strokes, doubts = _strokes_of(source)
    least = len(rules.stages)
    return ChopsExpected(sd_blades, strokes=float(strokes), pieces=max(least, pieces)), doubts


def _strokes_of(source):
    """Median chops of the pieces that the study has severed, else what is usual."""
    try:
        seen = [piece.chops for piece in severings(source.chops, source.study) if piece.severed]
    except (UnusableInput, AttributeError):
        seen = []
    if seen:
        return median(seen), []
    return USUAL_STROKES, [doubt("strokes_assumed", strokes=f"{USUAL_STROKES:.0f}")]
