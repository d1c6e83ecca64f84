"""Show the wear of all blades on one pair of axes, with the numbers beneath."""

import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.downloads import figure_downloads
from edgetest.app.drawn_figures import Drawing
from edgetest.app.shown_figures import chart
from edgetest.app.verbatim import verbatim
from edgetest.report.figures.figure_titles import groups_of, treatments_of
from edgetest.report.figures.plot_style import reading_words
from edgetest.report.figures.wear_screen import wear_on_screen
from edgetest.report.figures.wear_together import plot_wear_together, wear_together
from edgetest.report.wording import begun_words, interval_words


def wear_of(titled):
    """All blades of a result for one pair of axes, coloured as its lives are.

    Parameters
    ----------
    titled : Titled
        With curves.

    Returns
    -------
    WearTogether
    """
    return wear_together(
        titled.fit.blades, treatments_of(titled), order=groups_of(titled),
        limit=titled.limit, reading=titled.reading, readings=titled.readings,
    )  # fmt: skip


def show_wear(together, name, folder, *, level):
    """Curves of all blades, to be read off, and their numbers in a table beneath.

    Parameters
    ----------
    together : WearTogether
    name : str
        Of the files.
    folder : Path
        The study.
    level : float
        Coverage of the bands.
    """
    words, unit = reading_words(together.reading)
    lives = " ".join(f"{one.marks.blade}: life {one.life}." for one in together.blades)
    alt = f"Wear curves of all blades, {words} in {unit} against cuts. {lives}"
    chart(wear_on_screen(together), name, alt=alt)
    figure_downloads(Drawing(lambda: plot_wear_together(together).figure, folder), name, "wear")
    st.caption(
        f"Marks are the mean of a stage, the line is the fitted wear with its {100 * level:g} % "
        "band, dashed beyond the last stage. On the dotted limit lies each life with its interval, "
        "hollow beyond the last stage, an arrow where it has no upper end; a cross was left out."
        + verbatim(
            begun_words((one.marks.blade, one.marks.inside.cuts[0]) for one in together.blades)
        )
    )
    with st.expander("The numbers of this figure"):
        show_rows(_rows(together), "the wear at each stage", key=f"{name}.numbers")


def _rows(together):
    """Mean and curve of each blade at each of its stages."""
    unit = reading_words(together.reading)[1]
    column = f"curve, {unit}" if unit else "curve"
    rows = []
    for drawn in together.blades:
        marks = drawn.marks
        at = marks.at_stages
        for number, cuts in enumerate(marks.means.cuts):
            value, interval = interval_words(at.value[number], at.low[number], at.high[number])
            rows.append(
                {
                    "blade": marks.blade,
                    "heat treatment": drawn.treatment,
                    "cuts": f"{cuts:g}",
                    "mean of the stage": f"{marks.means.value[number]:.3g}",
                    column: value,
                    "interval": interval,
                }
            )
    return rows
