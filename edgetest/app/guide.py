"""Page: the longer texts that come with the program."""

from pathlib import Path

import streamlit as st

FOLDER = Path(__file__).parent.parent / "guide"


def show():
    """The page."""
    st.title("Guide")
    texts = {path.stem: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
    titles = {name: text.splitlines()[0].lstrip("# ") for name, text in texts.items()}
    name = st.selectbox("Chapter", list(texts), format_func=titles.get)
    st.markdown(texts[name])
