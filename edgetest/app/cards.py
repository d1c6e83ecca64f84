"""How is a small table of results shown, so that it can be read on a phone as well as on a desk?"""

import math
from html import escape

import pandas as pd
import streamlit as st

from edgetest.app.verbatim import verbatim

PAGE_ROWS = 60  # a longer table is shown in parts: on a phone each row takes a card
LONG_WORD = 18  # letters; a longer one may be broken, else it would push the table off the page
SHORT_TEXT = 22  # letters; "169.6 (161.1 to 178.5)" stays on one line
# Columns beside which a table still has room from so many rem; else its rows are cards.
WIDTHS = {4: "few", 7: "some"}
MOST = "many"

CARDS_CSS = """
.rows { container-type: inline-size; }
.rows table { width: 100%; border-collapse: collapse; font-variant-numeric: tabular-nums;
  line-height: 1.4; margin: 0 0 .4rem; }
.rows :is(th, td) { text-align: left; vertical-align: top; padding: .45rem .6rem;
  border: 0; border-bottom: 1px solid color-mix(in srgb, currentColor 22%, transparent);
  overflow-wrap: break-word; font-weight: 400; }
.rows thead th { font-weight: 600; border-bottom-width: 2px; }
.rows .broken { overflow-wrap: anywhere; min-width: 9rem; }
.rows .short { white-space: nowrap; }
"""
_CARDS = """
@container (max-width: WIDE) {
  .KIND :is(table, tbody, tr, th, td) { display: block; }
  .KIND thead { position: absolute; width: 1px; height: 1px; overflow: hidden;
    clip-path: inset(50%); }
  .KIND tbody tr { border: 1px solid color-mix(in srgb, currentColor 30%, transparent);
    border-radius: .4rem; padding: .5rem .8rem; margin: 0 0 .6rem; }
  .KIND tbody :is(th, td) { border: 0; padding: .2rem 0; min-width: 0; white-space: normal;
    overflow-wrap: anywhere; }
  .KIND tbody th { font-weight: 600; }
  .KIND td { display: grid; grid-template-columns: minmax(6rem, 38%) 1fr; gap: .6rem; }
  .KIND td::before { content: attr(data-label); overflow-wrap: break-word; }
  .KIND td:empty { display: none; }
}
"""
CARDS_CSS += "".join(
    _CARDS.replace("KIND", f"rows.{kind}").replace("WIDE", wide)
    for kind, wide in (("few", "30rem"), ("some", "38rem"), (MOST, "58rem"))
)


def show_rows(rows, label, *, key=None):
    """Show a table of results: each row a line on a wide screen, a card on a narrow one.

    Parameters
    ----------
    rows : DataFrame or sequence of dict
        What stands in a row, by its heading. What is not known is blank; a column that is blank
        in every row is left out.
    label : str
        What the table holds, for who cannot see it; at the same time the name of its parts where
        it is so long that it is shown in parts.
    key : str, optional
        Of the choice of the part; by default the label.
    """
    table = rows if isinstance(rows, pd.DataFrame) else pd.DataFrame(rows)
    parts = max(1, math.ceil(len(table) / PAGE_ROWS))
    part = 1
    if parts > 1:
        part = st.number_input(
            verbatim(f"Part of the {label}, of {parts}"),
            1,
            parts,
            key=f"{key or label}.part",
            width=220,
        )
    st.html(rows_html(table, label, first=(part - 1) * PAGE_ROWS, most=PAGE_ROWS))


def rows_html(table, label, *, first=0, most=None):
    """The table as HTML, every text of it escaped.

    Parameters
    ----------
    table : DataFrame
    label : str
    first : int
        Number of the first row that is shown.
    most : int, optional
        Rows that are shown at most.

    Returns
    -------
    str
    """
    texts = [[plain_cell(cell) for cell in row] for row in table.itertuples(index=False)]
    kept = [i for i in range(table.shape[1]) if any(row[i] for row in texts)]
    heads = [str(table.columns[i]) for i in kept]
    texts = [[row[i] for i in kept] for row in texts][first:][:most]
    kind = next((name for count, name in WIDTHS.items() if len(heads) <= count), MOST)
    top = "".join(f'<th role="columnheader" scope="col">{escape(head)}</th>' for head in heads)
    body = "".join(f'<tr role="row">{"".join(_cells(heads, row))}</tr>' for row in texts)
    return (
        f'<div class="rows {kind}"><table role="table" aria-label="{escape(label)}">'
        f'<thead role="rowgroup"><tr role="row">{top}</tr></thead>'
        f'<tbody role="rowgroup">{body}</tbody></table></div>'
    )


def _cells(heads, row):
    """The cells of a row; the first one is what the row is of."""
    for number, (head, words) in enumerate(zip(heads, row, strict=True)):
        broken = any(len(word) > LONG_WORD for word in words.split())
        look = "broken" if broken else "short" if len(words) <= SHORT_TEXT else "text"
        tag, role = ("th", 'rowheader" scope="row') if number == 0 else ("td", "cell")
        yield (
            f'<{tag} role="{role}" class="{look}" data-label="{escape(head)}">'
            f"{escape(words)}</{tag}>"
        )


def plain_cell(cell):
    """What a cell says: a number with no more digits than a maker reads, nothing for nothing."""
    if cell is None or cell is pd.NA or cell is pd.NaT:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, list | tuple):
        return ", ".join(filter(None, map(plain_cell, cell)))
    if isinstance(cell, float):
        return _number_words(cell)
    return str(cell)


def _number_words(number):
    """A number to four digits, never with a power of ten."""
    if not math.isfinite(number):
        return ""
    if number == round(number) or abs(number) >= 1000:
        return f"{number:.0f}"
    return f"{number:.4g}"
