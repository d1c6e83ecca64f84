"""On which roll, bundle or board of the medium was each row of a wear log cut?"""

from collections import defaultdict
from collections.abc import Sequence

from edgetest.store.log_rows import LogRow


def roll_of_rows(rows: Sequence[LogRow]) -> list[str]:
    """The roll that each row was cut on: its batch, else the last one of its run.

    A row above the first batch of its run was cut on the run's block, where blocks are rolls: that
    is how the protocols of rope ask for it. Blocks are rolls where some run names a batch at a
    later stage alone, or a batch bears the name of a block. Else a block may be a day, and its
    rows were cut on the one batch that the block names, if it names one. A fresh edge was cut on
    none yet: where its row is blank it goes with the first cuts of its run. A batch that all other
    runs of the block name from the first may just not have been noted: what a run was cut on
    before it names it is not known then.

    Parameters
    ----------
    rows : sequence of LogRow

    Returns
    -------
    list of str
        "" where a roll is not known, and everywhere where no row names a batch.
    """
    batches = [row.batch for row in rows]
    if not any(batches):
        return batches
    runs = defaultdict(list)
    for k in sorted(range(len(rows)), key=lambda k: rows[k].cuts):
        runs[rows[k].block, rows[k].blade].append(k)
    begun = _begun_on(rows, runs)
    for run, places in runs.items():
        fresh, cut = _parted(rows, places)
        on = next((rows[k].batch for k in reversed(fresh) if rows[k].batch), begun[run])
        for k in cut:
            on = batches[k] = batches[k] or on
        for k in fresh:
            batches[k] = batches[k] or (batches[cut[0]] if cut else on)
    return batches


def _parted(rows, places):
    """The rows of a run at its fresh edge, and those after cuts."""
    cut = [k for k in places if rows[k].cuts]
    return places[: len(places) - len(cut)], cut


def _begun_on(rows, runs):
    """The roll that each run began on, where its first rows name none."""
    named = defaultdict(set)
    for row in rows:
        named[row.block].update({row.batch} - {""})
    first = {run: _first_batch(rows, places) for run, places in runs.items()}
    later = {run for run, (_, late) in first.items() if late}
    unclear = _unclear(first)
    if later - unclear or not named.keys().isdisjoint(set().union(*named.values())):
        begun = {block: block for block in named}
    else:
        begun = {block: next(iter(those)) for block, those in named.items()
                 if block and len(those) == 1}  # fmt: skip
    return {run: "" if run in unclear else begun.get(run[0], "") for run in runs}


def _unclear(first):
    """Runs that name a batch later which others of their block, none of them bare, name at once."""
    bare = {block for (block, _), (batch, _) in first.items() if not batch}
    at_once = {(block, batch) for (block, _), (batch, late) in first.items() if not late}
    return {
        (block, blade)
        for (block, blade), (batch, late) in first.items()
        if late and block not in bare and (block, batch) in at_once
    }


def _first_batch(rows, places):
    """The batch that a run names first, and whether it was cut before it names one."""
    batch, cuts = next(((rows[k].batch, rows[k].cuts) for k in places if rows[k].batch), ("", 0))
    cut = _parted(rows, places)[1]
    return batch, bool(batch) and bool(cut) and rows[cut[0]].cuts < cuts
