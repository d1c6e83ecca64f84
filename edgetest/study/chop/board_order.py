"""Which board comes when, and which tool takes its piece of it in which turn?

Each board gives a piece to every tool, so that what a board does to all falls out of their
ratios; boards may be more than tools.
"""

from dataclasses import replace

from edgetest.store.chop_log import SEVERED
from edgetest.study.wear.plan_result import NOT_NAMED
from edgetest.wear.plan.planned_runs import CONTROL
from edgetest.wear.plan.run_order import balanced_order


def tools_alone(study):
    """Whether a study has no two heat treatments to compare, so that only its tools are."""
    named = {blade.heat_treatment for blade in study.blades if blade.id != study.control}
    return len(named - {None, ""}) < 2


def board_order(study, boards, rng):
    """The runs of every tool on every board, in counterbalanced order.

    Parameters
    ----------
    study : Study
    boards : sequence of str
        In the order in which they come.
    rng : numpy.random.Generator

    Returns
    -------
    tuple of Run
    """
    kinds = {blade.id: blade.heat_treatment or NOT_NAMED for blade in study.blades}
    if study.control:
        kinds[study.control] = CONTROL
    if not tools_alone(study):
        blades = {blade: kind for blade, kind in kinds.items() if kind != CONTROL}
        return balanced_order(blades, boards, rng, control=study.control, runs=len(boards))
    runs = balanced_order({blade: blade for blade in kinds}, boards, rng, runs=len(boards))
    return tuple(replace(run, treatment=kinds[run.blade]) for run in runs)


def usual_boards(rules, log=None):
    """Names of the boards: those of a log under way, else one for each piece that is asked for.

    Parameters
    ----------
    rules : Protocol
    log : ChopLog, optional

    Returns
    -------
    tuple of str
    """
    rows = log.rows if log is not None and pieces_begun(log) else ()
    seen = dict.fromkeys(row.board or row.block for row in rows if row.kind in SEVERED)
    word = "stud" if rules.chop_kinds == ("lumber",) else "board"
    asked = tuple(f"{word} {number}" for number in range(1, len(rules.stages) + 1))
    return tuple(name for name in seen if name) or asked


def pieces_begun(log):
    """Whether strokes of a piece stand in the log."""
    return any(row.chops is not None for row in log.rows)
