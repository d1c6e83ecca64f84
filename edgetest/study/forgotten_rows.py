"""At which stage of a run was a reading taken fewer times than everywhere else in the log?"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.table_faults import cell_fault
from edgetest.study.words import counted

LEAST_PLACES = 4  # of fewer stages nobody can say what is usual. Own choice
USUAL_SHARE = 0.75  # of the stages that hold as many readings as is usual. Own choice


def forgotten_rows(name: str, rows: Sequence[Any]) -> Iterator[UnusableInput]:
    """Stages with fewer readings than nearly all others, each at its last row.

    A row that was set aside or waits for its reading is there: nobody forgot it. A stage at
    which a reading is missing altogether is no row forgotten among others, but a stage left out.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    """
    places: dict[str, dict[tuple[Any, ...], list[Any]]] = defaultdict(lambda: defaultdict(list))
    waiting = {(row.block, row.blade, row.cuts) for row in rows if row.waiting}
    for row in rows:
        if (row.block, row.blade, row.cuts) not in waiting:
            for reading in row.readings:
                places[reading][row.block, row.blade, row.cuts].append(row)
    for reading, those in places.items():
        usual, as_many = Counter(map(len, those.values())).most_common(1)[0]
        if len(those) < LEAST_PLACES or usual < 2 or as_many < USUAL_SHARE * len(those):
            continue
        for (block, blade, cuts), here in those.items():
            if len(here) < usual:
                on = f" on {block}" if block else ""
                what = (
                    f"{counted(len(here), 'reading')} of blade {blade} at {cuts} cuts{on}, where "
                    f"{as_many} of the log's {len(those)} stages have {usual}"
                )
                mend = "add the row if it was forgotten; if it was not taken, leave it"
                yield cell_fault(name, here[-1].line, reading, what, mend)
