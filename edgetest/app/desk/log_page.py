"""Page: the log as it was typed, faults beside the cells, and mended in place."""

from dataclasses import replace

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.desk.log_moves import show_moves
from edgetest.app.downloads import table_downloads
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.links import link
from edgetest.app.open_study import (
    faults_kept,
    heading,
    opened,
    show_fault,
    show_kept_faults,
    show_question,
    stamp,
)
from edgetest.app.page_words import on_page
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import capital, verbatim
from edgetest.errors import UnusableInput
from edgetest.store.journal import correct_reading
from edgetest.store.logs import read_log
from edgetest.store.tables import is_xlsx
from edgetest.store.workspace import replace_log
from edgetest.study.asked_about import asked_about
from edgetest.study.bench.log_cells import log_cells, told_history
from edgetest.study.chop.piece_woods import wood_faults
from edgetest.study.rows_to_fill import rows_to_fill
from edgetest.study.wear.uploaded_rolls import rolls_missing, with_rolls
from edgetest.study.words import counted

FAULT = "fault"


def show():
    """The page."""
    heading("Log", "What was cut, chopped and read, row by row. Blank is missing, not zero.")
    show_kept_faults()
    source = opened()
    chops = source.protocol.log == "chops"
    log = source.chops if chops else source.log
    cells = log_cells(source, log.faults if log else (), table="chops" if chops else "log")
    if cells is None or not cells.rows:
        st.info("The log has no rows yet. They come from the bench, or from a file below.")
        link("bench", "Go to the bench")
    else:
        woods = wood_faults(log, source.study) if chops else []
        _state(
            cells, woods, read=sum(not row.waiting for row in log.rows),
            waiting=len(rows_to_fill(source)),
        )  # fmt: skip
        _grid(source, cells)
        _faults(source, cells, woods)
        _asked(source, cells)
        if chops and cells.editable:
            show_moves(source.path, cells)
        records = [list(cells.columns), *([c[n] for n in cells.columns] for _, c in cells.rows)]
        table_downloads(records, f"{source.path.name}_{cells.table}", what="log")
        _left_out(log)
    _history(source)
    if not chops:
        _upload(source)


def _state(cells, woods, *, read, waiting):
    """One line, whatever is found, so that the table under it keeps its place while one types."""
    count = sum(len(some) for some in cells.faults.values()) + len(woods)
    if not count and not read:
        st.info(f"{counted(waiting, 'row')} planned, nothing read yet.")
        return
    if not count:
        planned = f", {waiting} more still to read" if waiting else ""
        st.success(f"{counted(read, 'row')} read, no fault found{planned}.")
        return
    them = "it is" if count == 1 else "they are"
    st.error(f"{counted(count, 'fault')}, under the table. Nothing counts until {them} mended.")


def _faults(source, cells, woods):
    """What is wrong, each with a field to set it right."""
    for line, some in cells.faults.items():
        for number, fault in enumerate(some):
            with st.container(border=True):
                st.markdown(
                    f"**{verbatim(fault.where)}**: {verbatim(on_page(fault.what))}. "
                    f"*{verbatim(capital(on_page(fault.mend)))}.*"
                )
                if cells.editable and line in dict(cells.rows) and fault.column in cells.columns:
                    _mend(source, cells, (line,), fault.column, number)
    for number, fault in enumerate(woods):
        with st.container(border=True):
            show_fault(fault)
            if cells.editable and fault.column in cells.columns:
                _mend(source, cells, fault.rows, fault.column, f"wood {number}")


def _asked(source, cells):
    """What can hardly be meant, each with a field to set it right; the answer stands meanwhile."""
    rows, mended = dict(cells.rows), set()
    for number, one in enumerate(asked_about(source)):
        row, column = getattr(one, "row", None), getattr(one, "column", None)
        if row in rows and one.where.startswith(f"{cells.table}."):
            with st.container(border=True):
                show_question(one)
                if cells.editable and column in cells.columns and (row, column) not in mended:
                    _mend(source, cells, (row,), column, f"asked {number}")
                mended.add((row, column))


def _mend(source, cells, lines, column, number):
    """A field with what the cell says, and a button that sets it, in all rows of one fault."""
    form = kept_form(source.path, f"{cells.table} row {lines[0]} {column} {number}")
    left, right = st.columns([3, 1], vertical_alignment="bottom")
    label = f"Row {lines[0]}, {column}" if len(lines) == 1 else f"{len(lines)} rows, {column}"
    form.field(left.text_input, verbatim(label), cells.cell(lines[0], column), "cell")
    right.button(
        "Set right", key=f"{form.key}.set", on_click=_set, width="stretch",
        args=(source.path, cells, lines, column, form),
    )  # fmt: skip


@uncut
def _set(folder, cells, lines, column, form):
    """The new value, on disk before the page answers; a stale one is refused with both shown."""
    new, seen = form.now("cell"), dict(cells.rows)
    for line in lines:
        if _correct(folder, cells.table, line, column, new, seen[line]) is None:
            return
    form.forget()


TELL_A_ROW = ("blade", "cuts", "kind", "order", "block", "board")


def _correct(folder, table, line, column, new, seen):
    """Set one cell of a row that was seen so; what it says now, or None where it is refused."""
    of = {name: seen[name] for name in TELL_A_ROW if name in seen and name != column}
    with faults_kept():
        change = correct_reading(folder, line, column, new, was=seen[column], of=of, table=table)
        return (change.after or {}).get(column, "")


def _grid(source, cells):
    """The rows as they stand in the file; a cell that is changed is saved at once."""
    only = kept_choice(source.path, st.toggle, "Only rows with a fault", False, "log only",
                       disabled=not cells.with_fault()) and bool(cells.with_fault())  # fmt: skip
    held = _held(source, cells, only)
    filled = _filled(held["shown"]) | set(_to_be_read(source))
    columns = [n for n in cells.columns if n in filled]
    every = kept_choice(source.path, st.toggle, "Show blank columns too", False, "log blank")
    columns = list(cells.columns) if every else columns
    table = pd.DataFrame(
        [
            {"row": line, FAULT: cells.fault_words(line), **{n: c[n] for n in columns}}
            for line, c in held["shown"].items()
        ]
    )
    if not cells.faults:
        table = table.drop(columns=FAULT)
    st.caption(
        "Click a cell to change it: it is saved when you press Enter, a field below by its button. "
        "What it said before stays in the history."
        if cells.editable
        else "This log is an XLSX file: change it in a spreadsheet and bring it in below."
    )
    st.data_editor(
        table,
        key=held["key"],
        hide_index=True,
        height=min(460, 60 + 36 * len(table)),
        disabled=["row", FAULT] if cells.editable else True,
        column_config={
            "row": st.column_config.NumberColumn(width=60),
            FAULT: st.column_config.TextColumn(width="large"),
        },
        on_change=_edited,
        args=(source.path, cells.table, held, list(table.columns)),
    )


def _held(source, cells, only):
    """What the grid was last filled from; filled anew when the file is changed elsewhere.

    A grid keeps its edits while its contents and key stay, so both stay while it is edited.
    The browser forgets them with the page: who comes back gets what the file says.
    """
    held = st.session_state.get("log.held")
    rows = dict(cells.with_fault() if only else cells.rows)
    faults = {line: cells.fault_words(line) for line in rows}
    now = (str(source.path), cells.table, only, stamp(source.path, photos=False))
    left = held is not None and held["typed"] and held["key"] not in st.session_state
    if held is None or left or held["now"] != now or held["faults"] != faults:
        number = held["number"] + 1 if held else 0
        held = {"now": now, "number": number, "key": f"log.grid.{number}", "typed": {},
                "rows": {line: dict(cells_) for line, cells_ in rows.items()},
                "shown": {line: dict(cells_) for line, cells_ in rows.items()},
                "faults": faults}  # fmt: skip
        st.session_state["log.held"] = held
    return held


def _to_be_read(source):
    """Readings whose columns are shown though blank: all before the first, then a life's own."""
    study, log = source.study, source.log
    if source.protocol.log == "chops" or study is None:
        return ()
    begun = any(not row.waiting for row in log.rows)
    return (study.reading_name,) if begun else [rule.name for rule in study.rules.readings]


def _filled(rows):
    names = ("blade", "cuts", "exclude", "note")
    return {n for cells in rows.values() for n, cell in cells.items() if cell} | set(names)


@uncut
def _edited(folder, table, held, columns):
    """Every cell that was changed, saved; where that is refused, the grid shows the file again."""
    lines = list(held["rows"])
    for index, changes in st.session_state.to_dict()[held["key"]]["edited_rows"].items():
        line = lines[int(index)]
        for column, new in changes.items():
            if column not in columns or held["typed"].get((line, column)) == new:
                continue
            says = _correct(folder, table, line, column, new or "", held["rows"][line])
            if says is None:
                st.session_state.pop("log.held", None)
                return
            held["typed"][line, column] = new
            held["rows"][line][column] = says
    path, table, only, _ = held["now"]
    held["now"] = (path, table, only, stamp(folder, photos=False))


def _left_out(log):
    for row in log.rows:
        if row.exclude:
            st.caption(verbatim(f"Row {row.line} is left out of the answer: {row.exclude}"))


def _history(source):
    """What was changed before, old values kept."""
    told = told_history(source.path)
    if not told:
        return
    words = f"History: the last {counted(len(told), 'change')}"
    with st.expander(words, icon=":material/history:"):
        table = pd.DataFrame([vars(each) for each in told])
        show_rows(table, "changes")


def _upload(source):
    """A file is read and judged before it takes the log's place."""
    with st.expander("Take the log from a file", icon=":material/upload_file:"):
        file = st.file_uploader("CSV or XLSX", type=["csv", "xlsx", "txt"], key="log.file")
        if file is None:
            return
        try:
            log = read_log(file.getvalue(), study=source.study, name=file.name)
        except UnusableInput as fault:
            show_fault(fault)
            return
        st.markdown(f"**{verbatim(file.name)}**: {counted(len(log.rows), 'row')}")
        for each in log.faults:
            st.markdown(
                f"- **{verbatim(each.where)}**: {verbatim(on_page(each.what))}. "
                f"*{verbatim(on_page(each.mend))}.*"
            )
        if log.faults:
            st.error("The study keeps the log it has. Mend the file and bring it in again.")
            return
        for one in asked_about(replace(source, log=log, chops=None)):
            if getattr(one, "row", None) is not None:
                show_question(one, saved=False)
        data = _with_its_rolls(source.study, log, file)
        if st.button("Use this log", type="primary"):
            replace_log(source.path, data)
            st.toast("The log is saved; the one before it is kept beside it.")
            st.rerun()


def _with_its_rolls(study, log, file):
    """The file's bytes; where the plan has rolls that it does not name, told and filled in."""
    missing = rolls_missing(study, log)
    if missing is None:
        return file.getvalue()
    st.warning(verbatim(missing.summary()))
    fillable = {row.blade for row in log.rows if not row.block} & missing.known.keys()
    if is_xlsx(file.getvalue()) or not fillable:
        st.markdown("Name the rolls in the column `block` of the file and bring it in again.")
        return file.getvalue()
    if st.toggle("Fill in each blade's roll from the plan", True, key="log.rolls"):
        return with_rolls(file.getvalue(), missing)
    return file.getvalue()
