"""Which picture gives the scale: from this device's camera, from a file, or one that is there?"""

from hashlib import sha256

import streamlit as st

from edgetest.app.bench import live_camera
from edgetest.app.open_study import show_fault
from edgetest.errors import UnusableInput
from edgetest.store.images import PICTURE_ENDINGS, read_picture
from edgetest.store.workspace import save_photograph
from edgetest.study.photos.measure_photos import pictures_in


def picture_of_scale(source, key):
    """Name of a picture in the study's folder to take a scale from; None where there is none yet.

    It is taken with this device's camera, brought in as a file, or chosen among those there.

    Parameters
    ----------
    source : Source
    key : str
        Of the widgets.
    """
    folder = source.path / "photos"
    named = {row.photo for row in source.log.rows}
    names = [path.name for path in pictures_in(folder)] if folder.is_dir() else []
    names.sort(key=lambda name: (name in named, name))  # those of no blade first
    place = f"{key}.camera"
    by_camera = st.toggle("Use this device's camera", key=f"{place}.on", persist_state="session")
    shot = live_camera.taken_at(place)
    if shot is not None:
        name = f"scale_{sha256(shot.data).hexdigest()[:8]}.{shot.name.rpartition('.')[2]}"
        live_camera.forget(place)
        if _saved(source.path, name, shot.data):
            names = [name, *(each for each in names if each != name)]
            st.session_state[f"{key}.name"] = name
    if by_camera:
        live_camera.show_scale(place)
    file = st.file_uploader("Bring in a photograph of it", type=PICTURE_ENDINGS, key=f"{key}.file")
    if file is not None:
        return file.name if _saved(source.path, file.name, file.getvalue()) else None
    if not names:
        st.info("There is no photograph in this study yet: bring one in.")
        return None
    return st.selectbox("Or one that is here", names, key=f"{key}.name")


def _saved(folder, name, data):
    """Whether a picture lies in the study now; what is wrong with it is shown."""
    try:
        read_picture(data, name=name)
        save_photograph(folder, name, data)
    except UnusableInput as fault:
        show_fault(fault)
        return False
    return True
