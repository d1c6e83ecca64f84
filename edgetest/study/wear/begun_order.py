"""In which order were the runs of a test begun, by the record that the bench keeps?"""

from edgetest.store.history import read_history
from edgetest.study.wear.departed_facts import ProtocolDeparture

ORDER = "order of the runs"  # only where one was drawn
WISH = "the runs in the order that was drawn for them"
NOT_KNOWN = "the record does not say in which order they were begun"
AS_DRAWN = "the log's rows stand in that order; when each run was begun was not noted"
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


def begun_runs(changes, runs):
    """Runs in the order in which their first rows were entered at the bench.

    Rows that were taken back count for nothing, and those corrected as they were corrected.

    Parameters
    ----------
    changes : sequence of Change
        The record, oldest first.
    runs : container of (str, str)
        Block and blade of the runs that the log holds.

    Returns
    -------
    list of (str, str)
    """
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
            entered.append(change.after or {})
        else:
            entered = [change.after if one == change.before else one for one in entered]
    named = ((cells.get("block", ""), cells.get("blade", "")) for cells in entered)
    return list(dict.fromkeys(run for run in named if run in runs))


def order_departed(study, runs):
    """Runs that the bench's record shows in another order than was drawn; none of no order.

    Parameters
    ----------
    study : Study
    runs : iterable of (str, str)
        In the order of the log's rows.

    Yields
    ------
    ProtocolDeparture
    """
    drawn = [tuple(run) for run in (study.plan or {}).get("order", ())]
    if not drawn:
        return
    begun = begun_runs(read_history(study.folder), runs)
    if any(run not in begun for run in runs):
        kept = _as_drawn(list(runs), drawn)
        yield ProtocolDeparture(
            ORDER, WISH, AS_DRAWN if kept else NOT_KNOWN,
            "Whether the runs were cut as the rows stand is not known." if kept
            else "Whether the drawn order was kept is not known.",
        )  # fmt: skip
    elif begun != [run for run in drawn if run in begun]:
        yield ProtocolDeparture(
            ORDER, WISH, f"begun in this order: {'; '.join(map(_run, begun))}",
            "What changed from run to run may stand behind a difference.",
        )  # fmt: skip


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
    return [f"{ORDER}: {HOW_KEPT if of_order[0]['done'] in (NOT_KNOWN, AS_DRAWN) else HOW_MENDED}"]


def _run(run):
    block, blade = run
    return f"{blade} ({block})" if block else blade
