"""Which row of evidence is meant where one is taken out at the prompt?"""

from collections.abc import Mapping
from shlex import quote
from typing import Any

from pydantic import ValidationError

from edgetest.errors import UnusableInput, nearest
from edgetest.store.history import Change
from edgetest.store.records import Study, load_study
from edgetest.study.facts.facts_told import entry_in_words
from edgetest.study.facts.set_facts import facts_at, set_facts
from edgetest.study.steel.enter_evidence import KNOWN, RECORDS
from edgetest.study.steel.evidence_edit import take_out
from edgetest.study.steel.fill_in import refuse_unfilled
from edgetest.study.steel.new_row import without_quotes
from edgetest.study.steel.numbered_heats import heat_numbers, of_coupon, only_piece
from edgetest.study.steel.row_kinds import hardness_seen
from edgetest.study.steel.steel_rows import KnownSteels, steel_rows_of
from edgetest.study.steel.typed_cells import HARDNESSES, LISTS, bare_cell, typed_cell
from edgetest.study.steel.which_row import same_degrees

WHERE = "edgetest enter, --remove"
SHOWN = 3  # of the rows that may have been meant
BLANK: tuple[object, ...] = (None, "", [])
_DEGREES = ("temperature_c", "temperature_f")


def take_evidence(folder, table: str, cells: Mapping[str, str]) -> Change:
    """Take the row out that says each of some cells; the history keeps it.

    Parameters
    ----------
    folder : str or Path
    table : {"pieces", "heats", "tempers", "trials", "known"}
        Of `known`, the facts themselves are taken out.
    cells : mapping of str to str
        As typed; a blank one means that nothing is said there.

    Raises
    ------
    UnusableInput
        If no row says all of it, or several rows that are not alike do; or if other rows rest on
        the one that is meant.
    """
    refuse_unfilled(cells, "edgetest enter")
    with without_quotes():
        study = load_study(folder)
        bare = {key: bare_cell(text) for key, text in cells.items()}
        row = {key: typed_cell(key, text) if text else None for key, text in bare.items()}
        if table == KNOWN:
            return _known_out(folder, row)
        _refuse_unknown_keys(table, row)
        rows = (study.evidence or {}).get(table, ())
        return take_out(folder, table, rows[_meant(folder, study, table, row)])


def _known_out(folder, row: Mapping[str, Any]) -> Change:
    """The facts of all pieces taken out, where they say what was typed."""
    now = facts_at(folder, ("evidence",))
    for key, value in row.items():
        if not _says(KnownSteels, {k: now[k] for k in row if k in now}, key, value):
            met = f'says "{now[key]}"' if key in now else "says nothing"
            mend = "write what stands there" if key in now else "leave it out"
            raise UnusableInput(f'{key} {met}, not "{value}"', WHERE, mend)
    change = set_facts(folder, ("evidence",), now, dict.fromkeys(row), check=steel_rows_of)
    assert change is not None  # each of them stood there
    return change


def _refuse_unknown_keys(table: str, row: Mapping[str, Any]) -> None:
    known = [*RECORDS[table].model_fields, *(_DEGREES if table == "tempers" else ())]
    for key in row:
        if key not in known:
            near = nearest(key, known)
            mend = f"did you mean {near}?" if near else f"known keys: {', '.join(known)}"
            raise UnusableInput(f'"{key}" is not a key of {table}', WHERE, mend)


def _meant(folder, study: Study, table: str, row: Mapping[str, Any]) -> int:
    """Where the row stands that says all of it; of rows that are alike, the last.

    Raises
    ------
    UnusableInput
    """
    rows = (study.evidence or {}).get(table, ())
    numbered = _with_numbers(study, table, rows)
    found = [
        k for k, there in enumerate(rows)
        if _says_all(table, numbered[k], row)
        and all(there.get(key) in BLANK for key, value in row.items() if value is None)
    ]  # fmt: skip
    if not found:
        of = {key: row[key] for key in ("id", "piece", "coupon", "blade") if key in row}
        near = [k for k in range(len(rows)) if _says_all(table, numbered[k], of)]
        mend = f"see what was entered: edgetest history {quote(str(folder))}"
        if near:
            mend = f"write what the one you mean says: {_told(table, rows, near)}"
        raise UnusableInput(f"none of the {table} says all of it", WHERE, mend)
    if any(rows[k] != rows[found[-1]] for k in found):
        raise UnusableInput(
            f"{len(found)} {table} say all of it, and one is taken out at a time: "
            f"{_told(table, rows, found)}",
            WHERE,
            "add a cell that the one you mean says alone; where it says less than the others, add "
            "a key that it does not say, with nothing behind its =",
        )
    return found[-1]


def _with_numbers(study: Study, table: str, rows) -> list[dict[str, Any]]:
    """Rows with the piece, coupon and number of their heat, also where they do not say it."""
    if table == "pieces":
        return [dict(row) for row in rows]
    piece = only_piece(study.evidence)
    of = [of_coupon(row, piece) for row in rows]
    numbers = heat_numbers(rows, of) if table == "heats" else [row.get("heat", 1) for row in rows]
    named = [
        {"blade": blade} if blade else {"piece": its, "coupon": name} for its, name, blade in of
    ]
    return [
        {**row, **names, "heat": number}
        for row, names, number in zip(rows, named, numbers, strict=True)
    ]


def _says_all(table: str, there: Mapping[str, Any], row: Mapping[str, Any]) -> bool:
    """Whether a row says each of some cells that are not blank."""
    cells = {key: value for key, value in row.items() if value is not None}
    degrees = {key: cells.pop(key) for key in _DEGREES if key in cells}
    if degrees and not same_degrees(there, degrees):
        return False
    return all(_says(RECORDS[table], there, key, value) for key, value in cells.items())


def _says(record, there: Mapping[str, Any], key: str, value: Any) -> bool:
    """Whether a row says a cell, in whatever spelling; a list each of its readings."""
    now = there.get(key)
    if now in BLANK:
        return False
    if now == value:
        return True
    try:
        first, second = (
            _read(record.model_validate({**there, key: each}), key) for each in (now, value)
        )
    except ValidationError:
        return False
    return set(second) <= set(first) if key in LISTS else first == second


def _read(row, key: str) -> Any:
    """What a cell says as it is read; readings of hardness in HRC."""
    cell = getattr(row, key)
    return hardness_seen(cell, key, scale=row.scale) if key in HARDNESSES else cell


def _told(table: str, rows, at: list[int]) -> str:
    """Some rows by their places and in words."""
    told = "; ".join(f"{table} {k + 1} ({entry_in_words(rows[k])})" for k in at[:SHOWN])
    return f"{told}; and {len(at) - SHOWN} more" if len(at) > SHOWN else told
