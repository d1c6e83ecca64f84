"""A plan written into its study: run order, and the log's empty rows."""

from dataclasses import replace
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.history import keep_as_known
from edgetest.store.log_templates import planned_table
from edgetest.store.logs import LIFE
from edgetest.store.records import STUDY_FILE
from edgetest.store.workspace import change_study, log_path, write_table
from edgetest.study.bench.blinding import refuse_sealed
from edgetest.study.chop.added_pieces import severs
from edgetest.study.wear.order_anew import (
    begun_as_drawn,
    begun_runs_of,
    put_rows,
    refuse_another_order,
    runs_of_log,
)
from edgetest.study.wear.study_looks import looks_to_keep, with_added
from edgetest.wear.plan.looks_plan import looks_table

OF_NAMES = ("unsealed", "codes")  # of a plan: what sealed names were, which no new order changes
ROLLS = ("", "roll 1")  # of a plan that named no board
KEPT = ("blade", "cuts", "station_mm", "check_no", "block", "mishap", "note")  # a log gains them


def save_plan(source, made, *, anew=False):
    """Write the plan into the study: the order of its runs, and the log's empty rows.

    `made` is a `Plan` or a `RunOrder`. The readings of a log stand as they are. `anew` lets
    another order take the place of the one by which such a log was begun, in which the runs that
    were begun stand too; those that are left get their rows.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    UnusableInput
        If the study's names are sealed, or its log was begun in another order.
    """
    folder = source.path
    refuse_sealed(source.study)
    order = [[run.block, run.blade] for run in made.runs]
    before = (source.study.plan or {}).get("order")
    if before and not (anew or _goes_on(source, before, order)) and log_begun(source):
        raise UnusableInput(
            "the log holds readings taken in the order drawn before, and this is another one",
            f"{STUDY_FILE}, plan",
            "keep to that order; --dry-run shows a plan only, --anew draws what is left anew",
        )
    if anew or runs_of_log(source):
        refuse_another_order(source, made.runs)
    table = _table(source, made, order, anew)
    asked = getattr(made, "looks", None)

    change_study(folder, lambda now: _planned(source, now, table, asked and asked.looks))
    log = _log_written(source, made.runs, anew)
    return [Path(folder) / STUDY_FILE, *([log] if log else [])]


def _table(source, made, order, anew):
    """The drawn order as the study keeps it."""
    if not anew and made.seed is None and runs_of_log(source):
        return {}  # nobody drew it: it is how the log has it, and stands there
    # Nobody is to know the number where names were sealed, or nothing was drawn.
    return ({} if made.seed is None else {"seed": made.seed}) | {"order": order}


def _planned(source, now, table, looks):
    """The study with its new plan, and with what that keeps of the one that stands."""
    before = now.plan or {}
    looks = looks_to_keep(source, now, looks)
    kept = {name: cell for name, cell in before.items() if name in OF_NAMES}
    told = {"looks": looks_table(looks)} if looks else {}
    plan = with_added(source, before, table.get("order", ()), {**table, **kept, **told})
    return now.model_copy(update={"plan": plan or None})


def _goes_on(source, before, order):
    """Whether an order is the one that was; of pieces to sever boards may be added to it."""
    return order[: len(before)] == before if severs(source.protocol) else order == before


def _log_written(source, runs, anew):
    """The log with its empty rows; of one under way those of what is left; None if untouched."""
    folder, path = Path(source.path), log_path(source.path, "log")
    if may_be_written(source):
        name, records = log_to_come(source, runs)
        path = write_table(folder / f"{name}.csv", records)
        keep_as_known(folder, name, path.read_bytes())
        return path
    if anew and begun_runs_of(source) and path is not None and path.suffix == ".csv":
        return put_rows(source, runs, log_to_come(source, runs)[1])
    return None


def runs_due(source, made):
    """A plan for its bench sheet: without the runs that the log holds readings or strokes of.

    Parameters
    ----------
    source : Source
        As it was planned.
    made : Plan or RunOrder
    """
    if made.left:
        return replace(made, runs=made.left)
    begun = begun_as_drawn(source, made.runs)
    runs = tuple(run for run in made.runs if (run.block, run.blade) not in begun)
    return replace(made, runs=runs) if runs else made


def log_to_come(source, runs):
    """The log as a plan has it filled in: its rows in the order in which they are taken.

    Parameters
    ----------
    source : Source
    runs : sequence of Run

    Returns
    -------
    name : {"log", "chops"}
    records : list of list of str
        Heading and rows. Of a log under way, which stays as it is, only what it has columns for.
    """
    rules = source.protocol
    turns = _turns(rules, runs)
    if LIFE in source.log.columns:  # lives are noted, not read at stages
        heading = list(source.log.columns)
        heading += ["block"] if "block" not in heading and any(run.block for run in runs) else []
        return "log", [heading, *(_life_row(heading, *turn) for turn in turns)]
    taken = [rule.name for rule in rules.readings if rule.name in source.log.columns]
    taken = taken or [rule.name for rule in rules.readings]  # photographs alone give readings
    if may_be_written(source):
        return planned_table(turns, rules, taken)  # the readings that were chosen when it was made
    name, records = planned_table(turns, rules, taken)
    if rules.log == "chops":
        return name, _of_columns(records, source.chops.columns)
    return name, _of_columns(records, [*source.log.columns, *KEPT])


def _turns(rules, runs):
    """Block and blade of every run; one board alone needs no name."""
    turns = [(run.block, run.blade) for run in runs]
    unnamed = not severs(rules) or turns[0][0] in ROLLS
    if rules.log == "chops" and unnamed and len({block for block, _ in turns}) == 1:
        return [("", blade) for _, blade in turns]
    return turns


def may_be_written(source):
    """Whether the log is the program's own template still, with nothing in it.

    Parameters
    ----------
    source : Source

    Returns
    -------
    bool
    """
    name = source.protocol.log
    path = log_path(source.path, name)
    rows = source.log.rows if name == "log" else source.chops.rows if source.chops else ()
    empty = all(row.waiting and not row.photo for row in rows)
    return empty and (path is None or path.suffix == ".csv") and LIFE not in source.log.columns


def log_begun(source):
    """Whether a row of the log holds a reading or a photograph."""
    rows = (*source.log.rows, *(source.chops.rows if source.chops else ()))
    return any(row.photo or not row.waiting for row in rows)


def _of_columns(records, columns):
    """The table without the columns that are not among these."""
    kept = [place for place, name in enumerate(records[0]) if name in columns]
    return [[row[place] for place in kept] for row in records]


def _life_row(heading, block, blade):
    said = {"blade": blade, "block": block}
    return [said.get(name, "") for name in heading]
