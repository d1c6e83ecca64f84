"""Another reading, another limit, another way to fit: what the answer's pages let one choose."""

import streamlit as st

from edgetest.app.answers.shop_choice import earlier_version, shop_choice
from edgetest.app.kept_fields import kept_choice, kept_chosen, kept_form
from edgetest.app.latest_changes import worked_on
from edgetest.app.open_study import faults_shown, source_of, workspace
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.report.figures.plot_style import reading_words
from edgetest.store.logs import LIFE
from edgetest.store.study_list import list_studies
from edgetest.study.study_state import state_of_source
from edgetest.study.wear.analysis import reading_of
from edgetest.study.wear.earlier_studies import shop_history
from edgetest.study.wear.grading import gives_lives, ladder_of
from edgetest.study.wear.photo_values import AREA, W30, WIDTH, reading_of_photo
from edgetest.study.wear.wear_result import dulling
from edgetest.units import Unreadable, parse_number
from edgetest.wear.curve.laws import LAWS

USUAL = "as the study says"
USUAL_LEVEL = 0.95
USUAL_MARGIN = 10  # per cent of a life
MARGIN = "margin"
MOST_OPENED = 60  # studies that a page opens to offer them; some 20 ms each
LEVELS = (0.8, 0.9, USUAL_LEVEL, 0.99)
LAWS_BY_DIRECTION = {
    way: [name for name, law in LAWS.items() if law.direction == way] for way in (1, -1)
}


def fit_options(source, *, compare=False):
    """The options of an analysis, chosen by a person; the study's own where nothing is.

    Returns
    -------
    dict or None
        None where a field cannot be read; the page has said so.
    """
    form = kept_form(source.path, "fit", alone=True)
    with st.expander("Another reading, limit or fit", icon=":material/tune:"):
        chosen = {"reading": _reading(form, source)}
        if gives_lives(source, chosen["reading"]):
            chosen["limit"] = _grade(form, source, chosen["reading"])
            chosen["level"] = _level(form)
            wanted = _wanted(
                chosen | (_against(form, source, chosen["reading"]) if compare else {})
            )
            form.way_back("As the study says again", note="")
            return wanted
        left, right = st.columns(2)
        chosen["level"] = _level(form)
        limit = form.field(left.text_input, "Limit", "", "limit", live=False, placeholder=USUAL)
        power = form.field(right.text_input, "Power of the law", "", "power", live=False,
                           placeholder="worked out from the readings")  # fmt: skip
        rising = dulling(source.protocol, chosen["reading"])
        chosen["law"] = _among(form, "Law of wear", "law", LAWS_BY_DIRECTION[rising], str)
        of_fresh = form.field(st.text_input, "Limit as a multiple of the fresh reading", "",
                              "of_fresh", live=False, placeholder="none")  # fmt: skip
        chosen["robust"] = form.field(
            st.toggle, "Give outlying readings less weight", False, "robust"
        )
        levels = at_cuts = ""
        if compare:
            at_cuts = form.field(
                st.text_input, "Compare readings at so many cuts", "", "at_cuts", live=False,
                placeholder="the last that all blades reached",
            )  # fmt: skip
            levels = form.field(
                st.text_input, "Other levels to compare at, with commas between", "", "levels",
                live=False,                 placeholder="shares of the limit",
            )  # fmt: skip
            chosen |= _against(form, source, chosen["reading"])
        form.way_back("As the study says again", note="")
    numbers = {"limit": limit, "power": power, "limit_of_fresh": of_fresh, "at_cuts": at_cuts}
    return _read(chosen, numbers, levels)


def _grade(form, source, reading):
    """The grade whose leaving ends a life; None where the study says it, or there is none."""
    if reading == LIFE or len(ladder_of(source, reading)) == 2:
        return None
    return _among(form, "Grade that ends a blade's life once it is lost", "grade",
                  ladder_of(source, reading)[:-1], str)  # fmt: skip


def _against(form, source, reading):
    """What heat treatments are held against: earlier studies, control blade, reference."""
    chosen = {"history": _history(form, source, reading)}
    left, right = st.columns(2)
    with left:
        names = [blade.id for blade in source.study.blades]
        chosen["control"] = _among(form, "Control blade", "control", names, str)
    with right:
        titles = {each.id: each.title or each.id for each in source.study.heat_treatments}
        chosen["reference"] = _among(
            form, "Heat treatment that the others are held against", "reference", list(titles),
            titles.__getitem__,
        )  # fmt: skip
    return chosen


def _reading(form, source):
    """Which reading the answer is about."""
    names = list(dict.fromkeys([reading_of(source), *source.log.reading_names]))
    seen = {reading_of_photo(source.study, row) for row in source.log.rows if row.photo}
    names += [name for name in (WIDTH, W30) if name in seen and name not in names]
    names += [AREA] * (WIDTH in names)
    return form.field(
        st.selectbox, "Reading", names[0], "reading", options=names,
        format_func=lambda name: " in ".join(filter(None, reading_words(name))),
    )  # fmt: skip


def ready_studies(source):
    """Other studies whose readings are all there, as (folder name, title); and how many are not.

    Of very many those worked on last alone: each is opened, and the shop book knows the rest.
    """
    ready, others = [], 0
    sound = [entry for entry in list_studies(workspace()) if entry.fault is None]
    if len(sound) > MOST_OPENED:
        sound = sorted(sound, key=lambda entry: -worked_on(entry.folder))[:MOST_OPENED]
    for entry in sound:
        if entry.folder == source.path:
            continue
        try:
            state = state_of_source(source_of(entry.folder))
        except UnusableInput:
            continue
        if state.next == "answer" and not state.chops:
            ready.append((entry.folder.name, entry.title))
        else:
            others += 1
    return ready, others


def _history(form, source, reading):
    """What the shop's earlier studies say of its blades and heat treatments."""
    ready, _ = ready_studies(source)
    names = form.field(
        st.multiselect, "Earlier studies whose scatter may moderate this one's", [], "history",
        options=[name for name, _ in ready], format_func=dict(ready).__getitem__,
    )  # fmt: skip
    folders = shop_choice(form, source, reading) or tuple(str(workspace() / n) for n in names)
    with faults_shown():
        return _learnt(source, str(source.path), reading, folders,
                       [earlier_version(each) for each in folders])  # fmt: skip


@st.cache_resource(max_entries=8, show_spinner="Reading the earlier studies")
def _learnt(_source, path, reading, folders, versions):
    return shop_history(folders, _source, reading)


def _read(chosen, numbers, levels):
    """The options with their texts as numbers; None where one is no number."""
    try:
        chosen |= {name: parse_number(word) for name, word in numbers.items() if word}
        words = [word.strip() for word in levels.replace(";", ",").split(",") if word.strip()]
        if words:
            chosen["also"] = tuple(parse_number(word) for word in words)
    except Unreadable as fault:
        st.error(verbatim(f"{fault.what}; {fault.mend}."))
        return None
    return _wanted(chosen)


def _wanted(chosen):
    """The options that are not the usual ones."""
    return {
        key: value
        for key, value in chosen.items()
        if value not in (None, False) and (key, value) != ("level", USUAL_LEVEL)
    }


def _level(form):
    """Coverage of the intervals, as a share."""
    return form.field(
        st.select_slider, "Intervals that hold the truth in so many of 100 cases", USUAL_LEVEL,
        "level", options=LEVELS, format_func=lambda share: f"{100 * share:g}",
    )  # fmt: skip


def margin_field(source):
    """The difference in life worth knowing, in per cent."""
    return kept_choice(
        source.path, st.slider, "Difference in life worth knowing, %", USUAL_MARGIN, MARGIN,
        min_value=1, max_value=50, help="A smaller one would not change what you do.",
    )  # fmt: skip


def chosen_margin(source):
    """The difference worth knowing, as it was chosen on the page Comparison."""
    return kept_chosen(source.path, USUAL_MARGIN, MARGIN)


def _among(form, words, name, known, label):
    """One of some names; None where the study says."""
    one = form.field(st.selectbox, words, "", name, options=["", *known],
                     format_func=lambda each: label(each) if each else USUAL)  # fmt: skip
    return one or None
