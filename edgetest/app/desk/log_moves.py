"""Part of the page Log: a row that stands at another place than its work was done at is moved."""

import streamlit as st

from edgetest.app.open_study import faults_kept
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.store.journal import move_row

TELL = ("blade", "kind", "order")
END = "the end of the log"


def show_moves(folder, cells):
    """A row, and above which other one it goes.

    Parameters
    ----------
    folder : Path
        The study.
    cells : LogCells
        Of its chop log.
    """
    rows = dict(cells.rows)
    names = {line: _words(line, each) for line, each in rows.items()}
    with st.expander("Move a row", icon=":material/swap_vert:"), st.form("log.move", border=False):
        st.caption("Rows stand in the order of the work: what is above was done before.")
        left, right = st.columns(2)
        left.selectbox(
            "Row to move", list(rows), None, format_func=names.__getitem__, key="log.move.row"
        )
        ends = {**names, 0: END}
        right.selectbox(
            "It goes above", list(ends), None, format_func=ends.__getitem__, key="log.move.above"
        )
        st.form_submit_button("Move it", on_click=_move, args=(folder, rows))


def _words(line, cells):
    told = " ".join(filter(None, (cells.get(name, "") for name in TELL)))
    done = cells.get("chops") or cells.get("result") or ""
    return verbatim(f"{line}: {told}{f' ({done})' if done else ''}")


@uncut
def _move(folder, rows):
    """On disk before the page answers; a row that another one took the place of is not moved."""
    state = st.session_state.to_dict()
    row, above = state.get("log.move.row"), state.get("log.move.above")
    if row is None or above is None:
        return
    to = above - (above > row) if above else max(rows)
    of = {name: rows[row].get(name, "") for name in TELL}
    with faults_kept():
        move_row(folder, row, to=to, of=of)
