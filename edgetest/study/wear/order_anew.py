"""Which runs of a wear test under way stand, and in which order does what is left come?"""

from collections import Counter, defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.files import locked, write_atomic
from edgetest.store.history import keep_as_known, notice_under_lock
from edgetest.store.log_sheet import KEYS, open_sheet
from edgetest.study.wear.plan_options import ONE_ROLL
from edgetest.wear.plan.planned_runs import CONTROL
from edgetest.wear.plan.run_order import Run, balanced_order

LOG = "log"


def begun_runs_of(source):
    """Block and blade of the runs that the log holds readings of, in the order that was drawn.

    Those that no order names follow as their rows stand.

    Parameters
    ----------
    source : Source

    Returns
    -------
    list of (str, str)
    """
    read = dict.fromkeys(
        (row.block, row.blade) for row in source.log.rows if row.photo or not row.waiting
    )
    drawn = [tuple(run) for run in (source.study.plan or {}).get("order", ())]
    named = [run for run in drawn if run in read or ("", run[1]) in read]
    blades = {blade for _, blade in named}
    return named + [run for run in read if run not in named and (run[0] or run[1] not in blades)]


def begun_as_drawn(source, runs):
    """Runs that were begun, and drawn ones whose blade has its only run on another roll.

    Parameters
    ----------
    source : Source
    runs : iterable of Run
        As they were drawn.

    Returns
    -------
    dict of (str, str) to float
        Block and blade, and the cuts that each has made; empty of a chop test.
    """
    begun = begun_runs_of(source) if source.protocol.log == LOG else []
    planned = Counter(run.blade for run in runs)
    cut = Counter(blade for _, blade in begun)
    once = {blade for blade, n in planned.items() if n == cut[blade] == 1}
    made = dict.fromkeys(begun, 0.0)
    for row in source.log.rows:
        if not row.waiting and (row.block, row.blade) in made:
            made[row.block, row.blade] = max(made[row.block, row.blade], row.cuts)
    of = {blade: cuts for (_, blade), cuts in made.items()}
    return made | {(run.block, run.blade): of[run.blade] for run in runs if run.blade in once}


def left_of(source):
    """Blades that are not begun, the control aside, of a log that holds readings already.

    Parameters
    ----------
    source : Source

    Returns
    -------
    list of str
        Empty for a log that is not begun, and for one that holds all its blades.
    """
    begun, study = begun_runs_of(source), source.study
    cut = Counter(blade for _, blade in begun)
    wanted = Counter(blade for _, blade in (study.plan or {}).get("order", ()))
    own = [blade.id for blade in study.blades if blade.id != study.control]
    return [blade for blade in own if cut[blade] < max(wanted[blade], 1)] if begun else []


def seed_kept(options, study):
    """The options with the number that a test under way was drawn with, where none is named."""
    kept = (study.plan or {}).get("seed") if options.seed is None else options.seed
    return replace(options, seed=kept)


def runs_anew(source, options, treatments):
    """The runs of a test under way: those begun as they stand, then what is left, drawn anew.

    Where every blade was begun, blocks that the log does not know yet give each a run more. A log
    that was begun without a plan has its runs as they stand where nothing is left.

    Parameters
    ----------
    source : Source
    options : PlanOptions
        Its blocks: those of what is left; not named, those in which it was to be cut.
    treatments : dict of str to str
        Heat treatment of every blade but the control.

    Returns
    -------
    tuple of Run, int or None
        The runs, and the number that drew what is left; None where nothing was drawn.
    """
    begun = begun_runs_of(source)
    left = left_of(source) if begun else list(treatments)
    blocks, used = tuple(options.blocks or ONE_ROLL), {block for block, _ in begun}
    if not left and blocks != ONE_ROLL and not used & set(blocks):
        left = list(treatments)
    told = {**treatments, source.study.control: CONTROL}
    split = _split(source, told, options)
    if not left and not options.anew:
        return _in_turn([*begun, *split], told), None
    if not left:
        raise UnusableInput(
            "every blade was begun, so nothing is left to draw", "plan --anew",
            "add the new blades to study.toml first; or name rolls or days that the log does not "
            "know yet (--blocks) for a second run of all",
        )  # fmt: skip
    blocks = _to_come(source, begun) if blocks == ONE_ROLL else blocks
    drawn = balanced_order(
        {blade: treatments[blade] for blade in left}, blocks,
        np.random.default_rng(options.drawn_with), control=source.study.control, runs=options.runs,
        begun=_with_treatment(begun, treatments), typed=_by_blade(split),
    )  # fmt: skip
    later = [(run.block, run.blade) for run in drawn]
    return _in_turn([*begun, *later, *split], told), options.drawn_with


def _with_treatment(runs, treatments):
    """Block, blade and heat treatment of the runs that are no control's."""
    return [(block, blade, treatments[blade]) for block, blade in runs if blade in treatments]


def _split(source, blades, options):
    """Runs of a log without a plan that the maker typed; none where another draw is asked for."""
    if options.anew or tuple(options.blocks or ONE_ROLL) != ONE_ROLL:
        return []
    return [(block, blade) for block, blade in runs_of_log(source) if block and blade in blades]


def _by_blade(runs):
    """The blocks of every blade."""
    of = defaultdict(list)
    for block, blade in runs:
        of[blade].append(block)
    return of


def runs_of_log(source):
    """The runs of a log whose rows name rolls, boards or days of their own, without a plan.

    Those that were begun come first; rows that wait are the maker's split of the others.

    Parameters
    ----------
    source : Source

    Returns
    -------
    list of (str, str)
        Block and blade; empty where an order was drawn, or the log names no block.
    """
    runs = dict.fromkeys([*begun_runs_of(source), *_runs_in(source.log.rows)])
    drawn = (source.study.plan or {}).get("order")
    return [] if drawn or not any(block for block, _ in runs) else list(runs)


def _runs_in(rows):
    return [(row.block, row.blade) for row in rows]


def _in_turn(runs, treatments):
    """Block and blade of each run, once, with its turn in the block and its heat treatment."""
    turns: Counter[str] = Counter()
    stand = []
    for block, blade in dict.fromkeys(runs):
        turns[block] += 1
        stand.append(Run(block, turns[block], blade, treatments.get(blade, "")))
    return tuple(stand)


def _to_come(source, begun):
    """Blocks of the runs that are not begun: by the order, else by the log; else one roll."""
    order = (source.study.plan or {}).get("order", ())
    rows = [] if order else _runs_in(source.log.rows)
    waiting = dict.fromkeys(
        block for block, blade in (*order, *rows) if (block, blade) not in begun
    )
    waiting = waiting or dict.fromkeys(block for block, _ in rows)
    return tuple(filter(None, waiting)) or ONE_ROLL


def refuse_another_order(source, runs):
    """Refuse an order in which a run that was begun does not stand."""
    there = {(run.block, run.blade) for run in runs}
    if any(run not in there for run in begun_runs_of(source)):
        raise UnusableInput(
            "runs that the log holds readings of do not stand in this order",
            "plan", "draw what is left: `edgetest plan STUDY --anew`",
        )  # fmt: skip


def put_rows(source, runs, records):
    """Give runs that are not begun their empty rows in a log under way.

    Rows of theirs that wait already keep their places and get the new block.

    Parameters
    ----------
    source : Source
    runs : sequence of Run
    records : list of list of str
        Heading and rows, as `log_to_come` gives them.

    Returns
    -------
    Path or None
        The log; None where nothing is to be written.
    """
    begun = set(begun_runs_of(source))
    later = [(run.block, run.blade) for run in runs if (run.block, run.blade) not in begun]
    folder = Path(source.path)
    with locked(folder):
        notice_under_lock(folder, LOG)
        sheet = open_sheet(folder, LOG)
        before = sheet.to_bytes()
        sheet.add_columns({"block": ""})
        for block, blade in later:
            waiting = [
                number for number, cells in sheet.rows()
                if cells.get("blade") == blade and not cells.keys() - {*KEYS[LOG], "batch"}
                and (cells.get("block", ""), blade) not in begun
            ]  # fmt: skip
            for number in waiting:
                sheet.fill(number, {"block": block})
        there = {(cells.get("block", ""), cells.get("blade", "")) for _, cells in sheet.rows()}
        for row in records[1:]:
            cells = dict(zip(records[0], row, strict=True))
            if (cells.get("block", ""), cells["blade"]) in set(later) - there:
                sheet.add(cells)
        data = sheet.to_bytes()
        if data == before:
            return None
        write_atomic(sheet.path, data)
        keep_as_known(folder, LOG, data)
    return sheet.path
