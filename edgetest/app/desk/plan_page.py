"""Page: how many blades, at which cuts, in which order; the bench sheet and the power curve."""

import tempfile
from dataclasses import replace
from pathlib import Path

import pandas as pd
import streamlit as st

from edgetest.app.answers.fit_options import ready_studies
from edgetest.app.answers.shop_choice import earlier_version, shop_choice
from edgetest.app.bench.sealed_names import same_word, word_twice
from edgetest.app.cards import show_rows
from edgetest.app.downloads import frame_records, show_figure, table_downloads
from edgetest.app.drawn_figures import Drawing
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.open_study import (
    faults_shown,
    heading,
    opened,
    show_fault,
    show_kept_faults,
    stamp,
    workspace,
)
from edgetest.app.page_words import on_page
from edgetest.app.remember import answered
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.report.documents.bench_sheet import build_bench_sheet
from edgetest.report.figures.comparison_figures import plot_power
from edgetest.study.bench.bench_order import kept_order
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.bench.sealing import seal_names, secret_seed
from edgetest.study.chop.board_order import boards_of, tools_alone
from edgetest.study.wear.foreseen_departures import foreseen
from edgetest.study.wear.order_anew import left_of, runs_of_log
from edgetest.study.wear.plan_options import ONE_ROLL, PlanOptions
from edgetest.study.wear.planned_beside_log import blades_alike_read
from edgetest.study.wear.planning import drawn_order, make_plan, usual_blocks
from edgetest.study.wear.saved_plan import runs_due, save_plan
from edgetest.study.wear.usual_limits import usual_limit
from edgetest.study.words import counted

ORDER = {"block": "roll, board or day", "turn": "turn", "blade": "blade"}
CUT = (
    "life",
    "one heat treatment lasts a quarter longer than the other",
    "Rolls, boards or days",
    "Blades of each heat treatment, and the control blade, are cut on every one of them. Left "
    "blank, the draw here is for those in grey; the bench's own draw takes one where it is blank.",
)
CHOPPED = ("chops", "one takes a quarter more chops than the other", "Boards",
           "Each board gives a piece to every tool; name it twice for two pieces.")  # fmt: skip
OPTION = {"stages": "stages", "stations": "stations", "repeats": "readings a station",
          "blades": "blades of each", "readings": "readings in all"}  # fmt: skip
CHOP_OPTION = {"stages": "pieces or chops of a blade", "blades": "blades of each",
               "readings": "pieces or chops in all"}  # fmt: skip


def show():
    """The page."""
    heading("Plan", "How many blades or pieces it takes, when to stop, and in which order to cut.")
    show_kept_faults()
    source = opened()
    if is_sealed(source.study):
        _sealed(source)
        return
    wishes = _wishes(source)
    try:
        made = _planned(source.path, wishes)
    except UnusableInput as fault:
        show_fault(fault)
        return
    if made is None:
        return
    first, _, more = made.need.summary().partition(". ")
    for sentence in made.foremost():
        st.markdown(f"**{verbatim(on_page(sentence))}**")
    st.markdown(f"## {verbatim(first)}.")
    looks = [made.looks.summary()] if made.looks else []
    asked = [each.headed() for each in foreseen(source.study, source.protocol)]
    for sentence in [more, *made.basis(), *looks, *made.less_grave(), *asked]:
        st.markdown(verbatim(on_page(sentence)))
    _power(source, made)
    _options(made)
    if made.schedule is not None:
        st.header("When to stop and read")
        st.markdown(verbatim(on_page(made.stages())))
    st.header("Order of runs")
    _order(source, made)


def _wishes(source):
    """What is asked of the test, as a tuple of pairs that a cache can keep."""
    form = kept_form(source.path, "plan")
    left, right = st.columns(2)
    of, means, places, on_them = CHOPPED if source.protocol.log == "chops" else CUT
    more = form.field(
        left.number_input, f"Difference in {of} worth showing, %", 25, "ratio",
        min_value=2, max_value=300, help=f"25 means: {means}.")  # fmt: skip
    chance = form.field(right.slider, "Chance to show it, %", 80, "power", min_value=50,
                        max_value=99)  # fmt: skip
    blocks = form.field(
        left.text_input, f"{places}, in their order", "", "blocks", live=False,
        placeholder=", ".join(usual_blocks(source)), help=on_them)  # fmt: skip
    seed = form.field(
        right.number_input, "Number of the draw", 1, "seed", min_value=1, max_value=10_000,
        help=f"The same number and the same {places.lower()} give the same order.")  # fmt: skip
    looks = source.protocol.log != "chops" and form.field(
        left.toggle, "Fix looks beforehand", False, "looks",
        help="You may then look at every number of blades, from three of each on, and stop early.",
    )  # fmt: skip
    most = None if source.protocol.log == "chops" else form.field(
        right.number_input, "Most blades of each heat treatment", 8, "most",
        min_value=4, max_value=40, disabled=not looks)  # fmt: skip
    history = _earlier(form, source)
    shop = shop_choice(form, source)
    life, fresh, limit, cv, sd = _thought(form, source)
    form.way_back("The usual plan again", note="")
    under_way = source.protocol.log == "log" and bool(left_of(source))
    # What is left of a test under way stays on the rolls that it was to be cut on.
    usual = ONE_ROLL if under_way or runs_of_log(source) else usual_blocks(source)
    return (
        ("sd_blades", _share(sd)),
        ("ratio", 1 + more / 100),
        ("power", chance / 100),
        ("blocks", (*filter(None, map(str.strip, blocks.split(","))),) or usual),
        ("seed", seed),
        ("history", shop or tuple(str(workspace() / name) for name in history)),
        ("life", life and float(life)),
        ("fresh", fresh or None),
        ("limit", limit or None),
        ("reading_cv", _share(cv)),
        ("looks", bool(looks)),
        ("most", int(most) if looks and most else None),
        ("anew", under_way),
    )


def _earlier(form, source):
    """Earlier studies that bear on the plan: of wear none does on a chop test."""
    if source.protocol.log == "chops":
        return []
    earlier, others = ready_studies(source)
    if blades_alike_read(source):
        earlier = [*earlier, (str(source.path), "this study's own log")]
    return form.field(
        st.multiselect, "Earlier studies that show the scatter between your blades", [], "history",
        options=[name for name, _ in earlier], format_func=dict(earlier).__getitem__,
        help=f"{counted(others, 'study', 'studies')} cannot show it yet." if others else None,
    )  # fmt: skip


def _share(percent):
    """A share of one; None where nothing is said."""
    return percent / 100 if percent else None


def _thought(form, source):
    """What is thought of blades and readings beforehand: life, first and last reading, scatter."""
    with st.expander("What you expect beforehand", icon=":material/tune:"):
        left, right = st.columns(2)
        chops = source.protocol.log == "chops"
        life = None if chops else form.field(
            left.number_input,
            verbatim(f"{source.protocol.life_unit.capitalize()} that a blade lasts"),
            round(source.protocol.stages[-1] * 2 / 3) or 1, "life", min_value=1,
        )  # fmt: skip
        fresh, limit = _readings_thought(form, source, left, right, chops)
        cv = None if chops else form.field(
            right.number_input, "One reading is good to ± %", None, "cv", placeholder="not said",
            min_value=0.0, max_value=50.0, step=0.5,
            help="Blank: as the study's repeatability says, else 5 %. See the page Repeatability.",
        )  # fmt: skip
        of, blank = ("strokes", "") if chops else ("life", "from the earlier studies above, else ")
        sd = None if chops and tools_alone(source.study) else form.field(
            left.number_input, f"Scatter between blades alike, ± % of {of}", None, "sd",
            placeholder="not said", min_value=0.0, max_value=200.0, step=1.0,
            help=f"Blank: {blank}assumed.",
        )  # fmt: skip
    return life, fresh, limit, cv, sd


def _readings_thought(form, source, left, right, chops):
    """What a fresh edge reads and at what a life ends, in the reading's own unit, if said."""
    rule = source.protocol.reading(source.study.reading_name)
    if chops:
        words = "Chops that a piece takes"
        if "single" in source.protocol.chop_kinds:
            return None, None
        return form.field(left.number_input, words, None, "fresh", min_value=0.0), None
    if rule.kind != "number":
        return None, None
    unit = f", {rule.unit}" if rule.unit else ""
    fresh = form.field(
        left.number_input, verbatim(f"A fresh edge reads{unit}"), None, "fresh", min_value=0.0,
        placeholder="not said",
        help="Blank: as the log's readings at 0 cuts, else what edge widths usually are.",
    )  # fmt: skip
    limit = form.field(
        right.number_input, verbatim(f"A life ends at{unit}"), None, "limit", min_value=0.0,
        placeholder="not said",
        help=verbatim(f"Blank: as the study says. If it says none: {usual_limit(rule.name)}."),
    )  # fmt: skip
    return fresh, limit


def _planned(folder, wishes):
    """The plan; None while tests are simulated, which the page then shows."""
    earlier = [earlier_version(name) for name in dict(wishes)["history"]]

    def make(report):
        from edgetest.study.sources import open_source

        return make_plan(open_source(folder), PlanOptions(**dict(wishes)), progress=report)

    version = stamp(folder, photos=False)
    return answered("plan", folder, version, (wishes, earlier), make, "Simulating tests")


def _power(source, made):
    """The chance to show the difference against the blades."""
    need = made.need
    words = need.difference
    curve = (need.curve.blades, need.curve.chances)
    errors, through = need.curve.standard_errors, need.curve.through(need.ratio, need.level)
    figure = Drawing(
        lambda: plot_power(
            *curve, target=need.power, labels=[words], each=need.words.each,
            standard_errors=errors, through=through,
        ).figure,
        source.path, (curve, errors, through, need.power, words, need.words.each),
    )  # fmt: skip
    alt = "Chance of seeing the difference: " + ", ".join(
        f"{100 * share:.0f} % with {n}" for n, share in zip(*curve, strict=True)
    )
    show_figure(
        figure, f"{source.path.name}_power", alt=f"{alt} {need.words.each}.", what="chances"
    )
    if getattr(need, "known", None):
        st.caption(verbatim(need.known.of_curve()))
    elif need.curve.simulated:
        st.caption(
            "The number above is read off the line, which goes through all simulated tests "
            "together. A single point may lie beside it, by chance or by how its number shares "
            f"the {'rolls' if made.believed else 'boards'}. What is planned in this study is "
            "simulated by itself, run by run."
        )


def _options(made):
    """What else could be done, and what it costs in readings."""
    if len(made.need.options) < 2:
        return
    words = OPTION if made.believed else CHOP_OPTION
    with st.expander("Other ways to read: what each would cost", icon=":material/list:"):
        table = made.need.to_frame()[list(words)].rename(columns=words)
        show_rows(table, "ways to read")
        table_downloads(frame_records(table), "plan_options", what="other ways to read")


def _order(source, made):
    """The runs in random order; saved into the study, printed as a bench sheet."""
    planned = source.study.plan or {}
    if planned.get("order"):
        drawn = f" (drawn with the number {planned.get('seed')})" * ("seed" in planned)
        st.caption(verbatim(f"The study has a plan already{drawn}."))
    begun = any(row.readings or row.photo for row in source.log.rows)
    blinded = not begun and kept_choice(
        source.path, st.toggle, "Blind: codes in place of the blades' names", False, "plan blinded",
        help="In study, log, sheet and bench. A word that another person keeps opens them again.",
    )  # fmt: skip
    if blinded:
        st.caption("The order is then drawn anew, in a way that nobody can repeat.")
        words = word_twice("plan")
    else:
        words = None
        rows = [{"block": run.block, "turn": run.turn,
                 "blade": made.names.get(run.blade, run.blade)} for run in made.runs]  # fmt: skip
        order = ORDER | ({"block": "board"} if source.protocol.log == "chops" else {})
        show_rows(pd.DataFrame(rows).rename(columns=order), "runs in their order")
    if begun:
        st.caption("The log holds readings: they stay, and only what is left gets a new order.")
    if not blinded:
        _to_print(source, runs_due(source, made), made.need.in_short())
    if st.button(
        "Use this plan", type="primary", key="plan.save",
        help="Writes the order and the empty rows of the log into the study.",
    ):  # fmt: skip
        with faults_shown():
            _save(source, made, words)
            st.session_state["plan.saved"] = source.path
            st.rerun()
    if planned.get("order") == [[run.block, run.blade] for run in made.runs]:
        _saved(source)


def _save(source, made, words):
    """The plan into the study; with words, its names under seal and an order of its own."""
    if words is None:
        save_plan(source, made, anew=True)
        return
    runs = drawn_order(source.study, PlanOptions(
        blocks=boards_of(made.runs), seed=secret_seed(),
    )).runs  # fmt: skip
    seal_names(source, replace(made, runs=runs), same_word(*words))


def _saved(source):
    """Said as long as the saved plan is shown: work beside the page draws the page anew."""
    if st.session_state.get("plan.saved") == source.path:
        st.success("The plan is in the study. The bench goes through it run by run.")


def _sealed(source):
    """What is left to do with the plan of a study whose names are sealed: print its sheet."""
    st.markdown(
        "The names are sealed, so the order stays as drawn. The bench brings the names back."
    )
    order = kept_order(source.study)
    rows = [run.to_dict() for run in order.runs]
    table = pd.DataFrame(rows, columns=["block", "turn", "blade"]).rename(columns=ORDER)
    show_rows(table, "runs in their order")
    _to_print(source, order)
    _saved(source)


def _to_print(source, order, promise=""):
    """The bench sheet of an order, on the paper that is chosen; none where nothing is left."""
    if order.left == ():
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        paper = kept_choice(
            source.path, st.segmented_control, "Paper", "a4", "plan paper",
            options=("a4", "us-letter"), required=True,
            format_func={"a4": "A4", "us-letter": "Letter"}.__getitem__,
        )  # fmt: skip
        st.download_button(
            "Bench sheet to print", lambda: _sheet(source, order, promise, paper),
            f"{source.path.name}_bench_sheet.pdf", "application/pdf", key="plan.sheet",
            on_click="ignore", icon=":material/print:",
        )  # fmt: skip


def _sheet(source, order, promise, paper):
    """The bench sheet as the bytes of a PDF."""
    with tempfile.TemporaryDirectory() as folder:
        (path,) = build_bench_sheet(source, order, folder, promise=promise, paper=paper)
        return Path(path).read_bytes()
