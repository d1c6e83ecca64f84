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
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.labels import by_label
from edgetest.app.open_study import faults_kept, show_fault, told_once
from edgetest.app.page_words import on_page
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim
from edgetest.errors import UnusableInput
from edgetest.study.steel.evidence_edit import (
    add_row,
    name_blades,
    put_row,
    save_piece,
    take_out,
)
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.told_at_entry import pieces_asked, told_of_rows

NEW = "another piece"
KNOWN = {"known_low": "Low-carbon steel", "known_high": "High-carbon steel"}
TAKE_BACK = "choose it as the piece and take it back"
OF = ("piece", "blade", "coupon", "heat", "test")  # what tells one row from another
UNITS = {"_c": " °C", "_min": " min", "_mm": " mm"}  # by the end of a key
# Table of study.toml: its fields, what one row is called, and whether a blade may stand in it.
ROWS = {"heats": (HEAT, "heat"), "tempers": (TEMPER, "temper"), "trials": (TRIAL, "trial")}


def save_and_redraw(form, save, *arguments, fields=(), place=None):
    """Save a form and draw the page anew; where there is a fault, what was typed stays.

    The fault is told under the form by the labels of its fields, not by the file's keys. Of a row
    at a `place` in study.toml, such as "heats 2", the page that comes back tells what the command
    tells of it: how a size was read, and what may be meant otherwise.
    """
    try:
        made = save(*arguments)
    except UnusableInput as fault:
        told = by_label(fault, fields, place="This form", spoken=False) if fields else fault
        show_fault(told)
        return
    form.forget()
    if place is not None:
        st.session_state["told_at_entry"] = (
            *told_of_rows(made, {place}), *_piece_asked(made, place)
        )  # fmt: skip
    st.rerun()


def _piece_asked(study, place):
    """Whether the piece that was saved as a new one was meant to be one of the others."""
    table, number = place.split()
    return pieces_asked(study, int(number) - 1, TAKE_BACK) if table == "pieces" else ()


def show_told_at_entry():
    """What was read, asked and to be minded of the row that was saved last, once."""
    lines, place = told_once("told_at_entry")
    for line in lines:
        show = place.info if line.startswith("read:") else place.warning
        show(verbatim(capital(on_page(line))), icon=":material/help:")


@uncut
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


def piece_form(source, *, folded=False):
    """All that the step asks of a piece under one button: what it is, what is seen of it.

    A new piece is asked first what it is and what stands in the way of fire; that is folded away
    once it is known and the next step asks for something else.
    """
    pieces, names = rows_in(source, "pieces"), piece_names(source)
    chosen = NEW
    if names:
        chosen = kept_choice(
            source.path, st.selectbox, "Piece", names[0], "piece", options=[*names, NEW]
        )
    was = next((piece for piece in pieces if piece["id"] == chosen), None)
    form = kept_form(source.path, f"piece {chosen}")
    if was is None:
        piece = asked(form, PIECE, {})
    else:
        with st.expander(
            verbatim(f"What {was['id']} is: {_piece_words(was)}"), expanded=not folded
        ):
            piece = asked(form, PIECE, was)
    known_was = {key: (source.study.evidence or {}).get(key) for key in KNOWN}
    known = known_was
    if was is not None:
        st.markdown("**Before any heat**")
        piece = asked(form, LOOK, piece)
        st.markdown("**The two known steels beside it**")
        known = _known_steels(form, known_was)
    if form.save("Save what you saw" if was else "Save the piece"):
        if not str(piece.get("id") or "").strip():
            st.error("The piece needs a name: write what stands on it, such as disc A.")
        else:
            save_and_redraw(
                form, save_piece, source.path, was, piece, known_was, known,
                fields=(*PIECE, *LOOK), place=None if was else f"pieces {len(pieces) + 1}",
            )  # fmt: skip
    if was is not None:
        st.button(
            "Take this piece back", key="verdict.piece.out", on_click=kept,
            args=(take_out, source.path, "pieces", was),
        )  # fmt: skip


def _piece_words(piece):
    """What is known of a piece beside its name, in a line."""
    known = {field.key: piece[field.key] for field in PIECE if field.key in piece}
    known.pop("id", None)
    return _row_words(known) or "not said yet"


def _known_steels(form, was):
    """The two known steels that the piece is sparked beside."""
    return {
        key: form.field(column.text_input, label, was[key] or "", key).strip() or None
        for column, (key, label) in zip(st.columns(2), KNOWN.items(), strict=True)
    }


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
        st.caption(f"Write what you saw into the {name} that it belongs to.")
    for number, row in enumerate(rows):
        last = mend and number == len(rows) - 1
        with st.expander(verbatim(_row_words(row)), icon=":material/check_circle:", expanded=last):
            form = kept_form(source.path, f"{table} {_row_name(rows, number)}")
            changed = {**row, **_piece_of(source, row, form)}
            changed = asked(form, fields, changed)
            if form.save(f"Save the mended {name}", primary=False):
                save_and_redraw(
                    form, put_row, source.path, table, row, changed, fields=fields,
                    place=f"{table} {number + 1}",
                )  # fmt: skip
            st.button(
                f"Take this {name} back", key=f"verdict.{table}.{number}.out", on_click=kept,
                args=(take_out, source.path, table, row),
            )  # fmt: skip
    st.markdown(f"**Write down a {name}**")
    form = kept_form(source.path, f"{table}, a new one")
    row = {**_piece_of(source, {}, form), **(started or {})}
    row = asked(form, fields, row)
    if form.save(f"Save the {name}"):
        save_and_redraw(
            form, add_row, source.path, table, row, fields=fields, place=f"{table} {len(rows) + 1}"
        )


def _row_name(rows, number):
    """A row by what it is of, which stays when a row before it is taken back."""
    of = [" ".join(str(row.get(key, "")) for key in OF) for row in rows[: number + 1]]
    return f"{of[-1]} {of.count(of[-1])}"


def _piece_of(source, row, form):
    """The piece a row belongs to; nothing to choose where there is one, or a blade says it."""
    names = piece_names(source)
    if row.get("blade"):
        return {}
    if len(names) < 2:
        return {"piece": row.get("piece") or (names[0] if names else None)}
    at = row["piece"] if row.get("piece") in names else names[0]
    return {"piece": form.field(st.selectbox, "Piece", at, "piece", options=names)}


def _row_words(row):
    """A row as it was typed, in a line: sizes with their unit, hardness with its place."""
    return "; ".join(_entry(key, value) for key, value in row.items())


def _entry(key, value):
    if key in ("medium", "colour", "test", "result", "origin"):
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
    form = kept_form(source.path, "where the blades are from")
    reference = form.field(
        st.selectbox, "Reference blade, of known steel", study.reference, "reference",
        options=[blade.id for blade in study.blades], index=None, placeholder="none yet",
    )  # fmt: skip
    pieces = {
        blade.id: form.field(
            st.selectbox, verbatim(f"{blade.id} {blade.title} was forged from"),
            blade.piece if blade.piece in names else "", f"blade {blade.id}",
            options=["", *names], format_func=lambda name: name or "known steel, or not said",
        )
        for blade in study.blades
    }  # fmt: skip
    if form.save("Save where the blades are from"):
        save_and_redraw(form, name_blades, source.path, pieces, reference)
    st.caption("Cuts and readings go into the log, on the pages Bench and Log.")
