"""Page: the longer texts that come with the program."""

import re
from pathlib import Path

import streamlit as st

from edgetest.app.kept_fields import kept_choice
from edgetest.app.open_study import workspace

FOLDER = Path(__file__).parents[2] / "guide"
PICTURE = re.compile(r"^!\[(?P<alt>[^\]]*)\]\((?P<file>pictures/[\w.]+)\)$", re.MULTILINE)
CHAPTER = re.compile(r"\[([^\]]+)\]\(\w+\.md(?:#[\w-]+)?\)")
FIRST = ("app", "bench", "formats", "protocols")


def show():
    """The page."""
    st.title("Guide")
    paths = sorted(FOLDER.glob("*.md"), key=_place)
    texts = {path.stem: path.read_text(encoding="utf-8") for path in paths}
    titles = {name: text.splitlines()[0].lstrip("# ") for name, text in texts.items()}
    name = kept_choice(
        workspace(), st.selectbox, "Chapter", FIRST[0], "guide chapter",
        options=list(texts), format_func=titles.__getitem__,
    )  # fmt: skip
    _show(texts[name or FIRST[0]])


def _place(path):
    """Chapters that are read first come first."""
    return (FIRST.index(path.stem) if path.stem in FIRST else len(FIRST), path.stem)


def _show(text):
    """A chapter, with its pictures where they stand in it; other chapters are in the box above."""
    text = CHAPTER.sub(r"**\1**", text)
    at = 0
    for found in PICTURE.finditer(text):
        st.markdown(text[at : found.start()])
        path = FOLDER / found["file"]
        if path.is_file():
            st.image(str(path), caption=found["alt"], alt=found["alt"])
        at = found.end()
    st.markdown(text[at:])
