"""The pages and their order; nothing else."""

from importlib import import_module
from threading import Thread

import streamlit as st

from edgetest.app import calm, links, look

PAGES = {
    "Study": [
        ("Study", "studies", "study", ":material/folder_open:"),
        ("Plan", "plan", "plan", ":material/event_note:"),
        ("Bench", "bench", "bench", ":material/construction:"),
        ("Log", "log", "log", ":material/table_rows:"),
        ("Photographs", "photographs", "photographs", ":material/photo_camera:"),
    ],
    "Answer": [
        ("Wear curves", "wear_curves", "wear-curves", ":material/show_chart:"),
        ("Comparison", "comparison", "comparison", ":material/balance:"),
        ("Chopper", "chopping", "chopper", ":material/carpenter:"),
        ("Verdict", "verdict", "verdict", ":material/gavel:"),
        ("Case and grind", "case", "case", ":material/layers:"),
        ("Document", "document", "document", ":material/description:"),
    ],
    "Shop": [
        ("Protocols", "protocols", "protocols", ":material/checklist:"),
        ("Pictures", "loose", "pictures", ":material/image_search:"),
        ("Repeatability", "repeatability", "repeatability", ":material/repeat:"),
        ("Guide", "guide", "guide", ":material/menu_book:"),
    ],
}


def main():
    """Set the page up and run the one that is open."""
    st.set_page_config(page_title="edgetest", page_icon=look.ICON, layout="wide")
    pages = {
        group: [
            st.Page(
                _opened_when_asked(module),
                title=title,
                url_path=path,
                icon=icon,
                default=path == "study",
            )
            for title, module, path, icon in members
        ]
        for group, members in PAGES.items()
    }
    links.known(page for group in pages.values() for page in group)
    page = st.navigation(pages, position="hidden")
    look.apply()
    _sidebar(pages)
    page.run()
    _read_ahead()


def _sidebar(pages):
    """Links to all pages; Streamlit's own list puts headings where only list items may stand."""
    with st.sidebar, st.container(key="pages", gap=None):
        for group, members in pages.items():
            st.caption(group)
            for page in members:
                st.page_link(page, width="stretch")


def _opened_when_asked(module):
    """A page whose module is imported when it is opened: the first page need not wait for all."""

    def show():
        calm.run(lambda: import_module(f"edgetest.app.{module}").show())

    return show


@st.cache_resource(show_spinner=False)
def _read_ahead():
    """Import what analyses and figures need while the first page is being looked at."""

    def read():
        for name in ("edgetest.study.analysis", "edgetest.report.figures", "matplotlib.figure"):
            import_module(name)

    Thread(target=read, daemon=True, name="read ahead").start()
