"""Does a run stand in a block of its own, so that it counts as cut on another roll?"""

from collections import defaultdict

from edgetest.doubts import doubt
from edgetest.study.words import listed

SAME_BATCH = " The column batch says the same of both."


def lone_block_doubts(used, control=None, batch_of=None):
    """The doubt about runs that have a block to themselves, beside one that holds several.

    Such a run is compared with none on its own roll: what differs between rolls stays in its life,
    and the interval is wider for it. A run repeated on the roll of the others, under a name of its
    own, looks the same.

    Parameters
    ----------
    used : sequence of UsedReading
        The readings that count.
    control : str or None
        The control blade: where it ran too, it says how the roll differs.
    batch_of : mapping of int to str, optional
        What the column batch says of the medium, by the readings' rows.

    Returns
    -------
    list of Doubt
        One at most. Nothing where blocks are not noted for every run, where all hold one run, or
        where none does.
    """
    held = _by_block(used, lambda each: each.blade)
    batches = _by_block(used, lambda each: (batch_of or {}).get(each.line, ""))
    alone = [block for block, blades in held.items() if len(blades - {control}) == len(blades) == 1]
    shared = [block for block, blades in held.items() if len(blades) > 1]
    if "" in held or not alone or not shared:
        return []
    blades = listed(dict.fromkeys(blade for block in alone for blade in held[block]))
    same = _one_batch([batches[block] for block in alone], [batches[block] for block in shared])
    return [
        doubt(
            "block_of_one_run", blades=blades, alone=listed(alone), shared=listed(shared),
            batch=SAME_BATCH if same else "",
        )
    ]  # fmt: skip


def _one_batch(alone, shared):
    """Whether the lone blocks name one batch of the medium, which every shared block names too."""
    said = set().union(*alone)
    return len(said) == 1 and "" not in said and all(said <= each for each in shared)


def _by_block(used, fact):
    """What one fact of the readings that count says in each block."""
    held = defaultdict(set)
    for each in used:
        if not each.excluded:
            held[each.block].add(fact(each))
    return held
