"""Page: the guide that comes with the program, by kind; its links lead on in the same window."""

import re
from html import escape
from urllib.parse import urlencode

import streamlit as st

from edgetest.app.verbatim import verbatim
from edgetest.store.guide_pages import FOLDER, KINDS, guide_pages
from edgetest.store.guide_search import meant_by, passages

PICTURE = re.compile(r"^!\[(?P<alt>[^\]]*)\]\(\.\./(?P<file>pictures/[\w.]+)\)$", re.MULTILINE)
CONTENTS = ""
ASKED = "page"  # in the address
SEEN = "guide.asked"
BOX = "guide.page"
UNLISTED = "tables"
WHAT_A_KIND_IS = {
    "start": "Three stories of ten minutes each, and what was never checked.",
    "how_to": "One page a task.",
    "why": "What stands behind it, in plain words.",
    "reference": "Everything there is, to look up.",
}


def show():
    """The page."""
    st.title("Guide")
    pages = guide_pages()
    asked = st.query_params.get(ASKED)
    if asked in pages and (BOX not in st.session_state or asked != st.session_state.get(SEEN)):
        st.session_state[BOX] = asked
    listed = [name for name, page in pages.items() if page.kind != UNLISTED or name == asked]
    # Kept in the address alone, so that a place on a page (#…) stays in it.
    name = st.selectbox(
        "Page of the guide", [CONTENTS, *listed], key=BOX,
        format_func=lambda name: pages[name].title if name else "Contents",
    )  # fmt: skip
    _told_in_the_address(name)
    asked = st.text_input(
        "Search the guide", key="guide.search", placeholder="knots, how many blades, lead …",
        help="A word or a question; what fits best comes first.",
    )  # fmt: skip
    if asked.strip():
        _found(asked)
    if not name:
        _contents(pages)
        return
    _show(pages[name], pages)


def _told_in_the_address(name):
    """A reload, or a link that somebody keeps, opens the same page."""
    st.session_state[SEEN] = name
    if name and st.query_params.get(ASKED) != name:  # else the place on the page would be lost
        st.query_params[ASKED] = name
    elif not name and ASKED in st.query_params:
        del st.query_params[ASKED]


def _found(asked):
    """Passages that hold what is asked, each below a link to its place."""
    found = passages(asked)
    lines = [
        f"- {_link(escape(_place(each)), each.page, each.heading)}<br>{escape(each.words)}"
        for each in found
    ]
    st.markdown("\n".join(lines), unsafe_allow_html=True)
    if not found:
        near = meant_by(asked)
        meant = f" Did you mean “{near}”?" if near else ""
        st.info(f"Nothing in the guide holds “{verbatim(asked)}”.{verbatim(meant)}")
    st.divider()


def _place(passage):
    """Page and heading of a passage."""
    under = "" if passage.heading == passage.title else f", {passage.heading}"
    return f"{passage.title}{under}"


def _contents(pages):
    """All pages by kind, each a link."""
    for kind, title in KINDS.items():
        of_it = [page for page in pages.values() if page.kind == kind]
        if not of_it or kind == UNLISTED:
            continue
        st.header(title)
        st.caption(WHAT_A_KIND_IS[kind])
        lines = [f"- {_link(escape(page.title), page.name)}" for page in of_it]
        st.markdown("\n".join(lines), unsafe_allow_html=True)


def _show(page, pages):
    """A page, with its pictures where they stand in it and its links leading on in the app."""
    text = page.with_links(
        lambda words, to, anchor: (
            _link(words, to, pages[to].places.get(anchor, "")) if to in pages else f"**{words}**"
        )
    )
    at = 0
    for found in PICTURE.finditer(text):
        st.markdown(text[at : found.start()], unsafe_allow_html=True)
        path = FOLDER / found["file"]
        if path.is_file():
            st.image(str(path), caption=found["alt"], alt=found["alt"])
        at = found.end()
    st.markdown(text[at:], unsafe_allow_html=True)


def _link(words, name, heading=""):
    """A link that opens in this window; what the address says beside the page stays in it."""
    query = urlencode({**st.query_params.to_dict(), ASKED: name})
    # Streamlit writes the anchor of a heading so; one with other letters has none to be told.
    anchor = "-".join(re.findall(r"[a-z0-9]+", heading.lower())) if heading.isascii() else ""
    there = f"#{anchor}" if anchor else ""
    return f'<a href="?{escape(query)}{there}" target="_self">{words}</a>'
