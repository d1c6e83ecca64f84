"""How is evidence written down step by step, each change checked whole and on disk at once?

A change starts from what stands on disk, not from what a page showed: rows that another
device added meanwhile stay, and a row that it changed is refused with both versions.
"""

from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.history import Change
from edgetest.store.records import Study, load_study
from edgetest.store.workspace import change_study
from edgetest.study.facts.set_facts import take_entry
from edgetest.study.steel.new_row import nearly_noted, told_of_new_row
from edgetest.study.steel.resting_rows import refuse_rested
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import IN_EVIDENCE, steel_rows_of, verdict_wishes_of


def add_row(folder, table, row) -> Study:
    """Add a piece, a heat, a temper or a trial.

    Parameters
    ----------
    folder : path-like
    table : {"pieces", "heats", "tempers", "trials"}
    row : dict
        As it stands in study.toml; blank entries are left out.

    Raises
    ------
    UnusableInput
        Naming what is wrong with the row; nothing is written then.
    """
    with told_of_new_row(folder, table):
        return _change(folder, _added(table, row))


def take_out(folder, table, row) -> Change:
    """Take a mistaken row out again, by its contents; of rows that are alike the last.

    Parameters
    ----------
    folder : path-like
    table : {"pieces", "heats", "tempers", "trials"}
    row : dict
        As it stands in study.toml.

    Returns
    -------
    Change
        As the history keeps it; `undo_facts` puts the row back.

    Raises
    ------
    UnusableInput
        If the row is no longer there, or other rows rest on it.
    """
    rows = (load_study(folder).evidence or {}).get(table, ())
    at = max((k for k, there in enumerate(rows) if there == row), default=None)
    if at is None:
        raise _stale("the row is no longer there")

    def check(left):
        refuse_rested(left, table, at, row)
        steel_rows_of(left)

    return take_entry(folder, ("evidence", table), at, was=row, check=check)


def put_row(folder, table, was, row) -> Study:
    """Put a mended row in the place of the one that the page showed.

    Raises
    ------
    UnusableInput
        If the row has been changed meanwhile: both versions are told.
    """
    return _change(folder, _replaced(table, was, row))


def save_piece(folder, was, piece, known_was, known) -> Study:
    """Put a piece and the known steels beside it in the place of those shown, or neither.

    Parameters
    ----------
    folder : path-like
    was : dict or None
        The piece as the page showed it; None for a new one.
    piece : dict
    known_was, known : dict
        As `put_facts` takes them.

    Raises
    ------
    UnusableInput
        As `put_row` and `put_facts`.
    """
    put = _added("pieces", piece) if was is None else _replaced("pieces", was, piece)
    steels = _with_facts(known_was, known)

    def change(data):
        _refuse_nearly_noted(data, was, piece)
        return steels(put(data))

    return _change(folder, change)


def _refuse_nearly_noted(data, was, piece):
    """Refuse a new name that differs from a noted piece's in capitals and blanks alone."""
    name = str(piece.get("id", ""))
    if was is not None and was.get("id") == name:
        return
    others = [str(row.get("id", "")) for row in data.get("pieces", []) if row != was]
    if near := nearly_noted(name, others):
        raise UnusableInput(
            f'"{name}" is nearly the piece "{near}", which was noted already',
            f"{IN_EVIDENCE}, pieces, id",
            f'choose "{near}" above if it is the same; another piece needs another name',
        )


def _added(table, row):
    return lambda data: {**data, table: [*data.get(table, []), _filled(row)]}


def _replaced(table, was, row):
    def change(data):
        rows = list(data.get(table, []))
        if was not in rows:
            same = ("id",) if table == "pieces" else ("piece", "coupon", "blade", "heat")
            alike = (r for r in rows if all(r.get(key) == was.get(key) for key in same))
            now = next(map(_said, alike), "gone")
            raise _stale(f"the row is now {now}; it was {_said(was)}")
        rows[rows.index(was)] = _filled(row)
        return {**data, table: rows}

    return change


def put_facts(folder, was, facts) -> Study:
    """Put single facts (known steels, pack, files, …) in the place of those shown.

    Parameters
    ----------
    was, facts : dict
        The keys' values as the page showed them, and as they shall be; None takes one out.
    """
    return _change(folder, _with_facts(was, facts))


def _with_facts(was, facts):
    def change(data):
        for key in facts:
            if data.get(key) != was.get(key):
                raise _stale(f"{key} is now {data.get(key)}, not {was.get(key)}")
        kept = {key: value for key, value in data.items() if key not in facts}
        return {**kept, **_filled(facts)}

    return change


def put_wishes(folder, was, wishes) -> Study:
    """Put the use and the losses in the place of those shown."""

    def change(study):
        if (study.verdict or {}) != was:
            raise _stale(f"the use and the losses are now {study.verdict}, not {was}")
        changed = study.model_copy(update={"verdict": _filled(wishes) or None})
        verdict_wishes_of(changed)
        return changed

    return change_study(folder, change)


def name_blades(folder, pieces, reference) -> Study:
    """Say from which piece each blade was forged, and which blade is of known steel."""

    def change(study):
        blades = tuple(
            blade.model_copy(update={"piece": pieces.get(blade.id, blade.piece)})
            for blade in study.blades
        )
        changed = study.model_copy(update={"blades": blades, "reference": reference})
        steel_rows_of(changed)
        return changed

    return change_study(folder, change)


def _change(folder, change) -> Study:
    """Change the evidence on disk, if what comes of it can be read."""

    def whole(study):
        changed = study.model_copy(update={"evidence": change(dict(study.evidence or {})) or None})
        steel_rows_of(changed)
        return changed

    return change_study(folder, whole)


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    """The entries that hold something; 0 and False do."""
    return {key: value for key, value in row.items() if value not in (None, "", [], {}, ())}


def _said(row: dict[str, Any]) -> str:
    """A row in words: "piece A, medium oil"."""
    plain = {True: "yes", False: "no"}
    cells = (
        (key, plain[value] if isinstance(value, bool) else value) for key, value in row.items()
    )
    return ", ".join(f"{spaced(key)} {spaced(str(value))}" for key, value in cells)


def _stale(what):
    """A row that somebody else has changed since the page was drawn."""
    return UnusableInput(what, IN_EVIDENCE, "look at it as it is now, then save again")
