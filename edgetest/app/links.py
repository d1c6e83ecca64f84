"""Links from one page to another by its address."""

import streamlit as st

PAGES_KEY = "links.pages"


def known(pages):
    """Keep the pages of this run, by address, for links to find them."""
    st.session_state[PAGES_KEY] = {page.url_path or "study": page for page in pages}


def link(path, label, *, icon=None, query=None):
    """A link to the page at an address; nothing where the page stands alone, as in a test.

    `query` is what stands behind the address, such as the view that the page opens with.
    """
    page = st.session_state.get(PAGES_KEY, {}).get(path)
    if page is not None:
        st.page_link(page, label=label, icon=icon, query_params=query)


def go_to(path):
    """Open the page at an address; nothing where the page stands alone, as in a test."""
    page = st.session_state.get(PAGES_KEY, {}).get(path)
    if page is not None:
        st.switch_page(page)
