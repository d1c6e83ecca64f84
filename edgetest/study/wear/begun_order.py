"""In which order were the runs of a test begun, by the record that the bench keeps?"""

from math import inf

from edgetest.store.history import read_history
from edgetest.study.wear.departed_facts import ProtocolDeparture

ORDER = "order of the runs"  # only where one was drawn
WISH = "the runs in the order that was drawn for them"
NOT_KNOWN = "the record does not say in which order they were begun"
AS_DRAWN = "the log's rows stand in that order; when each run was begun was not noted"
IN_PART = "of those on record, begun in the order that was drawn:"
ON_RECORD = (
    "Enter readings as you take them, with `edgetest enter` or on the page Bench: that alone puts "
    "on record in which order the runs were begun. Of rows filled in later in the file it stays "
    "unknown, and the answer says so."
)
HOW_KEPT = (
    "the order is on record of readings that were entered with `edgetest enter` or on the page "
    "Bench, as they were taken; of rows filled in later in the file nothing can put it on record, "
    "and the lives stand all the same"
)
HOW_MENDED = (
    "if the first reading of a run was entered under a wrong blade or roll, `edgetest undo` takes "
    "it back, or correct that row on the page Bench: the order follows; else it is what was done, "
    "and stays"
)


# Columns that tell which row it is, or remark on it: what they hold was not read off an edge.
REMARKS = frozenset(
    ("blade", "cuts", "station_mm", "check_no", "block", "batch", "operator", "mishap", "exclude",
     "note")
)  # fmt: skip


def begun_runs(changes, runs, first_cuts=None):
    """Runs in the order in which their first readings were entered at the bench.

    A remark on a row that the file held, or on one without a reading, begins no run. Rows that
    were taken back count for nothing, and those corrected as they were corrected.

    Parameters
    ----------
    changes : sequence of Change
        The record, oldest first.
    runs : collection of (str, str)
        Block and blade of the runs that the log holds. A blade's only one is meant also where an
        entry named another block.
    first_cuts : dict of (str, str) to float, optional
        Fewest cuts at which the log holds a reading of each run. One that was entered at more cuts
        alone was begun before: its turn is not on record.

    Returns
    -------
    list of (str, str)
    """
    fewest: dict = {}
    for cells in _entered(changes):
        run = _own_run((cells.get("block", ""), cells.get("blade", "")), runs)
        if run is not None:
            fewest[run] = min(_cuts(cells), fewest.get(run, inf))
    return [run for run, cuts in fewest.items() if (first_cuts or {}).get(run, inf) >= cuts]


def _entered(changes):
    """The rows that were entered and brought a reading, in their order, as corrected since."""
    standing: list = []
    for change in changes:
        if change.table != "log":
            continue
        if change.what in ("append", "correct"):
            standing.append(change)
        elif change.what == "undo" and standing:
            standing.pop()
    entered: list = []
    for change in standing:
        if change.what == "append":
            entered += [change.after] if _brings_a_reading(change) else []
        else:
            entered = [change.after if one == change.before else one for one in entered]
    return entered


def _cuts(cells):
    """The cuts of an entry; none where they are not typed as a number."""
    try:
        return float(cells.get("cuts") or 0)
    except ValueError:
        return 0.0


def _own_run(run, runs):
    """The run of the log that an entry is of, also where its roll was put right since; or None."""
    if run in runs:
        return run
    of_blade = [each for each in runs if each[1] == run[1]]
    return of_blade[0] if len(of_blade) == 1 else None


def _brings_a_reading(change):
    """Whether a row that was entered brought a reading or a photograph that was not there."""
    before, after = change.before or {}, change.after or {}
    return any(
        value and value != before.get(name) for name, value in after.items() if name not in REMARKS
    )


def order_departed(study, runs):
    """Runs that the bench's record shows in another order than was drawn; none of no order.

    Parameters
    ----------
    study : Study
    runs : dict of (str, str) to sequence of LogRow
        Rows of every run, in the order of the log.

    Yields
    ------
    ProtocolDeparture
    """
    drawn = [tuple(run) for run in (study.plan or {}).get("order", ())]
    if not drawn:
        return
    runs, rows_of = list(runs), runs
    elsewhere = _on_another(drawn, runs)
    drawn = [elsewhere.get(run, run) for run in drawn]
    begun = begun_runs(read_history(study.folder), runs, _first_cuts(rows_of))
    rest = [run for run in runs if run not in begun]
    known = [run for run in begun if run in drawn]
    due = [run for run in drawn if run in begun]
    if known == due and rest:
        yield _known_in_part(known, rest, kept=_as_drawn(runs, drawn))
    elif begun != due:
        yield ProtocolDeparture(
            ORDER, WISH, f"begun in this order: {_listed(begun)}{_not_on_record(rest)}",
            "What changed from run to run may stand behind a difference.",
        )  # fmt: skip
    elif elsewhere:
        yield _in_that_order(elsewhere)


def _first_cuts(rows_of):
    """Fewest cuts at which each run was read."""
    return {run: min(row.cuts for row in rows) for run, rows in rows_of.items()}


def _in_that_order(elsewhere):
    """What is said where the order was kept and runs were cut on another roll than drawn."""
    told = "; ".join(
        f"{run[1]} on {run[0] or 'none'}, drawn for {was[0] or 'none'}"
        for was, run in elsewhere.items()
    )
    done = f"begun in that order, on another roll, board or day than drawn: {told}"
    return ProtocolDeparture(ORDER, WISH, done, "The answer goes by where each was cut.")


def _on_another(drawn, runs):
    """Drawn runs whose blade has one run in plan and log, there in another block; with that run."""
    found = {}
    for run in runs:
        of_plan = [each for each in drawn if each[1] == run[1]]
        of_log = [each for each in runs if each[1] == run[1]]
        if len(of_plan) == len(of_log) == 1 and run not in drawn:
            found[of_plan[0]] = run
    return found


def _known_in_part(known, rest, *, kept):
    """What is said where the record does not hold all runs; `kept`: the rows stand as drawn."""
    if len(known) > 1:
        done = f"{IN_PART} {_listed(known)}{_not_on_record(rest)}"
        return ProtocolDeparture(ORDER, WISH, done, "When the others were begun is not known.")
    if kept:
        unknown = "Whether the runs were cut as the rows stand is not known."
        return ProtocolDeparture(ORDER, WISH, AS_DRAWN, unknown)
    unknown = "Whether the drawn order was kept is not known."
    return ProtocolDeparture(ORDER, WISH, NOT_KNOWN, unknown)


def _as_drawn(runs, drawn):
    """Whether runs stand in the drawn order; those beside it only where all drawn ones ran."""
    known = [run for run in runs if run in drawn]
    in_order = known == [run for run in drawn if run in runs]
    return in_order and len(known) in (len(runs), len(drawn))


def order_mended(departures):
    """What a maker can do about an order that was not kept, or is on no record: a line, or none.

    Parameters
    ----------
    departures : sequence of dict
        As `ProtocolDeparture.to_dict` gives them.
    """
    of_order = [one for one in departures if one["of"] == ORDER]
    if not of_order:
        return []
    unknown = of_order[0]["done"].startswith((NOT_KNOWN, AS_DRAWN, IN_PART))
    return [f"{ORDER}: {HOW_KEPT if unknown else HOW_MENDED}"]


def _not_on_record(runs):
    return f"; not on record: {_listed(runs)}" if runs else ""


def _listed(runs):
    return "; ".join(map(_run, runs))


def _run(run):
    block, blade = run
    return f"{blade} ({block})" if block else blade
