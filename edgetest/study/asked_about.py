"""What in a study can hardly be meant as it is written, though it can be read?"""

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from math import inf
from pathlib import Path, PurePosixPath
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.steel.bare_heats import if_hours, typed_bare
from edgetest.store.cells import Reading
from edgetest.store.chop_log import SEVERED
from edgetest.store.heat_treatments import Step
from edgetest.store.journal import last_change
from edgetest.store.plausible import (
    HOTTEST_C,
    HOTTEST_STEP_C,
    LEAST_MIN,
    LEAST_SOAK_MIN,
    MOST_STEP_MIN,
    USUAL,
    USUAL_PIECE,
    USUAL_WATER_PCT,
)
from edgetest.store.records import STUDY_FILE, Study
from edgetest.store.row_places import WORK
from edgetest.store.table_faults import cell_fault
from edgetest.study.asked_of_readings import asked_of_readings
from edgetest.study.edge_angles import asked_of_angles
from edgetest.study.far_readings import near_places
from edgetest.study.forgotten_rows import forgotten_rows
from edgetest.study.limit_asked import asked_of_limit
from edgetest.study.near_labels import LABELS, near_facts, near_labels, near_lots
from edgetest.study.planned_blocks import off_the_plan
from edgetest.study.sources import Source
from edgetest.study.treatment_questions import asked_of_treatments
from edgetest.study.wear.asked_of_rolls import asked_of_rolls
from edgetest.study.wear.one_sided_hands import asked_of_persons
from edgetest.study.words import counted
from edgetest.units import MM_PER_INCH

MOST_TOLD = 20  # questions of one kind, so that a slip in a whole column stays readable


def asked_about(source: Source) -> tuple[UnusableInput, ...]:
    """Questions about a log and its study.toml: each with its place and what to do if it is a slip.

    Parameters
    ----------
    source : Source

    Returns
    -------
    tuple of UnusableInput
        Told, not raised: a study with questions is answered as it stands.
    """
    found: list[UnusableInput] = []
    logs: list[tuple[str, Sequence[Any]]] = [(source.log.name, source.log.rows)]
    logs += [(source.chops.name, source.chops.rows)] if source.chops else []
    for name, rows in logs:
        labels = LABELS if source.study else (*LABELS, "blade", "heat_treatment")
        for column in labels:
            found += near_labels(name, rows, column)
        found += _blank_blocks(name, rows)
        found += list(_sizes(name, rows))[:MOST_TOLD]
    found += asked_of_readings(source.log.name, source.log.rows)[:MOST_TOLD]
    found += list(near_places(source.log.name, source.log.rows))[:MOST_TOLD]
    if not source.log.faults:  # a cell or name that cannot be read is told, not forgotten
        found += list(forgotten_rows(source.log.name, source.log.rows, source.study))[:MOST_TOLD]
    if source.study:
        found += _of_photographs(source)
        found += list(off_the_plan(source.log.name, source.log.rows, source.study))[:MOST_TOLD]
        found += asked_of_persons(source.log.name, source.log.rows, source.study)
        found += asked_of_rolls(source.log.name, source.log.rows, source.study)
        found += asked_of_limit(source)
    found += _cuts_beside_chops(source)
    if source.chops:
        found += list(_waters(source.chops.name, source.chops.rows))[:MOST_TOLD]
        found += _fewer_chips(source.chops.name, source.chops.rows)
        found += _of_pieces(source, source.chops.rows)
        found += _of_side_views(source)
    if source.chops is not None and source.study is not None:
        from edgetest.study.chop.asked_of_handling import asked_of_choppers

        found += asked_of_choppers(source.study)
    return (*found, *_of_study(source.study)) if source.study else tuple(found)


def asked_of_last(source: Source, *, table: str = "log") -> tuple[UnusableInput, ...]:
    """Questions about the row that was entered or corrected last; none after an undo of all.

    Parameters
    ----------
    source : Source
        A study.
    table : {"log", "chops"}
    """
    change = last_change(source.path, table=table)
    log = source.chops if table == "chops" else source.log
    if change is None or log is None:
        return ()
    rows = [row for row in log.rows if row.line == change.row]
    if table == "chops":
        return (
            *_sizes(log.name, rows),
            *_waters(log.name, rows),
            *_of_pieces(source, rows, change.row),
        )
    beside = [each(log.name, log.rows, change.row) for each in (asked_of_readings, near_places)]
    beside += [off_the_plan(log.name, log.rows, source.study, change.row)] if source.study else []
    return (*_sizes(log.name, rows), *(fault for faults in beside for fault in faults))


def missing_photographs(source: Source) -> tuple[UnusableInput, ...]:
    """Photographs that a log names and that are not there, with what lies there in their place."""
    found: list[UnusableInput] = []
    folder = source.photos_folder
    logs: list[tuple[str, Sequence[Any]]] = [(source.log.name, source.log.rows)]
    logs += [(source.chops.name, source.chops.rows)] if source.chops else []
    there: dict[str, str] | None = None
    for name, rows in logs:
        for row in rows:
            if not row.photo or (folder / row.photo).is_file() or len(found) >= MOST_TOLD:
                continue
            if there is None:
                there = _pictures_below(folder)
            what = f'the photograph "{row.photo}" is not in {folder.name}'
            found.append(
                cell_fault(name, row.line, "photo", what, _nearest(row.photo, there, folder))
            )
    return tuple(found)


def _pictures_below(folder: Path) -> dict[str, str]:
    """Names of the files below a folder, by how they read without capitals and ending."""
    paths = [path for path in folder.rglob("*") if path.is_file()] if folder.is_dir() else []
    return {
        _plain_name(str(p.relative_to(folder))): p.relative_to(folder).as_posix() for p in paths
    }


def _plain_name(name: str) -> str:
    return PurePosixPath(name.replace("\\", "/")).stem.casefold()


def _nearest(photo: str, there: dict[str, str], folder: Path) -> str:
    """What to do about a photograph that is not there."""
    if (folder.parent / photo).is_file():
        return f"it lies beside the log: move it into {folder.name}"
    near = get_close_matches(_plain_name(photo), there, n=1, cutoff=0.75)
    if near:
        return f'did you mean "{there[near[0]]}"?'
    return f"put it into {folder.name}, or mend its name"


def _blank_blocks(name: str, rows: Sequence[Any]) -> Iterator[UnusableInput]:
    """Rows without a block between rows of the same blade that name one; a look has no run."""
    rows = [row for row in rows if getattr(row, "kind", None) in (None, *WORK)]
    named: dict[str, str] = {}
    for row in rows:
        if row.block and not row.waiting:
            named.setdefault(row.blade, row.block)
    asked = set()
    for row in rows:
        if row.blade in named and not row.block and not row.waiting and row.blade not in asked:
            asked.add(row.blade)
            what = f'no block, where other rows of blade {row.blade} say "{named[row.blade]}"'
            mend = "name the block it was cut on: without one it counts as a run of its own"
            yield cell_fault(name, row.line, "block", what, mend)


def _sizes(name: str, rows: Sequence[Any]) -> Iterator[UnusableInput]:
    """Numbers far outside what is usual for their column."""
    own = [column for column in USUAL if rows and hasattr(rows[0], column)]
    usual = (USUAL, USUAL | USUAL_PIECE)
    for row in rows:
        cells = {column: getattr(row, column) for column in own} | getattr(row, "readings", {})
        for column, number in cells.items():
            number = number.value if isinstance(number, Reading) else number
            low, high = usual[getattr(row, "kind", "") in SEVERED].get(column, (-inf, inf))
            if number is not None and not low <= number <= high:
                yield cell_fault(name, row.line, column, *_unusual(column, number, low, high))


def _waters(name: str, rows: Sequence[Any]) -> Iterator[UnusableInput]:
    """Water that the kind of a piece hardly holds; green wood may, so none is refused."""
    for row in rows:
        water, usual = row.moisture_pct, USUAL_WATER_PCT.get(row.kind)
        if usual is None or not isinstance(water, float | int) or usual[0] <= water <= usual[1]:
            continue
        typed = getattr(water, "typed", f"{water:g}")
        what = f"{typed} is unusual for {row.kind}: {usual[0]:g} to {usual[1]:g} % is what is met"
        mend = (
            "give per cent of the oven-dry mass; green wood can hold more than 100, so if it is "
            "right, leave it"
        )
        yield cell_fault(name, row.line, "moisture_pct", what, mend)


def _unusual(column: str, number: Any, low: float, high: float) -> tuple[str, str]:
    unit = column.rpartition("_")[2].replace("um", "µm")
    typed = getattr(number, "typed", f"{number:g}")
    what = f"{typed} is unusual: {low:g} to {high:g} {unit} is what is met"
    if unit == "mm" and number < low:
        others = {"in": number * MM_PER_INCH, "cm": number * 10}
        likely = [f"{number:g} {n} are {mm:g} mm" for n, mm in others.items() if low <= mm <= high]
        unit = "; ".join([unit, ", ".join(likely)] if likely else [unit])
    return what, f"check the number and its unit ({unit}); if it is right, leave it"


def _of_pieces(source: Source, rows: Sequence[Any], line: int | None = None) -> list[UnusableInput]:
    """Questions about chopped pieces; where none was chopped, their room is not imported."""
    from edgetest.study.chop.asked_depths import asked_of_depths
    from edgetest.study.chop.asked_of_likes import asked_of_likes
    from edgetest.study.chop.asked_of_pieces import asked_of_pieces
    from edgetest.study.chop.asked_of_sizes import asked_of_sizes
    from edgetest.study.chop.asked_of_turns import asked_of_turns
    from edgetest.study.chop.asked_of_woods import asked_of_woods
    from edgetest.study.chop.board_words import of_boards
    from edgetest.study.chop.edge_damage import asked_of_stopped
    from edgetest.study.chop.hands_unlike import asked_of_hands
    from edgetest.study.chop.other_pieces import asked_of_wishes
    from edgetest.study.chop.told_notes import asked_of_notes
    from edgetest.study.chop.told_order import asked_of_order

    name, every = (source.chops.name, of_boards(source.chops.rows)) if source.chops else ("", ())
    filled = {row.line: row for row in every}
    rows = [filled.get(row.line, row) for row in rows]
    own = [wood.name for wood in source.study.woods] if source.study else []
    return [
        *list(asked_of_sizes(name, every, line))[:MOST_TOLD],
        *list(asked_of_woods(name, every, line, own))[:MOST_TOLD],
        *list(asked_of_likes(name, every, line))[:MOST_TOLD],
        *list(asked_of_depths(name, every, line))[:MOST_TOLD],
        *list(asked_of_turns(name, every, line))[:MOST_TOLD],
        *list(asked_of_pieces(name, rows, source.study))[:MOST_TOLD],
        *list(asked_of_notes(name, rows))[:MOST_TOLD],
        *asked_of_order(name, every, line),
        *asked_of_hands(name, every, line),
        *(() if line else (*asked_of_stopped(name, every), *asked_of_wishes(source.study, every))),
    ]


def _cuts_beside_chops(source: Source) -> list[UnusableInput]:
    """Readings after cuts in a study whose protocol asks for chops: no sheet of it tells them."""
    if source.protocol is None or source.protocol.log != "chops":
        return []
    rows = [row for row in source.log.rows if not row.waiting]
    if not rows:
        return []
    what = f"it holds {counted(len(rows), 'row')} of cuts, and the protocol asks for chops"
    mend = (
        "`edgetest fit` reads them, but the sheet of a tool does not tell them; put them into a "
        "study of their own with a protocol of cuts, or leave them if that is meant"
    )
    return [UnusableInput(what, source.log.name, mend)]


def _of_photographs(source: Source) -> list[UnusableInput]:
    """Typed readings apart from their photographs; without one their room is not imported."""
    if not any(row.photo for row in source.log.rows):
        return []
    from edgetest.study.wear.typed_beside_photo import asked_of_typed_beside

    return list(asked_of_typed_beside(source))[:MOST_TOLD]


def _of_side_views(source: Source) -> list[UnusableInput]:
    """Questions about the scales of side views; without one their room is not imported."""
    if source.chops is None or not any(row.photo for row in source.chops.rows):
        return []
    from edgetest.study.chop.side_view_scales import asked_of_side_views

    chops, folder = source.chops, source.photos_folder
    return list(asked_of_side_views(chops.name, chops.rows, source.study, folder))[:MOST_TOLD]


def _fewer_chips(name: str, rows: Sequence[Any]) -> Iterator[UnusableInput]:
    """Looks at an edge that saw fewer chips or rolls than the one before."""
    last: dict[tuple[str, str], Any] = {}
    for row in rows:
        for column in ("chips_count", "rolls_count"):
            if row.kind == "touch-up":
                last.pop((row.blade, column), None)
            count = getattr(row, column)
            if count is None or row.exclude:
                continue
            before = last.get((row.blade, column))
            if before is not None and count < getattr(before, column):
                what = f"{count} after {getattr(before, column)} in row {before.line}"
                mend = "count those on the whole edge, in all; after sharpening add a touch-up row"
                yield cell_fault(name, row.line, column, what, mend)
            last[row.blade, column] = row


def _of_study(study: Study) -> Iterator[UnusableInput]:
    """Questions about study.toml; where no tool is weighed, its room is not imported."""
    yield from _facts(study)
    yield from asked_of_angles(study)
    yield from list(near_facts(study))[:MOST_TOLD]
    yield from asked_of_treatments(study)
    if study.evidence:
        from edgetest.study.steel.asked_of_steel import asked_of_steel

        yield from asked_of_steel(study)
        yield from near_lots(study)
    if study.handling:
        from edgetest.study.chop.asked_of_handling import asked_of_handling

        yield from asked_of_handling(study)


def _facts(study: Study) -> Iterator[UnusableInput]:
    """Sizes of blades and heats of steps that are hardly met."""
    for k, blade in enumerate(study.blades, 1):
        for key, (low, high) in USUAL.items():
            number = getattr(blade, key, None)
            if number is not None and not low <= number <= high:
                where = f"{STUDY_FILE}, blades {k} ({blade.id}), {key}"
                what, mend = _unusual(key, number, low, high)
                yield UnusableInput(what, where, mend)
    for k, treatment in enumerate(study.heat_treatments, 1):
        for j, step in enumerate(treatment.steps, 1):
            where = f"{STUDY_FILE}, heat_treatments {k} ({treatment.id}), steps {j}"
            yield from _short(step, where)
            hottest = HOTTEST_C.get(step.kind, HOTTEST_STEP_C)
            if step.temperature_c is not None and step.temperature_c > hottest:
                typed = getattr(step.temperature_c, "typed", f"{step.temperature_c:g}")
                what = f"{typed} is hotter than a {step.kind} goes ({hottest:g} °C)"
                mend = f'if it was °F, write temperature_f or "{step.temperature_c:g} °F"'
                yield UnusableInput(what, f"{where}, temperature_c", mend)


def _short(step: Step, where: str) -> Iterator[UnusableInput]:
    """A step of some minutes where hours are usual, typed as a number alone; one of weeks."""
    held = "time_min", step.time_min, LEAST_MIN.get(step.kind, 0.0)
    for key, number, least in (held, ("soak_min", step.soak_min, LEAST_SOAK_MIN)):
        if number and number > MOST_STEP_MIN:
            what = f"{getattr(number, 'typed', number)} is longer than a {step.kind} is held"
            yield UnusableInput(what, f"{where}, {key}", "check the number and its unit (min)")
        if number and number < least and typed_bare(number):
            what = f"{step.kind} for {number:g} min is unusually short"
            yield UnusableInput(what, f"{where}, {key}", if_hours(number))
