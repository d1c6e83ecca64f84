"""The pages and their order; nothing else."""

import streamlit as st

from edgetest.app import (
    bench,
    comparison,
    document,
    guide,
    log,
    photographs,
    protocols,
    studies,
    wear_curves,
)

PAGES = {
    "Study": [
        ("Study", studies.show, "study", ":material/folder_open:"),
        ("Bench", bench.show, "bench", ":material/construction:"),
        ("Log", log.show, "log", ":material/table_rows:"),
        ("Photographs", photographs.show, "photographs", ":material/photo_camera:"),
    ],
    "Answer": [
        ("Wear curves", wear_curves.show, "wear-curves", ":material/show_chart:"),
        ("Comparison", comparison.show, "comparison", ":material/balance:"),
        ("Document", document.show, "document", ":material/description:"),
    ],
    "Help": [
        ("Protocols", protocols.show, "protocols", ":material/checklist:"),
        ("Guide", guide.show, "guide", ":material/menu_book:"),
    ],
}


def main():
    """Set the page up and run the one that is open."""
    st.set_page_config(page_title="edgetest", page_icon=":material/straighten:", layout="wide")
    pages = {
        group: [
            st.Page(show, title=title, url_path=path, icon=icon, default=path == "study")
            for title, show, path, icon in members
        ]
        for group, members in PAGES.items()
    }
    st.navigation(pages).run()
