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
    """Stages with fewer readings than nearly all others, each at its row.

    A row that was set aside is there: nobody forgot it. Nor is a stage asked about after which
    nothing was read, while rows of it wait for their readings; nor one at which a reading is
    missing altogether, which is a stage left out.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    """
    places: dict[str, dict[tuple[Any, ...], list[Any]]] = defaultdict(lambda: defaultdict(list))
    waiting: dict[tuple[Any, ...], int] = {}
    last = max((row.line for row in rows if row.readings), default=0)
    for row in rows:
        stage = (row.block, row.blade, row.cuts)
        if row.waiting:
            waiting.setdefault(stage, row.line)
        for reading in row.readings:
            places[reading][stage].append(row)
    for reading, those in places.items():
        usual, as_many = Counter(map(len, those.values())).most_common(1)[0]
        if len(those) < LEAST_PLACES or usual < 2 or as_many < USUAL_SHARE * len(those):
            continue
        for stage, here in those.items():
            line = here[-1].line
            done = stage not in waiting or line < last
            if len(here) < usual and done:
                what = (
                    f"{counted(len(here), 'reading')} of {_in_words(*stage)}, where "
                    f"{as_many} of the log's {len(those)} stages have {usual}"
                )
                mend = (
                    "fill it in if it was forgotten"
                    if stage in waiting
                    else ("add the row if it was forgotten")
                )
                mend += "; if it was not taken, leave it"
                yield cell_fault(name, waiting.get(stage, line), reading, what, mend)


def _in_words(block: str, blade: str, cuts: int) -> str:
    """A stage of a run, with its roll, board or day where it has one."""
    return f"blade {blade} at {cuts} cuts" + (f" on {block}" if block else "")
