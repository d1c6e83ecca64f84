"""Batches that hold blades of every heat treatment: they enter a comparison as shared rolls do.

What such a batch did to one it did to the others. It is a block where the blades stood in no
others: on one roll, or with none noted. On several rolls these are weighed and the batches are
not, which is told: it limits the answer where they hold the heat treatments in unequal shares.
"""

import numpy as np

from edgetest.doubts import doubt


def batches_shared(table):
    """Whether some batch holds blades of every heat treatment."""
    if "batch" not in table:
        return False
    members = [
        set(table["batch"][table["treatment"] == name].tolist())
        for name in set(table["treatment"].tolist())
    ]
    return bool(set.intersection(*members))


def weigh_batches(table, *, linked, read=""):
    """The table with shared batches as its blocks where it has no others, and what is to be said.

    Parameters
    ----------
    table : dict of array
        Columns, one element a run.
    linked : bool
        Whether a control's runs link the blocks.
    read : str
        What was read at equal cuts, where that stands in place of the lives.

    Returns
    -------
    table : dict of array
    doubts : list of Doubt
    """
    if not batches_shared(table) or len(set(table["batch"].tolist())) < 2:
        return table, []
    weighed = not linked and len(_blocks(table)) < 2
    unit, what = ("", f"{read[0].upper()}{read[1:]}") if read else (" cuts", "Lives")
    seen = "; ".join(_of_batch(table, name, unit) for name in _names(table["batch"]))
    doubts = []
    if weighed:
        table = {**table, "block": table["batch"]}
        doubts = [doubt("batches_as_blocks", what=what, seen=seen)]
    else:
        code = "batches_in_scatter" if _even(table) else "batches_not_weighed"
        code = "batches_fill_blocks" if _one_block_each(table) else code
        doubts = [doubt(code, seen=f"{read} of {seen}" if read else seen)]
    return table, [*doubts, *_in_one_batch(table)]


def doubt_of_blocks(code, doubts):
    """The doubt about blocks, under the name of what they are.

    Parameters
    ----------
    code : str
    doubts : sequence of Doubt
        Of the replicates: they say whether shared batches are the blocks.
    """
    if code != "incomplete_block":
        return doubt(code)
    batches = any(one.code == "batches_as_blocks" for one in doubts)
    blocks = "batches" if batches else "blocks (rolls, boards, days)"
    one = "batch" if batches else "roll, board or day"
    return doubt(code, blocks=blocks, many="batches" if batches else "blocks", one=one)


def _blocks(table):
    """The blocks, but for those of runs again where one block holds every blade.

    A run again of blades of one heat treatment alone, as of an edge that was sharpened anew by
    mistake, has a block of its own and tells of no roll.
    """
    if "block" not in table:
        return []
    held = {name: table["block"] == name for name in _names(table["block"])}
    every = set(table["blade"].tolist())
    whole = [name for name, rows in held.items() if set(table["blade"][rows].tolist()) == every]
    if len(whole) != 1:
        return list(held)
    return [name for name, rows in held.items()
            if name in whole or len(set(table["treatment"][rows].tolist())) > 1]  # fmt: skip


def _names(column):
    """The names in a column, each once, as they first stand."""
    return list(dict.fromkeys(column.tolist()))


def seen_by_block(table, read=""):
    """The doubts, one or none, that tells the lives or readings on each roll, board or day.

    Parameters
    ----------
    table : dict of array
        Columns, one element a run.
    read : str
        As of `weigh_batches`.

    Returns
    -------
    list of Doubt
    """
    blocks = _blocks(table)
    if len(blocks) < 2:
        return []
    unit, what = ("", f"{read[0].upper()}{read[1:]}") if read else (" cuts", "Lives")
    seen = "; ".join(_of_batch(table, name, unit, "block") for name in blocks)
    return [doubt("lives_by_block", what=what, seen=seen)]


def _of_batch(table, name, unit, column="batch"):
    """A batch, its blades of each heat treatment and what their lives or readings lie between."""
    here = table[column] == name
    sides = (here & (table["treatment"] == side) for side in _names(table["treatment"][here]))
    return f"{name} {', '.join(_of_side(table, rows) for rows in sides)}{unit}"


def _of_side(table, rows):
    """Blades and what their lives lie between, or reached, or what they read."""
    least, most = table["log_low"][rows], table["log_high"][rows]
    ends = np.exp([least.min(), np.where(np.isposinf(most), least, most).max()])
    low, high = (f"{float(f'{end:.3g}'):g}" for end in ends)
    more = " or more" if np.isposinf(most).any() else ""
    told = f"{low if low == high else f'{low} to {high}'}{more}"
    return f"({', '.join(_names(table['blade'][rows]))}) {told}"


def _one_block_each(table):
    """Whether each batch was cut in one block of its own."""
    if "block" not in table:
        return False
    held = set(zip(table["batch"].tolist(), table["block"].tolist(), strict=True))
    return len(held) == len(_names(table["batch"])) == len(_names(table["block"]))


def _even(table):
    """Whether every batch holds the heat treatments in the same shares, counted by blades."""
    held = set(zip(table["blade"].tolist(), table["treatment"], table["batch"], strict=True))
    of = [[each[i] for each in held] for i in (1, 2)]
    sides, batches = (np.unique(column, return_inverse=True)[1] for column in of)
    count = np.zeros((sides.max() + 1, batches.max() + 1))
    np.add.at(count, (sides, batches), 1)
    return bool(np.allclose(count, np.outer(count.sum(1), count.sum(0)) / len(held)))


def _in_one_batch(table):
    """The doubt about each heat treatment that lies in one batch while others lie in several."""
    found = []
    for name in _names(table["treatment"]):
        rows = table["treatment"] == name
        blades, batches = _names(table["blade"][rows]), _names(table["batch"][rows])
        others = [each for each in _names(table["batch"]) if each not in batches]
        if len(batches) == 1 and len(blades) > 1:
            words = {"blades": ", ".join(blades), "batch": batches[0], "others": ", ".join(others)}
            found.append(doubt("one_side_in_one_batch", **words))
    return found
