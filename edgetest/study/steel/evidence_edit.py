"""Evidence written down step by step: each change is checked whole and on disk at once.

A change starts from what stands on disk, not from what a page showed: rows that another
device added meanwhile stay, and a fact that it changed is refused with both versions.
"""

from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import Study
from edgetest.store.workspace import change_study
from edgetest.study.steel.evidence_records import WHERE, evidence_of, wishes_of

TABLES = ("pieces", "quenched", "tempered")


def add_row(folder, table, row) -> Study:
    """Add a piece, a quenched coupon or a tempered one.

    Parameters
    ----------
    folder : path-like
    table : {"pieces", "quenched", "tempered"}
    row : dict
        As it stands in study.toml; blank entries are left out.

    Raises
    ------
    UnusableInput
        Naming what is wrong with the row; nothing is written then.
    """
    return _change(folder, lambda data: {**data, table: [*data.get(table, []), _filled(row)]})


def take_out(folder, table, row) -> Study:
    """Take a mistaken row out again, by its contents."""

    def change(data):
        rows = list(data.get(table, []))
        if row not in rows:
            raise _stale("the row is not there any more")
        rows.remove(row)
        return {**{k: v for k, v in data.items() if k != table}, **({table: rows} if rows else {})}

    return _change(folder, change)


def put_piece(folder, was, piece) -> Study:
    """Put a piece's facts in the place of those that the page showed.

    Raises
    ------
    UnusableInput
        If the piece has been changed meanwhile: both versions are told.
    """

    def change(data):
        rows = list(data.get("pieces", []))
        if was not in rows:
            now = next((r for r in rows if r.get("id") == was.get("id")), "gone")
            raise _stale(f"piece {was.get('id')} is now {now}, not {was}")
        rows[rows.index(was)] = _filled(piece)
        return {**data, "pieces": rows}

    return _change(folder, change)


def put_facts(folder, was, facts) -> Study:
    """Put single facts (known steels, pack, analysis, …) in the place of those shown.

    Parameters
    ----------
    was, facts : dict
        The keys' values as the page showed them, and as they shall be; None takes one out.
    """

    def change(data):
        for key in facts:
            if data.get(key) != was.get(key):
                raise _stale(f"{key} is now {data.get(key)}, not {was.get(key)}")
        kept = {key: value for key, value in data.items() if key not in facts}
        return {**kept, **_filled(facts)}

    return _change(folder, change)


def put_criteria(folder, was, wishes) -> Study:
    """Put the criteria and losses in the place of those shown."""

    def change(study):
        if (study.verdict or {}) != was:
            raise _stale(f"the criteria are now {study.verdict}, not {was}")
        changed = study.model_copy(update={"verdict": _filled(wishes) or None})
        wishes_of(changed)
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
        evidence_of(changed)
        return changed

    return change_study(folder, change)


def _change(folder, change) -> Study:
    """Change the evidence on disk, if what comes of it can be read."""

    def whole(study):
        changed = study.model_copy(update={"evidence": change(dict(study.evidence or {})) or None})
        evidence_of(changed)
        return changed

    return change_study(folder, whole)


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    """The entries that hold something; 0 and False do."""
    return {key: value for key, value in row.items() if value not in (None, "", [], {}, ())}


def _stale(what):
    """A fact that somebody else has changed since the page was drawn."""
    return UnusableInput(what, WHERE, "look at it as it is now, then save again")
