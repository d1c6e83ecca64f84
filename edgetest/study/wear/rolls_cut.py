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
    none yet: where its row is blank it goes with the first cuts of its run.

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
    for (block, _), places in runs.items():
        fresh, cut = _parted(rows, places)
        on = next((rows[k].batch for k in reversed(fresh) if rows[k].batch), begun.get(block, ""))
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
    """The roll that the runs of each block began on, where their first rows name none."""
    named = defaultdict(set)
    for row in rows:
        named[row.block].update({row.batch} - {""})
    later = any(
        rows[cut[0]].cuts < min((rows[k].cuts for k in cut if rows[k].batch), default=0)
        for fresh, cut in (_parted(rows, places) for places in runs.values())
        if cut and not any(rows[k].batch for k in fresh)
    )
    if later or not named.keys().isdisjoint(set().union(*named.values())):
        return {block: block for block in named}
    return {block: next(iter(those)) for block, those in named.items()
            if block and len(those) == 1}  # fmt: skip
