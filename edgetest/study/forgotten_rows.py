"""At which stage of a run was a reading taken fewer times than everywhere else in the log?"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import Study
from edgetest.store.table_faults import cell_fault
from edgetest.study.wear.photo_values import reading_of_photo
from edgetest.study.words import counted

Stage = tuple[str, str, int]  # block, blade and cuts
LEAST_PLACES = 4  # of fewer stages nobody can say what is usual. Own choice
# Of one reading and of several.
FILL_IN = (
    "fill it in if it was forgotten; if it was not taken, leave it",
    "fill them in if they were forgotten; if they were not taken, leave them",
)
PUT_IN = (
    "if it was forgotten, enter it with `edgetest enter`, or put its row into the file below this "
    "one, not at the end; if it was not taken, leave it",
    "if they were forgotten, enter each with `edgetest enter`, or put its row into the file below "
    "those of its stage; if they were not taken, leave it so",
)
USUAL_SHARE = 0.75  # of the stages that hold as many readings as is usual. Own choice


def forgotten_rows(
    name: str, rows: Sequence[Any], study: Study | None = None
) -> Iterator[UnusableInput]:
    """Stages with fewer readings than nearly all others, each at its row.

    A row that was set aside is there, and one that waits with a note or a mishap has its reason:
    nobody forgot them. A reading that was set aside and taken again is one reading. Nor is a stage
    asked about after which nothing was read, while rows of it wait for their readings; nor one at
    which a reading is missing altogether, which is a stage left out. A photograph is the reading
    that it gives, measured or not yet.

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
        past = _past(few, rows, reading, of_photo)
        for line, waits, those in _asked_together(past, stages):
            what = (
                f"{counted(stages[those[0]], 'reading')} of {_in_words(those)}, where "
                f"{as_many} of the log's {len(stages)} stages have {usual}"
            )
            mend = (FILL_IN if waits else PUT_IN)[len(those) > 1]
            yield cell_fault(name, line, reading, what, mend)


def _said_why(row: Any) -> bool:
    """Whether a person wrote beside a row without a reading."""
    return bool(row.note or row.mishap)


def _counted(
    rows: Sequence[Any], study: Study | None
) -> tuple[Counter[tuple[str, str, str, int]], dict[int, str]]:
    """Readings by name and stage, photographed ones too; what each photograph gives, by line."""
    shown = [(row, reading_of_photo(study, row)) for row in rows if row.photo]
    taken = [(reading, row) for row in rows for reading in row.readings]
    taken += [(seen, row) for row, seen in shown if seen not in row.readings]
    own = [(reading, row) for reading, row in taken if not row.exclude]
    count = Counter((reading, row.block, row.blade, row.cuts) for reading, row in own)
    aside = {_check(*one) for one in taken if one[1].exclude} - {_check(*one) for one in own}
    count.update(check[:4] for check in aside)
    return count, {row.line: seen for row, seen in shown}


def _check(reading: str, row: Any) -> tuple[str, str, str, int, float | None, int]:
    """One reading of a stage by its place and number, which it has anew where it is repeated."""
    return reading, row.block, row.blade, row.cuts, row.station_mm, row.check_no or 1


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


def _asked_together(
    past: Iterable[tuple[Stage, int, bool]], stages: Mapping[Stage, int]
) -> Iterator[tuple[int, bool, list[Stage]]]:
    """Row to look at, whether it waits, and the stages that share a question.

    A run that has too few readings everywhere lacks a place or a repeat as a whole: one question.
    """
    runs: dict[tuple[str, str], list[tuple[Stage, int, bool]]] = {}
    for one in past:
        runs.setdefault(one[0][:2], []).append(one)
    for run, those in runs.items():
        own = {stage: many for stage, many in stages.items() if stage[:2] == run}
        if len(those) == len(own) > 1 and len(set(own.values())) == 1:
            yield *those[0][1:], [stage for stage, _, _ in those]
        else:
            yield from ((line, waits, [stage]) for stage, line, waits in those)


def _in_words(those: Sequence[Stage]) -> str:
    """A stage of a run, or all of them, with its roll, board or day where it has one."""
    block, blade, cuts = those[0]
    when = f"at {cuts} cuts" if len(those) == 1 else f"at each of its {len(those)} stages"
    return f"blade {blade} {when}" + (f" on {block}" if block else "")
