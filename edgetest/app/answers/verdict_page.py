"""Page: what should be done with the salvaged steel, one step of the work at a time?"""

from functools import partial

import streamlit as st

from edgetest.app.answers.earlier_form import earlier_form, offered
from edgetest.app.answers.evidence_forms import (
    blades_form,
    piece_form,
    piece_names,
    rows_form,
    show_told_at_entry,
)
from edgetest.app.answers.pack_form import pack_form
from edgetest.app.answers.readers_form import readers_form
from edgetest.app.answers.use_form import use_asked, wishes_form
from edgetest.app.doubts_shown import list_doubts
from edgetest.app.downloads import (
    paper_and_units,
    show_figure,
    table_downloads,
)
from edgetest.app.drawn_figures import Drawing
from edgetest.app.kept_fields import kept_choice
from edgetest.app.links import link
from edgetest.app.open_study import faults_shown, heading, opened, show_kept_faults, stamp
from edgetest.app.page_words import on_page
from edgetest.app.remember import answered, at_hand, kept_or_made
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim, verbatim_list
from edgetest.app.written_documents import offer_document
from edgetest.report.documents.steel_handed_over import build_hand_over
from edgetest.report.documents.steel_sheet import build_steel_document
from edgetest.report.figures.plot_style import NARROW_IN
from edgetest.report.figures.steel_figures import plot_verdict
from edgetest.study.steel.of_the_lot import title_behind_name

# Which part of the page a step or a test is written down in; a heat is the usual.
SEEN_OF_IT = ("magnet", "sparks", "file_as_found")  # asked once it is known what the piece is
AS_FOUND = (*SEEN_OF_IT, "look_at_coating", "sort_lot")
TEMPERS = ("look_up_degrees", "temper_ladder", "temper_hotter", "temper_cooler")
TRIALS = ("brass_rod", "bend", "trial_blade", "sharpen_again")
IN_A_HEAT = ("grind_and_file", "break_coupon")  # seen of a heat that is written down already
TRIED = "verdict_tried"
MANY_TRIALS = "About 950 trials"  # 948 and 934 for the sample runs
MEDIUM = {"coupon_oil": "oil", "coupon_water": "water", "coupon_air": "air"}


def show():
    """The page."""
    heading(
        "Verdict",
        "What should be done with the salvaged steel? Say what it is for, then write down what "
        "you see; the page names the next step.",
    )
    show_kept_faults()
    show_told_at_entry()
    source = opened()
    with faults_shown():
        use_asked(source)
        result = judged(source.path)
        if result is None:
            return
        _broken(result)
        _answer(result)
        _write_down(source, result)
        if result.begun:
            result = _behind(source, result)
            _document(source, result)


def judged(folder):
    """The study's verdict, from when its files last changed; None while it is worked out."""

    def make(report):
        from edgetest.study.steel.judge_steel import judge_steel

        return judge_steel(folder, try_numbers=False, progress=report)

    return answered("verdict", folder, stamp(folder), (), make, "Weighing the evidence")


def _tried(folder, result):
    """The verdict with its headline tried, once a person asked for that; else as it was."""
    version = stamp(folder)
    asked_for = st.session_state.get(f"{TRIED}.wanted") == (str(folder), version)
    if not asked_for and not at_hand(TRIED, folder, version, ()):
        st.button(
            "Try the headline", key="verdict.try", on_click=_try_now, args=(folder, version),
            icon=":material/balance:",
        )  # fmt: skip
        st.caption(
            f"Does it stand where a number behind it is wrong? {MANY_TRIALS}, each with one of the "
            "chances, figures or hours half as large again or a third smaller. It takes some "
            "seconds; you can stop it."
        )
        return result
    says = "Trying the headline under every number behind it"
    make = partial(_with_trials, result)
    return answered(TRIED, folder, version, (), make, says, counts="tried") or result


@uncut
def _try_now(folder, version):
    st.session_state[f"{TRIED}.wanted"] = (str(folder), version)


def _with_trials(result, report):
    from edgetest.study.steel.judge_steel import with_numbers_tried

    return with_numbers_tried(result, progress=report)


def _broken(result):
    """What does not fit together, with its cure: before any chance."""
    for text in result.broken_words():
        st.error(f"**This does not fit together.** {verbatim(on_page(text))}",
                 icon=":material/warning:")  # fmt: skip


def _answer(result):
    """The headline, the next step in large words with its cautions, the chances in a picture."""
    decision = result.asked.decision
    about = f"Piece {verbatim(result.asked.piece)}: " if result.others else ""
    title = title_behind_name(result.asked) if about else decision.title
    st.markdown(f"## {about}{verbatim(title)}")
    more = result.summary().partition(". ")[2]
    for words in (more, *decision.reasons[:1]):
        if words and (words is more or words not in more):  # the summary may hold the reason
            st.markdown(verbatim(on_page(words)))
    if decision.next_test is not None:
        st.info(verbatim(on_page(result.next_words())), icon=":material/arrow_forward:")
    if cautions := result.cautions():
        st.warning(verbatim_list(map(on_page, cautions)), icon=":material/health_and_safety:")
    for line in result.others_in_words():
        st.markdown(verbatim(on_page(line)))
    if result.told:
        alt = " ".join((*result.likely_words(), *result.heat_words()))
        name = f"{result.study.folder.name}_verdict"
        figure = Drawing(
            lambda: plot_verdict(result).figure,
            result.study.folder,
            narrow=lambda: plot_verdict(result, width_in=NARROW_IN).figure,
        )
        show_figure(figure, name, alt=alt, what="picture of the chances")
        for words in filter(None, (result.sisters_words(), decision.heap_words())):
            st.caption(verbatim(words))


def _write_down(source, result):
    """The forms: the one that the next step asks for is open, the others wait to be opened."""
    st.header("What you saw")
    if not piece_names(source):
        st.markdown(
            "Begin with one piece: what it was, and what stands in the way of fire. Magnet, sparks "
            "and hardness have their fields once it is saved."
        )
        piece_form(source)
        return
    asks = _part_of(result.asked.decision)
    known = result.asked.decision.way in SEEN_OF_IT
    parts = {
        "pieces": (
            "The piece, and what is seen before any heat",
            lambda: piece_form(source, folded=known),
        ),
        "heats": ("Heats: coupons and blades quenched", lambda: _heats(source, result)),
        "tempers": ("Tempers", lambda: rows_form(source, "tempers")),
        "trials": ("Trials beside a known blade", lambda: rows_form(source, "trials")),
        "pack": ("Carbon packed into it", lambda: pack_form(source)),
    }
    if source.study.blades:
        parts["blades"] = ("Blades of this study", lambda: blades_form(source))
    if earlier := offered(source):
        title = f"What your earlier studies settled ({len(earlier)})"
        parts["earlier"] = (title, lambda: earlier_form(source))
    parts["readers"] = ("Your files, tester and oven", lambda: readers_form(source))
    parts["wishes"] = ("What is wanted, and what a mistake costs", lambda: wishes_form(source))
    for part, (title, form) in parts.items():
        if part == asks:
            with st.container(border=True, key=f"verdict.open.{part}"):
                st.markdown(f"**{verbatim(title)}**")
                form()
        elif kept_choice(source.path, st.toggle, verbatim(title), False, f"verdict {part}"):
            with st.container(border=True, key=f"verdict.shown.{part}"):
                form()


def _part_of(decision):
    """Where the next step is written down."""
    step = decision.way or decision.action
    if step in AS_FOUND or decision.action in ("first_step", "safety_stop"):
        return "pieces"
    if step in TEMPERS:
        return "tempers"
    if step in TRIALS or decision.action in ("reuse_trial", "reuse", "light_use"):
        return "trials"
    if decision.action == "carburise":
        return "pack"
    return "heats" if decision.action in ("go_on", "heat_treat_again") else None


def _heats(source, result):
    way = result.asked.decision.way or ""
    medium = MEDIUM.get(way)
    rows_form(
        source, "heats", started={"medium": medium} if medium else None, mend=way in IN_A_HEAT
    )


def _behind(source, result):
    """Reasons, chances as a table, heats, doubts; the verdict, tried where that was asked for."""
    st.header("What it rests on")
    result = _tried(source.path, result)
    own = (result.moved, result.before) if result.told else ()
    for told in (result.survival, *own):
        if told is not None:
            st.markdown(f"- {verbatim(on_page(told.summary()))}")
    for text in result.reasons()[1:]:  # the first stands under the headline
        st.markdown(f"- {verbatim(on_page(text))}")
    rows = [
        ("serves for" if k == 0 else "may be", title, f"{100 * p:.1f}")
        for k, found in enumerate((result.families(), result.explanations()))
        for _, title, p in found
    ]
    if rows:
        name = source.path.name
        table_downloads([("kind", "what", "chance, %"), *rows], f"{name}_chances", what="chances")
    if further := result.further_doubts():
        with st.expander("In doubt", expanded=False):
            list_doubts(further)
    link("case", "The case against the grind", icon=":material/layers:")
    return result


def _document(source, result):
    """The one-page verdict, to take away; it says what became of the headline's trials."""
    st.header("The page to keep")
    paper, units = paper_and_units("verdict", source.study)
    folder = source.path

    def build(place, report):
        tried = kept_or_made(TRIED, folder, repr(()), partial(_with_trials, result))(report)
        return build_steel_document(tried, place, paper=paper, units=units, progress=report)

    offer_document("Write the verdict", "verdict", folder, (stamp(folder), paper, units), build)
    known = [one.id for one in result.noted.pieces]
    if len(known) > 1:
        _to_hand_over(result, folder, known, paper, units)


def _to_hand_over(result, folder, known, paper, units):
    """The page that goes with some of the pieces to who takes them."""
    picked = kept_choice(
        folder, st.multiselect, "Pieces that change hands", [], "verdict handed over",
        options=known,
        help="A page of these alone, for who takes them: what is known of each, without your "
        "prices and hours.",
    )  # fmt: skip
    if picked:
        pieces = tuple(one for one in known if one in picked)

        def build(place, report):
            return build_hand_over(result, place, pieces, paper=paper, units=units, progress=report)

        key = (stamp(folder), paper, units, pieces)
        offer_document("Write the page of these pieces", "handed_over", folder, key, build)
