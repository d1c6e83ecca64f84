"""How does a row of evidence get in from the prompt: new, or into the blanks of a piece?"""

from collections.abc import Mapping
from shlex import quote
from typing import Any

from pydantic import ValidationError

from edgetest.errors import ManyFaults, UnusableInput, nearest
from edgetest.store.checking import Record, validate
from edgetest.store.history import Change
from edgetest.store.records import Study, load_study
from edgetest.study.facts.set_facts import add_entry, facts_at, set_facts
from edgetest.study.steel.bare_degrees import gains_a_unit
from edgetest.study.steel.fill_in import refuse_unfilled
from edgetest.study.steel.new_row import (
    nearly_noted,
    no_row_there,
    told_of_new_row,
    with_its_heat,
    without_quotes,
)
from edgetest.study.steel.numbered_heats import only_heat, only_piece, row_of_heat
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import (
    IN_EVIDENCE,
    CouponHeat,
    CouponTemper,
    CouponTrial,
    FoundPiece,
    KnownSteels,
    steel_rows_of,
)
from edgetest.study.steel.typed_cells import HARDNESSES, LISTS, bare_cell, typed_cell
from edgetest.study.steel.which_row import (
    ROW,
    TOLD_BY,
    row_named,
    row_to_replace,
    without_same_degrees,
)

EVIDENCE = ("pieces", "heats", "tempers", "trials")
KNOWN = "known"  # the steels and files that are of all pieces: keys of [evidence] itself
RECORDS: dict[str, type[Record]] = {
    "pieces": FoundPiece, "heats": CouponHeat, "tempers": CouponTemper, "trials": CouponTrial,
}  # fmt: skip


def enter_evidence(
    folder, table: str, cells: Mapping[str, str], *, replace: bool = False
) -> Change | None:
    """Put one row into the evidence of a steel; on disk on return.

    Parameters
    ----------
    folder : str or Path
    table : {"pieces", "heats", "tempers", "trials", "known"}
        Of a piece that was noted already, and of a heat that is given its number, the blanks
        are filled; so are those of `known`, the known steels and the files. Else the row is
        added.
    cells : mapping of str to str
        By key of study.toml, as typed.
    replace : bool
        Whether what a cell says already may be replaced; the history keeps it. A temper or a
        trial of a coupon or blade is then the one that stands there; where there are several,
        the one of this temperature, or of this test and day, or of this `row`, its number among
        those of its table. A blank cell then takes out what stands there.

    Returns
    -------
    Change or None
        None where all of it stands there already.

    Raises
    ------
    UnusableInput
        If the row cannot be read, or says otherwise than what stands there; nothing is
        written then.
    """
    refuse_unfilled(cells, "edgetest enter")
    with without_quotes():
        return _entered(folder, table, {k: bare_cell(cell) for k, cell in cells.items()}, replace)


def _entered(folder, table: str, cells: Mapping[str, str], replace: bool) -> Change | None:
    """The same, its faults told as in study.toml."""
    study = load_study(folder)
    row = {key: typed_cell(key, text) for key, text in cells.items() if text}
    blank = [key for key, text in cells.items() if not text]
    if table == KNOWN:
        validate(KnownSteels, row, IN_EVIDENCE)
        now = study.evidence or {}
        wishes = _wishes(now, row, IN_EVIDENCE, KnownSteels, replace=replace)
        wishes |= _taken_out(now, blank, IN_EVIDENCE, replace=replace)
        return _set(folder, ("evidence",), wishes)
    _refuse_of_all(folder, row)
    _refuse_unknown_piece(folder, study, table, row)
    rows = (study.evidence or {}).get(table, ())
    piece = only_piece(study.evidence)
    at = _meant(table, rows, row, blank, piece, replace=replace)
    if at is not None:
        there, record = rows[at], RECORDS[table]
        row = without_same_degrees(table, there, row)
        named = f" ({there['id']})" if "id" in there else ""
        where = f"{IN_EVIDENCE}, {table} {at + 1}{named}"
        validate(record, {**there, **row} if table in TOLD_BY else row, where)
        wishes = _wishes(there, row, where, record, replace=replace)
        wishes |= _taken_out(there, blank, where, replace=replace)
        return _set(folder, ("evidence", table, there.get("id", at)), wishes)
    if replace:
        raise no_row_there(table, rows)
    row = with_its_heat(table, row, study)
    with told_of_new_row(folder, table):
        return add_entry(folder, ("evidence", table), row, check=steel_rows_of)


def _meant(table, rows, row, blank, piece, *, replace) -> int | None:
    """Where the row stands that is filled in or mended; None where a new one is typed."""
    at = row_named(table, rows, row, piece, replace=replace)
    if at is not None:
        row.pop(ROW)
        return at
    if replace and table in TOLD_BY:
        at = row_to_replace(table, rows, row, piece)
    if at is not None:
        return at
    return _standing(table, rows, {**row, **dict.fromkeys(blank)}, piece, replace=replace)


def _standing(table, rows, row, piece, *, replace) -> int | None:
    """Where a row stands already: a piece of this id, or this heat of a coupon or blade."""
    if table == "pieces":
        return _standing_piece(rows, row.get("id", ""))
    if table == "heats" and replace and row.get("heat") is None:
        return only_heat(rows, row, piece)
    if table != "heats" or not isinstance(row.get("heat"), int):
        return None
    return row_of_heat(rows, row, piece, sure=replace)


def _standing_piece(rows, name) -> int | None:
    """Where a piece stands that was noted already.

    Raises
    ------
    UnusableInput
        Of an id that differs from another's in capitals and blanks alone.
    """
    ids = [str(there.get("id", "")) for there in rows]
    if name in ids:
        return ids.index(name)
    if near := nearly_noted(name, ids):
        raise UnusableInput(
            f'"{name}" is nearly the piece "{near}", which was noted already',
            "edgetest enter, id",
            f"write id={quote(near)} if it is the same; another piece needs another name",
        )
    return None


def _set(folder, card, wishes) -> Change | None:
    return set_facts(folder, card, facts_at(folder, card), wishes, check=steel_rows_of)


def _wishes(there, row, where, record, *, replace) -> dict[str, Any]:
    """The cells that are blank there, or may be replaced.

    Raises
    ------
    UnusableInput
        Of each cell that says something else and may not be replaced.
    """
    faults = []
    wishes = {}
    for key, value in row.items():
        now = there.get(key)
        if key == "scale" and now is None and any(there.get(name) for name in HARDNESSES):
            now = "HRC"  # a scale typed later would turn the readings that stand there
        if now in (None, "", []):
            wishes[key] = value
        elif not _same(record, key, now, value) or (replace and gains_a_unit(now, value)):
            wishes[key] = value
            if not replace and not _holds_all(now, value):
                faults.append(_says_else(where, key, now, value))
    if faults:
        raise ManyFaults(faults)
    return wishes


def _taken_out(there, blank, where, *, replace) -> dict[str, None]:
    """The cells that are typed with nothing behind their =, and say something there.

    Raises
    ------
    UnusableInput
        Of one that may not be replaced.
    """
    stand = {key: None for key in blank if there.get(key) not in (None, "", [])}
    if stand and not replace:
        key = next(iter(stand))
        raise UnusableInput(
            f'it says "{_as_text(there[key])}", and {key}= takes nothing out', f"{where}, {key}",
            "add --replace to take it out; the history keeps what it said",
        )  # fmt: skip
    return stand


def _holds_all(now, value) -> bool:
    """Whether a list holds each reading that stood there, so that none is lost."""
    return isinstance(value, list) and all(each in value for each in _listed(now))


def _listed(value) -> list:
    return list(value) if isinstance(value, list | tuple) else [value]


def _same(record, key, now, value) -> bool:
    """Whether two ways to write a cell say the same, as "like low" and "like_low" do."""
    if now == value:
        return True
    name = {"id": "1"} if "id" in record.model_fields else {}
    try:
        first, second = (record.model_validate({**name, key: each}) for each in (now, value))
    except ValidationError:
        return False
    return getattr(first, key) == getattr(second, key)


def _says_else(where, key, now, value) -> UnusableInput:
    """A cell that says something else already, with both and how to go on."""
    was, new = (_as_text(each) for each in (now, value))
    mend = "add --replace to put it in its place; the history keeps what it said"
    if ", heats " in where:
        mend = f"{mend}; another heat has a number of its own, or none"
    if key in LISTS:
        mend = f"to keep both, give all: {key}={quote(f'{was}; {new}')}; else {mend}"
    return UnusableInput(
        f'it says "{was}" already, "{new}" was not written', f"{where}, {key}", mend
    )


def _refuse_of_all(folder, row):
    """Refuse the known steels in a row of one piece: they stand beside every piece.

    Raises
    ------
    UnusableInput
    """
    of_all = [key for key in ("known_low", "known_high", "files_hrc") if key in row]
    if of_all:
        told = " ".join(f"{key}={quote(_as_text(row[key]))}" for key in of_all)
        raise UnusableInput(
            f"{' and '.join(map(spaced, of_all))} stands beside every piece, not in one row",
            "edgetest enter",
            f"enter it by itself: edgetest enter {quote(str(folder))} --evidence {KNOWN} {told}",
        )


def _as_text(value) -> str:
    return "; ".join(map(str, _listed(value)))


def _refuse_unknown_piece(folder, study: Study, table, row):
    """Refuse evidence on a piece that nobody noted: a slip of the name would be a piece of its own.

    Raises
    ------
    UnusableInput
    """
    noted = [piece.id for piece in steel_rows_of(study).pieces]
    piece = row.get("piece")
    if table == "pieces" or piece is None or piece in noted:
        return
    near = nearest(piece, noted)
    known = f'did you mean "{near}"? ' if near else f"known: {', '.join(noted)}; " if noted else ""
    note = f"edgetest enter {quote(str(folder))} --evidence pieces id={quote(piece)}"
    raise UnusableInput(
        f'the piece "{piece}" was not noted yet', "edgetest enter, piece",
        f"{known}note a new one first: {note}",
    )  # fmt: skip
