"""Take things away: a table as CSV or XLSX, a figure as SVG or PNG."""

import base64
from functools import partial
from html import escape

import streamlit as st

from edgetest.app.drawn_figures import Drawing, drawn_anew
from edgetest.app.kept_fields import kept_choice
from edgetest.app.verbatim import verbatim
from edgetest.report.figures.plot_style import png_bytes, svg_bytes
from edgetest.report.figures.screen_style import on_screen
from edgetest.store.document_wishes import settings_of
from edgetest.store.export import csv_to_take_away, xlsx_bytes

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
SHOWN_PX_PER_IN = 130  # letters of 9 pt are then 16 px high on a wide screen
PAPERS = {"a4": "A4", "us-letter": "Letter"}
UNITS = {"metric": "metric", "inch": "inch, °F, oz", "both": "both"}
MIME = {"pdf": "application/pdf", "html": "text/html", "csv": "text/csv"}


def table_downloads(records, name, *, what="table"):
    """Buttons for a table; `records` is its heading and its rows as texts."""
    records = [["" if cell is None else str(cell) for cell in record] for record in records]
    with st.container(horizontal=True):
        st.download_button(
            verbatim(f"{what} as CSV"), csv_to_take_away(records), f"{name}.csv", "text/csv",
            key=f"{name}.csv", on_click="ignore", icon=":material/download:",
        )  # fmt: skip
        st.download_button(
            verbatim(f"{what} as XLSX"), lambda: xlsx_bytes(records, title=name),
            f"{name}.xlsx", XLSX,
            key=f"{name}.xlsx", on_click="ignore", icon=":material/download:",
        )  # fmt: skip


def frame_records(frame):
    """A data frame as heading and rows; what is not known is blank."""
    filled = frame.astype(object).where(frame.notna(), "")
    return [list(frame.columns), *filled.to_numpy().tolist()]


def dark_screen():
    """Whether the app is looked at in its dark look."""
    return st.context.theme.type == "dark"


def show_figure(figure, name, *, alt, narrow=None, what="figure"):
    """A figure in the screen's colours, as wide as the page, with buttons to take it away.

    A phone gets a narrow drawing of the same figure, its letters as large as on a wide screen.

    Parameters
    ----------
    figure : matplotlib Figure or Drawing
        What is taken away is in the colours of paper. A `Drawing` is drawn only where it was
        not before.
    name : str
        Of the files.
    alt : str
        What the figure shows, for who cannot see it.
    narrow : matplotlib Figure, optional
        The figure as it is drawn for a phone, where laying it out anew is not enough; a
        `Drawing` brings its own.
    what : str
        What the figure shows, in a word or two, for its buttons.
    """
    drawn = figure.drawn(name) if isinstance(figure, Drawing) else drawn_anew(figure, narrow)
    show_picture(drawn, name, alt=alt)
    figure_downloads(figure, name, what)


def show_picture(drawn, name, *, alt):
    """Show a `DrawnFigure` in the screen's colours, wide or narrow as the screen is."""
    wide = round(drawn.width_in * SHOWN_PX_PER_IN)
    pictures = "".join(
        f'<img alt="{escape(alt)}" class="figure-{which}" style="max-width:{wide}px" '
        f'src="data:image/svg+xml;base64,'
        f'{base64.b64encode(on_screen(svg)).decode()}">'
        for which, svg in (("wide", drawn.wide_svg), ("narrow", drawn.narrow_svg))
    )
    st.html(f'<div role="group" aria-label="figure: {escape(name)}">{pictures}</div>')


def figure_downloads(figure, name, what="figure"):
    """Buttons that take a figure, or a `Drawing` of one, away as it is on paper."""
    drawing = figure if isinstance(figure, Drawing) else None
    svg = drawing.svg if drawing else partial(svg_bytes, figure)
    png = drawing.png if drawing else partial(png_bytes, figure)
    with st.container(horizontal=True):
        for words, ending, mime, make in (
            ("SVG", "svg", "image/svg+xml", svg),
            ("PNG", "png", "image/png", png),
        ):
            st.download_button(
                verbatim(f"{what} as {words}"), make, f"{name}.{ending}", mime,
                key=f"{name}.{ending}", on_click="ignore", icon=":material/download:",
            )  # fmt: skip


def paper_and_units(page, study):
    """Paper and units of a document, as the study wishes them until another is chosen.

    Parameters
    ----------
    page : str
        The page of the app, for which the choice is kept.
    study : Study

    Returns
    -------
    (str, str)
    """
    wishes = settings_of(study)
    left, right = st.columns(2)
    paper = kept_choice(
        study.folder, left.segmented_control, "Paper", wishes.paper, f"{page} paper",
        options=list(PAPERS), required=True, format_func=PAPERS.__getitem__,
    )  # fmt: skip
    units = kept_choice(
        study.folder, right.segmented_control, "Lengths and masses in", wishes.units,
        f"{page} units", options=list(UNITS), required=True, format_func=UNITS.__getitem__,
    )  # fmt: skip
    return paper, units


def take_document(files, page):
    """Buttons to take a document away, and a look at it.

    Parameters
    ----------
    files : dict of str to bytes
        By file name: a PDF, an HTML page.
    page : str
        The page of the app, for the widgets' keys.
    """
    with st.container(horizontal=True):
        for name, data in files.items():
            kind = name.rpartition(".")[2]
            st.download_button(
                verbatim(f"Download {kind.upper()}"), data, name, MIME[kind],
                key=f"{page}.{kind}",
                type="primary" if kind == "pdf" else "secondary", icon=":material/download:",
                on_click="ignore",
            )  # fmt: skip
    look = next((data for name, data in files.items() if name.endswith(".html")), None)
    if look is not None:
        st.iframe(look.decode("utf-8"), height=900)
