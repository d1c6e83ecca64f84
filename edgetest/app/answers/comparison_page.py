"""Page: which heat treatment lasts longer, by what factor, how sure."""

import pandas as pd
import streamlit as st

from edgetest.app.answers.fit_options import fit_options, margin_field
from edgetest.app.answers.wear_shown import show_wear, wear_of
from edgetest.app.cards import show_rows
from edgetest.app.doubts_shown import show_headline, show_notes
from edgetest.app.downloads import figure_downloads, frame_records, table_downloads
from edgetest.app.drawn_figures import Drawing
from edgetest.app.links import link
from edgetest.app.open_study import heading, opened
from edgetest.app.photos.measuring_progress import analysed_or_waiting
from edgetest.app.shown_figures import chart
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.report.figures.comparison_figures import plot_comparison, plot_ratio_by_limit
from edgetest.report.figures.figure_titles import treatments_of, with_titles
from edgetest.report.figures.level_marks import level_band
from edgetest.report.figures.levels_screen import levels_on_screen
from edgetest.report.figures.life_rows import life_rows, ratio_rows
from edgetest.report.figures.lives_screen import lives_on_screen, ratio_on_screen
from edgetest.report.wording import chance_words, life_interval, ratio_interval
from edgetest.study.wear.study_looks import look_to_note, remember_look
from edgetest.wear.compare.side_names import ratio_name


def show():
    """The page."""
    heading(
        "Comparison", "Each blade is one trial; many photographs of one blade are still one blade."
    )
    source = opened()
    margin = margin_field(source)
    options = {} if source.protocol.log == "chops" else fit_options(source, compare=True)
    if options is None:
        return
    result = analysed_or_waiting(margin=margin / 100, **options)
    titled = with_titles(result)
    if titled.comparison is None:
        _nothing(result)
        return
    numbers = titled.comparison
    if titled.page_one.choice:
        st.markdown(f"**{verbatim(titled.page_one.choice)}**")
    show_headline(result)
    _note_look(result)
    _both_answers(titled)
    unsettled = any(one.decides for one in titled.alternatives)
    _strip(numbers, {} if unsettled else dict(_chances_told(numbers)))
    _figures(result, titled)
    _pairs(numbers)
    _elsewhere(result, titled)
    _departures(titled)
    show_notes(result)
    with st.container(horizontal=True):
        link("document", "Write the document", icon=":material/description:")
        link("plan", "Plan the next test", icon=":material/event_note:")


def _figures(result, titled):
    """The lives with their ratio, and the curves that they come from, to be read off."""
    numbers, fits = titled.comparison, titled.fit.blades
    treatments, name = treatments_of(titled), result.study.folder.name
    level = f"{100 * numbers['ratio']['level']:g} %"
    st.header("Lives and their ratio")
    rows = life_rows(fits, treatments, numbers["groups"], result.reading)
    chart(lives_on_screen(rows), f"{name}_lives", alt=f"Life of every blade. {titled.summary}")
    ratio = ratio_on_screen(ratio_rows(numbers))
    chart(ratio, f"{name}_ratio", alt=f"Ratio of lives. {titled.summary}")

    def on_paper():
        lives, _ = plot_comparison(numbers, fits, treatments, reading=result.reading, width_in=5.4)
        return lives.figure

    figure_downloads(
        Drawing(on_paper, result.study.folder), f"{name}_comparison", "lives and ratio"
    )
    st.caption(
        f"Above: the {verbatim(rows.shows)}, with {level} intervals. Hollow marks lie beyond the "
        "last stage; an arrow has no upper end. Below: the ratio of lives; the dashed line is no "
        "difference, the shaded strip a difference not worth knowing."
    )
    if result.has_curves:
        st.header("The wear behind them")
        show_wear(wear_of(titled), f"{name}_wear", result.study.folder, level=result.fit.level)


def _departures(titled):
    """Where the test was done otherwise than its protocol asks; nothing where it was not."""
    if not titled.departures:
        return
    st.header("Departures from the protocol")
    show_rows(
        [
            {"the protocol asks for": each.asked, "done, or not noted": each.done,
             "what it means": each.means}
            for each in titled.departures
        ],
        "departures from the protocol",
    )  # fmt: skip


def _nothing(result):
    """What stands between this study and a comparison."""
    show_headline(result)
    show_notes(result)
    link("wear-curves", "See the blades one by one")


def _note_look(result):
    """A button that notes this look in the study, where its plan has fixed looks."""
    look = look_to_note(result.comparison)
    if look is None:
        return
    st.button(
        verbatim(f"Note look {look.number} of {look.of} in the study"), key="comparison.look",
        on_click=remember_look, args=(result.study.folder, look),
        help="The study keeps what this look said.",
    )  # fmt: skip


def _both_answers(titled):
    """With and without what the answer hangs on."""
    rows = []
    rows_told = (row for one in titled.alternatives for row in one.rows())
    for words, found in ((words, each.turned()) for words, each in rows_told):
        value, interval = ratio_interval(found.ratio.estimate, found.ratio.low, found.ratio.high)
        rows.append(
            {
                "the answer": words,
                "ratio of": f"{found.second} : {found.first}{', readings' if found.says else ''}",
                "ratio": value,
                "interval": interval,
                "verdict": found.verdict_words(),
            }
        )
    if rows:
        show_rows(rows, "answers")


def _chances_told(numbers):
    """The chances as numbers, in words where blades are few; what is not known is not shown."""
    told = numbers["chances"] and numbers["chances"]["words"]
    names = {
        "longer on average": ("probability_longer", "longer"),
        "next blade outlasts": ("probability_next_blade_outlasts", "next_outlasts"),
    }
    for says, (key, word) in names.items():
        if numbers[key] is not None:
            yield says, chance_words(numbers[key])
        elif told and told[word]:
            yield says, told[word]


def _strip(numbers, chances):
    """The numbers of the answer: its ratio, and the chances where the answer is settled."""
    ratio = numbers["ratio"]
    value, interval = ratio_interval(ratio["estimate"], ratio["low"], ratio["high"])
    with st.container(horizontal=True):
        st.metric(
            "ratio of lives", verbatim(value), verbatim(interval),
            delta_color="off", delta_arrow="off", width=190,
            help=verbatim(ratio_name(numbers, numbers["groups"])),
        )  # fmt: skip
        for words, chance in chances.items():
            st.metric(verbatim(words), verbatim(chance), width=190, help="How likely this is.")
    table = [
        {
            "heat treatment": group["treatment"],
            "blades": ", ".join(group["blades"]),
            "life, cuts": life_interval(group["life"])[0],
            f"{100 * ratio['level']:g} % interval": life_interval(group["life"])[1],
        }
        for group in numbers["groups"]
    ]
    frame = pd.DataFrame(table)
    show_rows(frame, "lives of each heat treatment")
    table_downloads(frame_records(frame), "comparison_lives", what="lives")


def _pairs(numbers):
    """Every two heat treatments, where there are more than two."""
    if len(numbers["pairs"]) < 2:
        return
    rows = []
    for pair in numbers["pairs"]:
        ratio = pair["ratio"]
        value, interval = ratio_interval(ratio["estimate"], ratio["low"], ratio["high"])
        rows.append(
            {
                "ratio of lives": ratio_name(pair, numbers["groups"]),
                "ratio": value,
                "interval": interval,
                "verdict": pair["verdict"].replace("_", " "),
                "the intervals hold together for": pair["family"],
            }
        )
    st.header("Every two of them")
    show_rows(rows, "ratios of every two")


def _elsewhere(result, titled):
    """Readings at equal cuts, card totals, and the same ratio to other limits."""
    for words in titled.beside:
        st.markdown(verbatim(words))
    if len(titled.levels) < 2:
        return
    st.header("To other limits")
    said = titled.level_words
    st.markdown(verbatim(f"{said.says}:"))
    told = {"limit": titled.limit, "reading": result.reading, "pair": (said.of, said.to)}
    name = f"{result.study.folder.name}_ratio_by_limit"
    shown = levels_on_screen(level_band(titled.levels, **told))
    chart(shown, name, alt=f"Ratio of lives against the limit. {said.summary()}")
    on_paper = Drawing(
        lambda: plot_ratio_by_limit(titled.levels, **told).figure, result.study.folder
    )
    figure_downloads(on_paper, name, "ratio by limit")
    with st.expander("The numbers"):
        st.markdown(verbatim_list(said.each))
