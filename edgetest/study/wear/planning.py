"""Plan a comparison: how many blades, at which cuts, in which order."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import checked_level
from edgetest.store.kept_answers import worked_out_once
from edgetest.study.bench.blinding import refuse_sealed
from edgetest.study.chop import chop_planning, depths_planned, tools_planned
from edgetest.study.chop.added_pieces import severs
from edgetest.study.chop.board_order import (
    board_order,
    boards_of,
    boards_of_layout,
    pieces_begun,
    tools_alone,
    usual_boards,
)
from edgetest.study.chop.order_begun import order_under_way, progress_words
from edgetest.study.wear.batches_planned import batch_doubts, uneven_doubts
from edgetest.study.wear.earlier_studies import scatter_before
from edgetest.study.wear.expectations import believed_of
from edgetest.study.wear.group_titles import blade_names
from edgetest.study.wear.looks_in_turn import looks_in_turn
from edgetest.study.wear.order_anew import (
    begun_as_drawn,
    begun_runs_of,
    left_of,
    runs_anew,
    runs_of_log,
    seed_kept,
)
from edgetest.study.wear.plan_options import NUMBERS_SEED, ONE_ROLL, USUAL_PLAN
from edgetest.study.wear.plan_result import NOT_NAMED, Plan
from edgetest.study.wear.planned_beside_log import log_doubts, scatter_doubt
from edgetest.study.wear.study_looks import first_look, kept_looks, looks_stay, test_over
from edgetest.wear.plan import study_design
from edgetest.wear.plan.looks_plan import plan_looks
from edgetest.wear.plan.planned_runs import CONTROL, Bench, bench_of, planned_runs
from edgetest.wear.plan.run_order import Run, balanced_order
from edgetest.wear.plan.shop_chances import shop_chance
from edgetest.wear.plan.stage_schedule import schedule_once
from edgetest.wear.plan.study_design import Goal, PlannedLayout, plan_study

# Blade-to-blade SD of log life where the shop has no history; common practice, no source.
ASSUMED_SD = 0.15


class Steps:
    """Counts simulated studies for a progress bar that wants (done, total)."""

    def __init__(self, progress, total):
        self.progress, self.total, self.done = progress, total, 0

    def __call__(self):
        """One more study is done."""
        self.done += 1
        if self.progress:
            self.progress(min(self.done, self.total - 1), self.total)

    def end(self):
        """Fewer than could be were needed: the bar is full all the same."""
        if self.progress and self.done:
            self.progress(self.total, self.total)


def make_plan(source, options=USUAL_PLAN, *, workers=2, progress=None):
    """Plan the study of a source.

    Parameters
    ----------
    source : Source
        A study; its protocol gives stages, stations and limit, its blades the runs.
    options : PlanOptions
    workers : int
        For photographs of earlier studies; see `edgetest.study.photos.measure_photos`.
    progress : callable(done, total), optional
        Of photographs, and of simulated studies.

    Returns
    -------
    Plan

    Raises
    ------
    UnusableInput
        For a log without a study, sealed names, an earlier study that tells nothing of the
        scatter, a level that is none, or a reading of which neither fresh value nor limit is
        known.
    """
    checked_level(options.level)
    study = source.study
    if study is None:
        raise UnusableInput(
            "a plan needs a study", str(source.path), "make one with `edgetest new`"
        )
    sd_blades = options.scatter_given()
    known, readings_before = scatter_before(
        options.history, source, workers=workers, progress=progress
    )
    if sd_blades is None:
        sd_blades = known.sd_log_life if known else ASSUMED_SD
    refuse_sealed(study)
    order = _order_of(source, options)
    if source.protocol.log == "chops" and tools_alone(study):
        numbers = _of_tools(source, options, order, progress)
        return Plan(
            title=study.title, **numbers, **vars(order), history=None, readings_before=0.0,
            looks=_looks(source, options, numbers["need"], order.runs), names=blade_names(study),
            progress=_progress(source, order, numbers["need"]),
        )  # fmt: skip
    layout = _layout(study, order.runs)
    numbers = _numbers(source, options, sd_blades, known, layout, progress)
    rolls = None if source.protocol.log == "chops" else len({run.block for run in order.runs})
    looks = _looks(source, options, numbers["need"], order.runs)
    of_batches = batch_doubts(study, rolls=rolls, looks=looks is not None)
    doubts = [*numbers.pop("doubts"), *of_batches, *_uneven(source, order, numbers["need"])]
    doubts += test_over(study)
    doubts += looks_in_turn(order.runs, looks.looks.boundary.sizes) if looks else []
    if options.sd_blades is None and known is None:
        doubts.insert(0, scatter_doubt(source, f"{100 * sd_blades:.0f} %"))
    if any(run.treatment == NOT_NAMED for run in order.runs):
        doubts.append(doubt("treatments_not_named"))
    return Plan(
        title=study.title,
        looks=looks,
        looks_stay="" if looks else looks_stay(study),
        **numbers,
        **vars(order),
        history=known,
        shop=_shop(known, numbers["need"], options),
        readings_before=readings_before,
        doubts=tuple(doubts),
        own_protocol=study.protocol if study.protocol.endswith(".toml") else "",
        names=blade_names(study),
        progress=_progress(source, order, numbers["need"]),
    )


def _uneven(source, order, need):
    """The doubts of runs that do not divide; of a test under way nothing else is bidden."""
    chops = source.protocol.log == "chops"
    return uneven_doubts(order.runs, source.study, None if chops or order.begun else need)


def _progress(source, order, need):
    """How far a chop test is, in words; "" of any that is not under way."""
    woods = getattr(need, "woods", ())
    return progress_words(source.chops, order.left, woods[0].pieces if woods else None)


def _shop(known, need, options):
    """What the plan buys where differences are as the shop's; None where they are not known."""
    if known is None or known.spread is None:
        return None
    return shop_chance(
        known.spread, options.ratio, need.curve, need.chosen.sd_log_life, level=options.level
    )


def _looks(source, options, need, runs):
    """The looks asked for; None without any."""
    if not options.looks and options.most is None:
        return None
    if source.protocol.log == "chops":
        raise UnusableInput(
            "looks are for lives of blades, and this is a chop test",
            "looks (--looks)",
            "plan it without looks, and test all blades before you compare",
        )
    in_blocks = len({run.block for run in runs}) > 1
    planned = plan_looks(
        options.ratio,
        need.chosen.sd_log_life,
        most=options.most,
        level=options.level,
        in_blocks=in_blocks,
        first=first_look(source),
    )
    return replace(planned, looks=kept_looks(source.study, planned.looks))


@dataclass(frozen=True)
class RunOrder:
    """Who is cut when; `seed` is None where nobody is to draw the order again."""

    runs: tuple[Run, ...]
    seed: int | None
    begun: Mapping = field(default_factory=dict)  # cuts made by the runs of a wear test's log
    left: tuple[Run, ...] | None = None  # of a chop test under way


def drawn_order(study, options=USUAL_PLAN, log=None):
    """Draw the order of a study's runs.

    Parameters
    ----------
    study : Study
    options : PlanOptions
        Its blocks, seed and runs count.
    log : ChopLog, optional
        Of a study under way: its boards are kept where nobody names any.

    Returns
    -------
    RunOrder
    """
    seed = options.drawn_with
    rng = np.random.default_rng(seed)
    blades = _treatments(study)
    kept = _order_before(study, blades) if options.blocks is None else None
    if kept is not None:
        return kept
    blocks = ONE_ROLL if options.blocks is None else options.blocks
    if severs(study.rules):
        if options.runs < 1:
            what = f"{options.runs} pieces of every board"
            raise UnusableInput(what, "runs (--runs)", "give 1 or more")
        boards = usual_boards(study.rules, log, study.plan) if tuple(blocks) == ONE_ROLL else blocks
        if options.runs > 1:
            boards = tuple(name for name in dict.fromkeys(boards) for _ in range(options.runs))
        return RunOrder(board_order(study, boards, rng), seed)
    if study.rules.log == "chops" and tuple(blocks) == ONE_ROLL:
        blocks = ("board 1",)
    runs = balanced_order(blades, blocks, rng, control=study.control, runs=options.runs)
    return RunOrder(runs, seed)


def _order_of(source, options):
    """The order of a plan; of a test under way what was done stands, and what is left is drawn."""
    study, begun = source.study, begun_runs_of(source)
    chopped = source.chops is not None and pieces_begun(source.chops)
    options = seed_kept(options, study) if begun or chopped else options
    unnamed = options.blocks in (None, ONE_ROLL)  # else what other rolls would give is asked
    typed = runs_of_log(source) if unnamed or left_of(source) else []
    if not (typed or (begun and options.anew)):
        drawn = drawn_order(study, options, source.chops)
        if not (severs(source.protocol) and chopped):
            return replace(drawn, begun=begun_as_drawn(source, drawn.runs))
        runs, left, by_lot = order_under_way(study, source.chops, drawn.runs, anew=options.anew)
        seed = drawn.seed if by_lot else (study.plan or {}).get("seed")
        return RunOrder(runs, seed, left=left)
    runs, seed = runs_anew(source, options, _treatments(study))
    return RunOrder(runs, seed, begun_as_drawn(source, runs))


def _treatments(study):
    """Heat treatment of every blade but the control."""
    own = [blade for blade in study.blades if blade.id != study.control]
    return {blade.id: blade.heat_treatment or NOT_NAMED for blade in own}


def _order_before(study, blades):
    """The order that the study has; None where it has none, or not of all its blades."""
    plan, treatments = study.plan or {}, dict(blades)
    if study.control:
        treatments[study.control] = CONTROL
    turns: Counter = Counter()
    runs = []
    for block, blade in plan.get("order", ()):
        turns[block] += 1
        runs.append(Run(block, turns[block], blade, treatments.get(blade, NOT_NAMED)))
    if {run.blade for run in runs} != set(treatments):
        return None
    return RunOrder(tuple(runs), plan.get("seed"))


def _of_tools(source, options, order, progress):
    """Pieces needed by two tools whose heat treatments are not compared."""
    if severs(source.protocol):
        step = Steps(progress, tools_planned.MOST_STUDIES)
        boards = boards_of(order.runs)
        numbers = tools_planned.numbers_of_tools(source, options, boards, step, left=order.left)
    else:
        step = Steps(progress, depths_planned.MOST_STUDIES)
        numbers = depths_planned.depths_of_tools(source, options, step)
    step.end()
    return numbers


def _numbers(source, options, sd_blades, known, layout, progress):
    """Blades needed and stages, for a chop test or a cut test."""
    goal = Goal(options.ratio, options.power, options.level)
    rng = np.random.default_rng(NUMBERS_SEED)
    if source.protocol.log == "chops":
        step = Steps(progress, chop_planning.MOST_STUDIES)
        runs = layout.own
        blades, batches = (runs.blades, runs.batches) if runs else ((), ())
        own = chop_planning.OwnBlades(blades, batches, boards_of_layout(runs))
        chops = chop_planning.plan_chops(source, goal, options, sd_blades, rng, own=own, step=step)
        step.end()
        return {"need": chops.need, "work": chops.work(), "doubts": chops.doubts}
    learnt = known if options.sd_blades is None else None  # a scatter that was given stands
    df, loads = (learnt.df, learnt.batches) if learnt else (None, None)
    believed = believed_of(source, options, sd_blades, df, loads)
    step = Steps(progress, study_design.MOST_STUDIES)
    asked = goal, layout, believed.sampling, believed.expected

    def simulated():
        return plan_study(*asked, rng, words=believed.words, step=step)

    need = worked_out_once("plan", (asked, believed.words), simulated)
    step.end()
    return {
        "need": need,
        "schedule": _schedule(source.protocol, believed),
        "believed": believed,
        "doubts": (*log_doubts(source, believed), *believed.doubts),
    }


def _schedule(rules, believed):
    """The best stages; None where no curve is read, or every cut is."""
    wear, stages = believed.expected.wear, rules.stages
    if wear is None or len(stages) < 3 or stages[-1] - stages[0] < len(stages):
        return None
    return schedule_once(len(stages), stages[-1], wear, own=tuple(stages), first=stages[0])


def _layout(study, runs):
    """How the study's runs are laid out; two heat treatments are taken where it has fewer."""
    rows = [
        (run.blade, CONTROL if run.blade == study.control else run.treatment, run.block)
        for run in runs
    ]
    named = {treatment for _, treatment, _ in rows} - {CONTROL, NOT_NAMED}
    if len(named) < 2:
        return PlannedLayout(Bench())
    reference = study.heat_treatment_of(study.reference) if study.reference else None
    batches = {blade.id: blade.batch for blade in study.blades}
    own = planned_runs(
        [row for row in rows if row[1] != NOT_NAMED], reference=reference, batches=batches
    )
    return PlannedLayout(bench_of(own), own)


def usual_blocks(source):
    """Names of as many rolls, boards or days as each heat treatment has blades."""
    study = source.study
    if severs(source.protocol):
        return usual_boards(source.protocol, source.chops, study.plan)
    of = [blade.heat_treatment for blade in study.blades if blade.id != study.control]
    count = min(of.count(name) for name in of) if of else 1
    word = "roll" if "rope" in source.protocol.medium.kind else "day"
    return tuple(f"{word} {number}" for number in range(1, count + 1))
