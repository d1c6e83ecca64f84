"""How does a grid of cells keep what was typed into it, as the fields of `kept_fields` do?"""

import pandas as pd
import streamlit as st


def kept_table(form, saved, name, **options):
    """Draw a grid that belongs to a form; its rows as they are typed.

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
    return st.data_editor(
        pd.DataFrame(grid["rows"], columns=list(saved.columns)).astype(saved.dtypes),
        key=grid["key"], on_change=_changed, args=(form, name, grid), **options,
    )  # fmt: skip


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
