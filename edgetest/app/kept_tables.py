"""How does a grid of cells keep what was typed into it, as the fields of `kept_fields` do?"""

import re
from functools import partial

import pandas as pd
import streamlit as st

from edgetest.app.verbatim import verbatim

_CSS = """<style>
[class*=st-key-grid_narrow_] { display: none; }
@media (max-width: 640px) {
  [class*=st-key-grid_wide_] { display: none; } [class*=st-key-grid_narrow_] { display: flex; }
}
</style>"""


def kept_table(form, saved, name, **options):
    """Draw a grid that belongs to a form; its rows as they are typed. A phone gets cards.

    The grid of the browser counts from the rows that it was filled with. They stay while what
    it shows is what is kept; where something else stands on disk, it is filled anew.

    Parameters
    ----------
    form : KeptForm
    saved : DataFrame
        What the file says; its columns' types hold for what is typed too.
    name : str
        Of the grid in its form.
    options
        Of `st.data_editor`.

    Returns
    -------
    DataFrame
    """
    key, state = f"{form.key}.{name}", st.session_state
    rows = form.held(name, _rows(saved))
    grid = state.get(f"{key}.grid")
    if grid is None or grid["key"] not in state or _edited(state[grid["key"]], grid) != rows:
        number = grid["number"] + 1 if grid else 0
        grid = {"key": f"{key}.{number}", "number": number, "rows": rows, "saved": _rows(saved)}
        state[f"{key}.grid"] = grid
    grid["now"] = [dict(row) for row in rows]
    mark = re.sub(r"[^A-Za-z0-9_-]+", "_", key)
    st.html(_CSS)
    with st.container(key=f"grid_wide_{mark}"):
        shown = st.data_editor(
            pd.DataFrame(grid["rows"], columns=list(saved.columns)).astype(saved.dtypes),
            key=grid["key"], on_change=_changed, args=(form, name, grid), **options,
        )  # fmt: skip
    with st.container(key=f"grid_narrow_{mark}"):
        _cards(form, name, saved, options.get("column_config", {}))
    return shown


def _cards(form, name, saved, config):
    """The same rows as fields, a card a row: a phone has no room for a grid."""
    key, state = f"{form.key}.{name}", st.session_state
    grid = state[f"{key}.grid"]
    for number, row in enumerate(grid["now"]):
        with st.container(border=True):
            for column in saved.columns:
                draw, empty = _field_of(saved[column], config.get(column) or {})
                cell, value = f"{key}.cell.{number}.{column}", row.get(column)
                state[cell] = empty if value is None else value
                label = (config.get(column) or {}).get("label") or column.replace("_", " ")
                draw(label, key=cell, on_change=_typed,
                     args=(form, name, grid, number, column, cell))  # fmt: skip
            st.button(verbatim(f"Take row {number + 1} away"), key=f"{key}.away.{number}",
                      on_click=_taken, args=(form, name, grid, number))  # fmt: skip
    st.button("Add a row", key=f"{key}.more", on_click=_added,
              args=(form, name, grid, list(saved.columns)))  # fmt: skip


def _field_of(cells, config):
    """The field that a column's cells are typed into, and what it holds where nothing is."""
    options = (config.get("type_config") or {}).get("options")
    if options:
        return partial(st.selectbox, options=list(options), index=None), None
    if pd.api.types.is_bool_dtype(cells):
        return st.toggle, False
    if pd.api.types.is_numeric_dtype(cells):
        whole = pd.api.types.is_integer_dtype(cells)
        how = {"step": 1} if whole else {"format": "%g"}
        return partial(st.number_input, value=None, **how), None
    return st.text_input, ""


def _typed(form, name, grid, number, column, cell):
    value = st.session_state.to_dict()[cell]
    grid["now"][number][column] = None if value == "" else value
    form.keep(name, grid["saved"], grid["now"])


def _taken(form, name, grid, number):
    form.keep(name, grid["saved"], [row for n, row in enumerate(grid["now"]) if n != number])


def _added(form, name, grid, columns):
    form.keep(name, grid["saved"], [*grid["now"], dict.fromkeys(columns)])


def _changed(form, name, grid):
    form.keep(name, grid["saved"], _edited(st.session_state.to_dict()[grid["key"]], grid))


def _rows(frame):
    """A frame's rows as they stand on disk: what is missing is None."""
    return frame.astype(object).where(frame.notna(), None).to_dict("records")


def _edited(changes, grid):
    """The rows that a grid shows."""
    columns = list(dict.fromkeys(c for row in (*grid["rows"], *grid["saved"]) for c in row))
    rows = [dict(row) for row in grid["rows"]]
    for number, cells in changes["edited_rows"].items():
        rows[int(number)] |= cells
    gone = set(changes["deleted_rows"])
    kept = [row for number, row in enumerate(rows) if number not in gone]
    added = ({column: row.get(column) for column in columns} for row in changes["added_rows"])
    return [*kept, *added]
