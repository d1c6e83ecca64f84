"""Which readings of a log may a slip have made, one by one or all of a blade?"""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.store.table_faults import cell_fault
from edgetest.study.beside_repeats import beside_repeats
from edgetest.study.far_readings import far_readings
from edgetest.study.off_the_wear import off_the_wear
from edgetest.study.other_scale import odd_runs

EVERYWHERE = "those of the other blades at every stage, the fresh edge too"
MEND = (
    "if it was typed in divisions of the loupe or in another unit, put its readings right; if it "
    "was not, leave it"
)


def asked_of_readings(
    name: str, rows: Sequence[Any], only: int | None = None
) -> list[UnusableInput]:
    """Readings that a slip may have made, each asked about once."""
    far = asked_of_scale(name, rows, only)
    for ask in (far_readings, off_the_wear, beside_repeats):
        told = {each.where for each in far}
        far += [each for each in ask(name, rows, only) if each.where not in told]
    return far


def asked_of_scale(name: str, rows: Sequence[Any], only: int | None = None) -> list[UnusableInput]:
    """Runs that read the same factor off all others, each asked about at its first row.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    only : int, optional
        Number of the one row that is asked about; told where it is of such a run.
    """
    of: dict[str, list[tuple[Any, str, float, float]]] = defaultdict(list)
    lines: dict[Any, list[int]] = defaultdict(list)
    for row in rows:
        for reading, told in row.readings.items() if not row.exclude else ():
            if reading != LIFE and not reading.endswith("_count") and told.value is not None:
                run = row.blade, row.block, reading
                of[reading].append((run, row.blade, float(row.cuts), told.value))
                lines[run].append(row.line)
    found: list[UnusableInput] = []
    for reading, those in of.items():
        for odd in odd_runs(those):
            here = lines[odd.run]
            if only is None or only in here:
                what = f"the readings of {odd.run[0]} are about {odd.words} {EVERYWHERE}"
                found.append(cell_fault(name, only or here[0], reading, what, MEND))
    return found
