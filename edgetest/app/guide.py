"""Page: the longer texts that come with the program."""

from pathlib import Path

import streamlit as st

FOLDER = Path(__file__).parent.parent / "guide"


def show():
    """The page."""
    st.title("Guide")
    texts = {path.stem: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
    titles = {text.splitlines()[0].lstrip("# "): text for text in texts.values()}
    title = st.selectbox("Chapter", list(titles))
    st.markdown(titles[title])
