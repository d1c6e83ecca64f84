"""Page: the wear curve of every blade with its band, the limit and the life."""

from dataclasses import replace

import pandas as pd
import streamlit as st

from edgetest.app.answers.fit_options import fit_options
from edgetest.app.answers.wear_shown import show_wear, wear_of
from edgetest.app.cards import show_rows
from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import figure_downloads, frame_records, show_figure, table_downloads
from edgetest.app.drawn_figures import Drawing
from edgetest.app.kept_fields import kept_choice
from edgetest.app.open_study import heading, opened
from edgetest.app.photos.measuring_progress import analysed_or_waiting
from edgetest.app.shown_figures import chart
from edgetest.app.verbatim import verbatim, verbatim_lines
from edgetest.report.figures.figure_titles import treatments_of, with_titles
from edgetest.report.figures.plot_style import SERIES, reading_words
from edgetest.report.figures.wear_figures import plot_residuals, plot_wear
from edgetest.report.figures.wear_screen import wear_on_screen
from edgetest.report.wording import life_interval, life_remarks
from edgetest.study.wear.card_readings import card_sums_of
from edgetest.study.wear.group_titles import titles_of
from edgetest.wear.curve.laws import LAWS


def show():
    """The page."""
    heading("Wear curves", "How each edge wore, cut by cut, and when it reached the limit.")
    source = opened()
    options = {} if source.protocol.log == "chops" else fit_options(source)
    if options is None:
        return
    result = analysed_or_waiting(**options)
    titled = with_titles(result)
    if not result.has_curves:
        lives_table(result, titled)
        list_doubts(result.study_doubts, result.fit.all_doubts())
        return
    name = f"{result.study.folder.name}_wear"
    fits, treatments = titled.fit.blades, treatments_of(titled)
    together = wear_of(titled)
    show_wear(together, name, result.study.folder, level=result.fit.level)
    st.header("Lives")
    rows = [_row(fit, treatment) for fit, treatment in zip(fits, treatments, strict=True)]
    table = pd.DataFrame(rows)
    show_rows(table, "lives")
    table_downloads(frame_records(table), name, what="lives")
    if result.reading == "card_mm":
        for blade, card in card_sums_of(result).items():
            st.markdown(f"- {verbatim(blade)}: {verbatim(card.summary())} (after ISO 8442-5)")
    _doubts(result)
    _one(result, titled, together, name)


def lives_table(result, titled):
    """The lives of a reading that no curve is fitted to."""
    if result.fit.together is not None:
        st.markdown(verbatim_lines(result.fit.together.summary(titles_of(result.study))))
    rows = [
        {
            "blade": life.blade,
            "heat treatment": treatment,
            "life, cuts": life.life.words() if life.life else "no life",
            "checks": life.checks,
        }
        for life, treatment in zip(titled.fit.blades, treatments_of(titled), strict=True)
    ]
    table = pd.DataFrame(rows)
    show_rows(table, "lives")
    table_downloads(frame_records(table), f"{result.study.folder.name}_lives", what="lives")


def _life(fit):
    """Life and interval in words."""
    value, interval = life_interval(fit.to_dict()["life"])
    return f"{value} cuts ({interval})" if interval else value


def _doubts(result):
    """The law, and what the reader should know of the readings."""
    laws = dict.fromkeys(fit.law for fit in result.fit.blades)
    for law in laws:
        st.caption(verbatim(f"Law of wear “{law.replace('_', ' ')}”: {LAWS[law].formula}"))
    for name, power in result.fit.powers.items():
        st.caption(verbatim(f"Power p of the wear law, {name}: {power.summary()}"))
    list_doubts(result.study_doubts, result.fit.doubts)


@st.fragment
def _one(result, titled, together, name):
    """One blade large, with what the curve leaves over; choosing another draws only this."""
    st.header("One blade")
    fits = {fit.blade: fit for fit in titled.fit.blades}
    folder = result.study.folder
    fit = fits[
        kept_choice(folder, st.selectbox, "Blade", next(iter(fits)), "curve of", options=list(fits))
    ]
    alone = replace(
        together, blades=tuple(one for one in together.blades if one.marks.blade == fit.blade)
    )
    style = SERIES.index(alone.blades[0].look)
    on_paper = Drawing(
        lambda: (
            plot_wear(
                fit,
                limit=titled.limit,
                reading=result.reading,
                readings=titled.readings,
                style=style,
            ).figure
        ),
        result.study.folder,
    )
    chart(wear_on_screen(alone, singly=True), f"{name}_{fit.blade}", alt=fit.summary())
    figure_downloads(on_paper, f"{name}_{fit.blade}", f"wear of {fit.blade}")
    st.caption("Hollow marks are readings, a marker for each station; filled ones their mean.")
    left, right = st.columns(2)
    with left:
        ends = f"{titled.limit:g} {reading_words(result.reading)[1]}" if titled.limit else ""
        st.markdown(
            f"**{verbatim(fit.blade)}**: life {verbatim(_life(fit))}"
            + (verbatim(f", to {ends}") if ends else "")
        )
        list_doubts(fit.doubts, fit.study_doubts)
    with right:
        if kept_choice(folder, st.toggle, "What the curve leaves over", False, "residuals"):
            rest = plot_residuals(fit, style=style)
            alt = f"Readings of {fit.blade} against its curve, in per cent."
            show_figure(rest.figure, f"{name}_{fit.blade}_rest", alt=alt, what="what is left over")


def _row(fit, treatment):
    value, interval = life_interval(fit.to_dict()["life"])
    cv = fit.residual_cv
    return {
        "blade": fit.blade,
        "heat treatment": treatment,
        "life, cuts": value,
        f"{100 * fit.level:g} % interval": interval or "a bound alone",
        "scatter about the curve": f"{100 * cv:.1f} %" if cv is not None and cv == cv else "",
        "remark": ", ".join(life_remarks(fit)),
    }
