"""How often is a size asked about in vain, and how many sizes with a slip are asked about?

    python -m tests.benchmarks.size_slips tune|judge --count 80

Shops of `tests.benchmarks.chop_worlds`, as they are and with one side of one piece typed ten times
too large: on a board of its own, and beside one other piece of its board. Even seeds (`tune`) are
for choosing, odd ones (`judge`) for telling.
"""

import argparse
from dataclasses import replace
from random import Random

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.store.plausible import USUAL_PIECE
from edgetest.study.chop.asked_of_sizes import asked_of_sizes
from tests.benchmarks.chop_worlds.chop_folder import of_a_piece
from tests.benchmarks.chop_worlds.chopping import chop
from tests.benchmarks.chop_worlds.shop_kinds import KINDS, shop

SIDES = ("diameter_mm", "width_mm", "thickness_mm")


def pieces_of_shop(kind, seed):
    """The severed pieces of a shop as rows of its log."""
    made, found = shop(kind, seed), []
    for row in chop(made):
        if row.kind == "billet" and not row.mishap:
            cells = of_a_piece(made, row)
            sides = {name: float(cells[name]) for name in SIDES if cells.get(name)}
            strokes = parse_strokes(str(cells["chops"]))
            sides |= {"species": cells["species"], "board": cells["board"]}
            found.append(ChopRow(len(found) + 2, row.tool, "billet", chops=strokes, **sides))
    return found


def asked_rows(rows):
    """The rows that are asked about."""
    return [row.line for row in rows if list(asked_of_sizes("chops.csv", rows, row.line))]


def slipped(rows, rng):
    """One row with a slip, the rows of other boards, and another piece of its board if there is."""
    row = rng.choice(rows)
    side = rng.choice([name for name in SIDES if getattr(row, name)])
    bad = replace(row, **{side: 10 * getattr(row, side)})
    mates = [each for each in rows if each.board == row.board and each is not row]
    outside = getattr(bad, side) > USUAL_PIECE[side][1]  # asked about by itself
    return bad, [each for each in rows if each.board != row.board], mates[:1], outside


def main():
    """Count and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("half", choices=["tune", "judge"])
    parser.add_argument("--count", type=int, default=80, help="seeds of each kind of shop")
    wanted, rng = parser.parse_args(), Random(1)
    shops = vain = alone = found = beside = right = 0
    for kind in KINDS:
        for seed in range(wanted.half == "judge", wanted.count, 2):
            rows = pieces_of_shop(kind, seed)
            shops, vain = shops + 1, vain + bool(asked_rows(rows))
            bad, others, mates, outside = slipped(rows, rng)
            if not outside:
                alone += 1
                found += bad.line in asked_rows([*others, bad])
            if mates:
                beside += 1
                right += asked_rows(sorted([*others, *mates, bad], key=lambda r: r.line)) == [
                    bad.line
                ]
    print(
        f"{shops} shops, {vain} asked in vain; alone on its board: {found} of {alone} slips found;"
    )
    print(f"beside one other piece: {right} of {beside} slips found, and nothing else asked")


if __name__ == "__main__":
    main()
