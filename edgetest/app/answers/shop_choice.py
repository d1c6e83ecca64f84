"""Field of several pages: have the shop's other studies a say in this answer?"""

from pathlib import Path

import streamlit as st

from edgetest.app.open_study import stamp, workspace
from edgetest.store.records import STUDY_FILE
from edgetest.store.shop_index import changed_studies, index_version, names_alike
from edgetest.study.wear.analysis import reading_of
from edgetest.study.words import counted


def shop_choice(form, source, reading=None):
    """Folders of studies to learn from: the shop's, where a person says so.

    Parameters
    ----------
    form : kept form
    source : Source
    reading : str, optional
        Default: the source's.

    Returns
    -------
    tuple of str
    """
    if source.study is None or source.protocol is None or source.protocol.log == "chops":
        return ()
    root, study = workspace(), source.study
    names = _alike(
        str(root), index_version(root), study.protocol_name, reading or reading_of(source),
        study.invented,
    )  # fmt: skip
    others = len([name for name in names if name != source.path.name])
    if not others:
        return ()
    wanted = form.field(
        st.toggle, f"Use what your shop's {counted(others, 'other study', 'other studies')} say",
        False, "shop",
        help="Of this protocol and reading, as the page Shop book last read them: how far blades "
        "of one heat treatment scatter and, from three studies on, how far heat treatments truly "
        "differ.",
    )  # fmt: skip
    return (str(root),) if wanted else ()


def earlier_version(folder):
    """What changes when an earlier study does, or one in a folder of studies."""
    folder = Path(folder)
    if (folder / STUDY_FILE).exists():
        return stamp(folder)
    return index_version(folder), changed_studies(folder)


@st.cache_data(max_entries=32, show_spinner=False)
def _alike(root, version, protocol, reading, invented):
    return names_alike(root, protocol=protocol, reading=reading, invented=invented, fault="")
