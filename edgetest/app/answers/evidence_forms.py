"""Forms of the verdict's page: a piece, a heat, a temper, a trial, each mended or taken back."""

import streamlit as st

from edgetest.app.answers.evidence_fields import (
    HEAT,
    LOOK,
    PIECE,
    TEMPER,
    TRIAL,
    asked,
)
from edgetest.app.downloads import unbroken
from edgetest.app.labels import by_label
from edgetest.app.open_study import faults_kept, show_fault
from edgetest.errors import UnusableInput
from edgetest.study.steel.evidence_edit import (
    add_row,
    name_blades,
    put_facts,
    put_row,
    take_out,
)
from edgetest.study.steel.row_kinds import spaced

NEW = "another piece"
UNITS = {"_c": " °C", "_min": " min", "_mm": " mm"}  # by the end of a key
# Table of study.toml: its fields, what one row is called, and whether a blade may stand in it.
ROWS = {"heats": (HEAT, "heat"), "tempers": (TEMPER, "temper"), "trials": (TRIAL, "trial")}


def save_and_redraw(save, *arguments, fields=()):
    """Save and draw the page anew; a fault is shown under the form, which keeps what was typed.

    It is told by the labels of the form's fields, not by the file's keys.
    """
    try:
        save(*arguments)
    except UnusableInput as fault:
        told = by_label(fault, fields, place="This form", spoken=False) if fields else fault
        show_fault(told)
        return
    st.rerun()


def kept(save, *arguments):
    """Save from a button's callback; a fault is shown by the page that comes back."""
    with faults_kept():
        save(*arguments)


def rows_in(source, table):
    """Rows of a table as study.toml holds them."""
    return list((source.study.evidence or {}).get(table, []))


def piece_names(source):
    """Ids of the pieces."""
    return [piece["id"] for piece in rows_in(source, "pieces")]


def piece_form(source):
    """What a piece is and what stands in the way; then what is seen of it before any heat."""
    pieces, names = rows_in(source, "pieces"), piece_names(source)
    chosen = st.selectbox("Piece", [*names, NEW], key="verdict.piece") if names else NEW
    was = next((piece for piece in pieces if piece["id"] == chosen), None)
    _piece_part(source, was, PIECE, "what", "Save the piece")
    if was is not None:
        st.markdown("**Before any heat**")
        _piece_part(source, was, LOOK, "look", "Save what was seen")
        st.button(
            "Take this piece back", key="verdict.piece.out", on_click=kept,
            args=(take_out, source.path, "pieces", was),
        )  # fmt: skip


def _piece_part(source, was, fields, part, button):
    """Some of a piece's fields under one button."""
    number = len(rows_in(source, "pieces"))
    key = f"verdict.piece.{part}.{was['id'] if was else number}"
    with st.form(key, border=False):
        piece = asked(fields, was or {}, key)
        if not st.form_submit_button(button, type="primary"):
            return
    if not str(piece.get("id") or "").strip():
        st.error("The piece needs a name: write what stands on it, such as disc A.")
    elif was is None:
        save_and_redraw(add_row, source.path, "pieces", piece, fields=fields)
    else:
        save_and_redraw(put_row, source.path, "pieces", was, piece, fields=fields)


def known_form(source):
    """The two known steels that the piece is sparked beside, and the set of files."""
    data = source.study.evidence or {}
    with st.form("verdict.known", border=False):
        st.markdown("**The two known steels beside it**")
        left, right = st.columns(2)
        low = left.text_input("Low-carbon steel", data.get("known_low", ""))
        high = right.text_input("High-carbon steel", data.get("known_high", ""))
        if st.form_submit_button("Save the known steels"):
            was = {key: data.get(key) for key in ("known_low", "known_high")}
            facts = {"known_low": low.strip() or None, "known_high": high.strip() or None}
            save_and_redraw(put_facts, source.path, was, facts)


def rows_form(source, table, *, started=None, mend=False):
    """Every row of a table to be mended or taken back, and a blank one behind them.

    Parameters
    ----------
    source : Source
    table : {"heats", "tempers", "trials"}
    started : dict, optional
        What the blank row begins with, such as the medium of the next test.
    mend : bool
        Whether the next step is seen of a row that stands here already: the last is opened.
    """
    fields, name = ROWS[table]
    rows = rows_in(source, table)
    if mend and rows:
        st.caption(f"Write it into the {name} that it was seen of.")
    for number, row in enumerate(rows):
        last = mend and number == len(rows) - 1
        with st.expander(unbroken(_row_words(row)), icon=":material/check_circle:", expanded=last):
            key = f"verdict.{table}.{number}"
            with st.form(key, border=False):
                changed = {**row, **_piece_of(source, row, key)}
                changed = asked(fields, changed, key)
                if st.form_submit_button(f"Save the mended {name}"):
                    save_and_redraw(put_row, source.path, table, row, changed, fields=fields)
            st.button(
                f"Take this {name} back", key=f"{key}.out", on_click=kept,
                args=(take_out, source.path, table, row),
            )  # fmt: skip
    key = f"verdict.{table}.new.{len(rows_in(source, table))}"
    with st.form(key, border=False):
        st.markdown(f"**Write down a {name}**")
        row = {**_piece_of(source, {}, key), **(started or {})}
        row = asked(fields, row, key)
        if st.form_submit_button(f"Save the {name}", type="primary"):
            save_and_redraw(add_row, source.path, table, row, fields=fields)


def _piece_of(source, row, key):
    """The piece a row belongs to; nothing to choose where there is one, or a blade says it."""
    names = piece_names(source)
    if row.get("blade"):
        return {}
    if len(names) < 2:
        return {"piece": row.get("piece") or (names[0] if names else None)}
    at = names.index(row["piece"]) if row.get("piece") in names else 0
    return {"piece": st.selectbox("Piece", names, at, key=f"{key}.piece")}


def _row_words(row):
    """A row as it was typed, in a line: sizes with their unit, hardness with its place."""
    return "; ".join(_entry(key, value) for key, value in row.items())


def _entry(key, value):
    if key in ("medium", "colour", "test", "result"):
        return str(value)
    name, unit = next(
        ((key.removesuffix(end), sign) for end, sign in UNITS.items() if key.endswith(end)),
        (key, ""),
    )
    shown = f"{value:g}{unit}" if isinstance(value, int | float) and unit else _value(value)
    return f"{spaced(name)} {shown}"


def _value(value):
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def blades_form(source):
    """Which blade came from which piece, and which is of known steel."""
    study = source.study
    names = piece_names(source)
    with st.form("verdict.blades", border=False):
        ids = [blade.id for blade in study.blades]
        reference = st.selectbox(
            "Reference blade, of known steel", ids, placeholder="none yet",
            index=ids.index(study.reference) if study.reference else None,
        )  # fmt: skip
        pieces = {}
        for blade in study.blades:
            pieces[blade.id] = st.selectbox(
                f"{blade.id} {blade.title} was forged from", ["", *names],
                index=["", *names].index(blade.piece) if blade.piece in names else 0,
                format_func=lambda name: name or "known steel, or not said",
            )  # fmt: skip
        if st.form_submit_button("Save where the blades are from", type="primary"):
            save_and_redraw(name_blades, source.path, pieces, reference)
    st.caption("Cuts and readings go into the log, on the pages Bench and Log.")
