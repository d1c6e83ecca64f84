"""Which run stands under another roll, board or day than the plan has it on?"""

from collections.abc import Iterator, Sequence
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import Study
from edgetest.store.table_faults import cell_fault


def off_the_plan(
    name: str, rows: Sequence[Any], study: Study, line: int | None = None
) -> Iterator[UnusableInput]:
    """Runs on a block of the plan that it gives to other blades, each once, at its first row.

    A block that the plan does not know is a run that was added, and nothing is asked of it, but
    where its name is the beginning of a planned one ("roll 1" of "roll 1 first half").

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    study : Study
    line : int, optional
        Only the run that this row begins.
    """
    planned = {(block, blade) for block, blade in (study.plan or {}).get("order", ())}
    meant = _meant({row.block for row in rows} if planned else set(), planned)
    told = set()
    for row in rows:
        run = row.block, row.blade
        if run in told or run in planned or row.waiting or row.block not in meant:
            continue
        told.add(run)
        own = [block for block, blade in planned if blade == row.blade]
        if not own or line not in (None, row.line):
            continue
        what = f"blade {row.blade} stands on {row.block}, and the plan has it on "
        what += " and ".join(sorted(own))
        mend = "put the block right if it is a slip; if it ran there, leave it"
        yield cell_fault(name, row.line, "block", what, mend)


def _meant(blocks: set[str], planned: set[tuple[str, str]]) -> set[str]:
    """Blocks of a log that the plan knows, or of whose names theirs is the beginning."""
    known = {block for block, _ in planned}
    begun = {block for block in blocks - known - {""}
             if any(name.startswith(f"{block} ") for name in known)}  # fmt: skip
    return known | begun
