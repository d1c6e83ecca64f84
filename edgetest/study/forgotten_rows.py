"""At which stage of a run was a reading taken fewer times than everywhere else in the log?"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import Study
from edgetest.store.table_faults import cell_fault
from edgetest.study.wear.photo_values import reading_of_photo
from edgetest.study.words import counted

Stage = tuple[str, str, int]  # block, blade and cuts
LEAST_PLACES = 4  # of fewer stages nobody can say what is usual. Own choice
FILL_IN = "fill it in if it was forgotten"
PUT_IN = (
    "if it was forgotten, enter it with `edgetest enter`, or put its row into the file below this "
    "one, not at the end"
)
USUAL_SHARE = 0.75  # of the stages that hold as many readings as is usual. Own choice


def forgotten_rows(
    name: str, rows: Sequence[Any], study: Study | None = None
) -> Iterator[UnusableInput]:
    """Stages with fewer readings than nearly all others, each at its row.

    A row that was set aside is there, and one that waits with a note or a mishap has its reason:
    nobody forgot them. Nor is a stage asked about after which
    nothing was read, while rows of it wait for their readings; nor one at which a reading is
    missing altogether, which is a stage left out. A photograph is the reading that it gives,
    measured or not yet.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    study : Study, optional
        Its set-ups say which reading a photograph gives.
    """
    count, of_photo = _counted(rows, study)
    for reading in dict.fromkeys(key[0] for key in count):
        stages = {key[1:]: many for key, many in count.items() if key[0] == reading}
        usual, as_many = Counter(stages.values()).most_common(1)[0]
        if len(stages) < LEAST_PLACES or usual < 2 or as_many < USUAL_SHARE * len(stages):
            continue
        told = Counter((r.block, r.blade, r.cuts) for r in rows if r.waiting and _said_why(r))
        few = [stage for stage, many in stages.items() if many + told[stage] < usual]
        for stage, line, waits in _past(few, rows, reading, of_photo):
            what = (
                f"{counted(stages[stage], 'reading')} of {_in_words(*stage)}, where "
                f"{as_many} of the log's {len(stages)} stages have {usual}"
            )
            mend = FILL_IN if waits else PUT_IN
            yield cell_fault(name, line, reading, what, f"{mend}; if it was not taken, leave it")


def _said_why(row: Any) -> bool:
    """Whether a person wrote beside a row without a reading."""
    return bool(row.note or row.mishap)


def _counted(
    rows: Sequence[Any], study: Study | None
) -> tuple[Counter[tuple[str, str, str, int]], dict[int, str]]:
    """Readings by name and stage, photographed ones too; what each photograph gives, by line."""
    count = Counter(
        (reading, row.block, row.blade, row.cuts) for row in rows for reading in row.readings
    )
    shown = [(row, reading_of_photo(study, row)) for row in rows if row.photo]
    count.update(
        (seen, row.block, row.blade, row.cuts) for row, seen in shown if seen not in row.readings
    )
    return count, {row.line: seen for row, seen in shown}


def _past(
    few: Sequence[Stage], rows: Sequence[Any], reading: str, of_photo: Mapping[int, str]
) -> Iterator[tuple[Stage, int, bool]]:
    """Stages that are done with: each with the row to look at, and whether that one waits."""
    last = max((row.line for row in rows if row.readings or row.photo), default=0) if few else 0
    for stage in few:
        here = [row for row in rows if (row.block, row.blade, row.cuts) == stage]
        waiting = [row.line for row in here if row.waiting]
        read = max(row.line for row in here if reading in (*row.readings, of_photo.get(row.line)))
        if not waiting or read < last:
            yield stage, waiting[0] if waiting else read, bool(waiting)


def _in_words(block: str, blade: str, cuts: int) -> str:
    """A stage of a run, with its roll, board or day where it has one."""
    return f"blade {blade} at {cuts} cuts" + (f" on {block}" if block else "")
