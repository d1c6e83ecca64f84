"""The pages and their order; nothing else."""

import gc
from importlib import import_module
from threading import Thread

import streamlit as st

from edgetest.app import app_style, calm, kept_fields, links
from edgetest.store.kept_answers import program_print

PAGES = {
    "Study": [
        ("Study", "desk.studies_page", "study", ":material/folder_open:"),
        ("Plan", "desk.plan_page", "plan", ":material/event_note:"),
        ("Blades", "desk.facts_page", "blades", ":material/hardware:"),
        ("Bench", "bench.bench_page", "bench", ":material/construction:"),
        ("Log", "desk.log_page", "log", ":material/table_rows:"),
        ("Sorting", "photos.sorting_page", "sorting", ":material/move_item:"),
        ("Photographs", "photos.photographs_page", "photographs", ":material/photo_camera:"),
    ],
    "Answer": [
        ("Wear curves", "answers.wear_curves_page", "wear-curves", ":material/show_chart:"),
        ("Comparison", "answers.comparison_page", "comparison", ":material/balance:"),
        ("Chopper", "answers.chopper_page", "chopper", ":material/carpenter:"),
        ("Verdict", "answers.verdict_page", "verdict", ":material/gavel:"),
        ("Case and grind", "answers.case_page", "case", ":material/layers:"),
        ("Document", "answers.document_page", "document", ":material/description:"),
    ],
    "Shop": [
        ("Shop book", "desk.shop_book_page", "shop-book", ":material/history_edu:"),
        ("Protocols", "desk.protocols_page", "protocols", ":material/checklist:"),
        ("Pictures", "photos.loose_pictures", "pictures", ":material/image_search:"),
        ("Repeatability", "answers.repeatability_page", "repeatability", ":material/repeat:"),
        ("Guide", "desk.guide_page", "guide", ":material/menu_book:"),
    ],
}

# What pages need that the first one does not, in the order in which a maker may come to them.
READ_AHEAD = (
    "edgetest.study.wear.analysis",
    "edgetest.report.figures.wear_figures",
    "matplotlib.figure",
    "altair",
    "edgetest.study.chop.chop_analysis",
    "edgetest.study.steel.judge_steel",
    *(f"edgetest.app.{module}" for group in PAGES.values() for _, module, _, _ in group),
)


# Pages that say what is next themselves; where names are hidden no link may tell one.
OWN_WAY_ON = ("study", "bench", "sorting")


def run_app():
    """Set the page up and run the one that is open."""
    st.set_page_config(page_title="edgetest", page_icon=app_style.ICON, layout="wide")
    pages = {
        group: [
            st.Page(
                _opened_when_asked(module, path if _leads_on(group, path) else ""),
                title=title,
                url_path=path if path != "study" else "first",
                icon=icon,
                default=path == "study",
            )
            for title, module, path, icon in members
        ]
        for group, members in PAGES.items()
    }
    links.known(page for group in pages.values() for page in group)
    first = _opened_when_asked("desk.studies_page")
    again = st.Page(first, title="Study", url_path="study", visibility="hidden")
    page = st.navigation({**pages, "": [again]}, position="hidden")
    app_style.put_on()
    kept_fields.keep_address()
    _sidebar(pages)
    page.run()
    _read_ahead()
    _leave_if_another_began()


def _leave_if_another_began():
    """End here where another run of the page has begun, so that this one tidies nothing away.

    At its end a run takes away what the page does not hear any more: all parts that it did not
    draw itself. A run that was slow after its last element would so take away a part that the
    next one has drawn meanwhile, and what is tapped there would not be heard. Looking into the
    state of the session is a point at which an outdated run stops.
    """
    st.session_state.get("outdated")


def _sidebar(pages):
    """Links to all pages; Streamlit's own list puts headings where only list items may stand."""
    with st.sidebar, st.container(key="pages", gap=None):
        for group, members in pages.items():
            st.caption(group)
            for page in members:
                st.page_link(page, width="stretch")


def _leads_on(group, path):
    """Whether the way on stands at the end of a page: it is a step of the work on one study."""
    return group != "Shop" and path not in OWN_WAY_ON


def _opened_when_asked(module, here=""):
    """A page whose module is imported when it is opened: the first page need not wait for all.

    With its address the way on to the next step of the open study stands at its end.
    """

    def show():
        calm.run(lambda: import_module(f"edgetest.app.{module}").show())
        if here:
            calm.run(lambda: import_module("edgetest.app.next_link").way_on(here))

    return show


@st.cache_resource(show_spinner=False)
def _read_ahead():
    """Import what analyses and figures need while the first page is being looked at."""

    def read():
        for name in READ_AHEAD:
            import_module(name)
        # After each run of a page all of memory is searched for what is left over, and nothing
        # else moves meanwhile: what was imported stays, and need not be searched each time.
        gc.collect()
        gc.freeze()
        program_print()  # kept answers are filed under it

    Thread(target=read, daemon=True, name="read ahead").start()
