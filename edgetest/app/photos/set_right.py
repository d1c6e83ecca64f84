"""Which photograph is set right, by whom, and how: region, stretch of edge, damage, scale?"""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import streamlit as st

from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.open_study import faults_kept, workspace
from edgetest.app.photos.marking import mark
from edgetest.app.photos.reduced_pictures import bare_photograph
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.study.photos.corrections import Correction, correct, read_entries, stretch_between

NAMES = {"region": "region", "struck_out": "stretches struck out", "um_per_px": "scale"}


@dataclass(frozen=True)
class Subject:
    """A photograph that is being set right.

    `found` is its damage, each with kind, position_um, length_um; `measurement` has the arrays
    of its edge, None where nothing was measured; `drawn` is a JPEG with what was measured.
    """

    photo: str
    path: Path
    size: tuple[int, int]
    correction: Correction
    found: tuple[dict, ...]
    measurement: Any
    drawn: bytes | None
    um_per_px: float | None
    alt: str


def set_right(source, subject, way):
    """One of the ways to set a photograph right, and what was set right before.

    Parameters
    ----------
    source : Source
    subject : Subject
    way : {"Look", "Region", "Stretch of edge", "Damage", "Scale"}
    """
    if way in HOW:
        HOW[way](source, subject)
    corrections_made(source, subject.photo)


def _who():
    """Who corrects; kept from one photograph to the next."""
    who = kept_choice(workspace(), st.text_input, "Your name", "", "who corrects")
    st.session_state["one.who"] = who.strip()
    if not who.strip():
        st.caption("A correction is kept with the name of who made it.")
    return who.strip()


@uncut
def _save(folder, photo, kind, after):
    """Record a correction; the photograph is measured with it when the page comes back."""
    when = datetime.now(UTC).isoformat(timespec="seconds")
    with faults_kept():
        correct(folder, photo, kind, after, who=st.session_state["one.who"], when=when)


def _picture(subject):
    """The photograph with what was measured on it."""
    if subject.drawn is not None:
        st.image(subject.drawn, width="stretch", alt=subject.alt)


def _button(words, source, subject, kind, after, *, who, key=None, disabled=False):
    st.button(
        verbatim(words), key=key or f"one.save.{kind}", type="secondary" if key else "primary",
        disabled=disabled or not who, on_click=_save,
        args=(source.path, subject.photo, kind, after),
    )  # fmt: skip


def _region(source, subject):
    """The part of the picture that is measured, dragged on it."""
    now = subject.correction.region
    before = [((now[0], now[1]), (now[2], now[3]))] if now else []
    drawn = subject.drawn if subject.measurement is not None else None
    points, _ = mark(
        drawn or bare_photograph(subject.path)[0], *subject.size, name=subject.photo, kind="region",
        before=before, key=f"one.region.{subject.photo}",
    )  # fmt: skip
    who = _who()
    after = None
    if points:
        after = [round(value) for value in (*map(min, *points), *map(max, *points))]
    with st.container(horizontal=True):
        _button("Measure only this region", source, subject, "region", after, who=who,
                disabled=not points)  # fmt: skip
        if now:
            _button("Measure the whole picture again", source, subject, "region", None, who=who,
                    key="one.back.region")  # fmt: skip


def _stretch(source, subject):
    """A stretch of the edge that is left out, dragged along it."""
    if subject.measurement is None:
        st.info("Nothing was measured on this photograph that could be struck out.")
        return
    points, _ = mark(
        subject.drawn, *subject.size, name=f"{subject.photo}.{subject.correction.key()}",
        kind="stretch",
        key=f"one.stretch.{subject.photo}.{len(subject.correction.struck_out)}",
    )  # fmt: skip
    who = _who()
    now, after = [list(pair) for pair in subject.correction.struck_out], None
    if points:
        try:
            first, last = stretch_between(subject.measurement, *points)
        except UnusableInput as fault:
            st.error(verbatim(f"{fault.what}; {fault.mend}."))
        else:
            after = [*now, [round(first, 2), round(last, 2)]]
            st.caption(f"From {first:.0f} to {last:.0f} µm along the edge.")
    with st.container(horizontal=True):
        _button("Leave this stretch out", source, subject, "struck_out", after, who=who,
                disabled=after is None)  # fmt: skip
        if now:
            _button("Take all stretches back in", source, subject, "struck_out", None, who=who,
                    key="one.back.struck_out")  # fmt: skip


def _chips(source, subject):
    """Damage that is none: dust, a scratch, a speck of light."""
    _picture(subject)
    if not subject.found:
        st.info("No damage was found on this photograph.")
        return
    who = _who()
    now = [list(pair) for pair in subject.correction.struck_out]
    for number, chip in enumerate(subject.found, 1):
        half = max(chip["length_um"], 1.0) / 2
        ends = [round(chip["position_um"] - half, 2), round(chip["position_um"] + half, 2)]
        words = f"Strike out {chip['kind']} {number}"
        _button(words, source, subject, "struck_out", [*now, ends], who=who,
                key=f"one.chip.{number}")  # fmt: skip


def _scale(source, subject):
    """A scale for this photograph alone."""
    _picture(subject)
    st.markdown(
        "A scale for **this photograph alone**, as when the zoom was touched. For all photographs "
        "set it under **Scale** above."
    )
    form = kept_form(source.path, f"scale of {subject.photo}")
    value = form.field(
        st.number_input, "µm per pixel", subject.um_per_px, "um_per_px", min_value=0.0001,
        format="%.5f", placeholder="such as 0.42000",
    )  # fmt: skip
    share = form.field(
        st.number_input, "How sure, ± %", 1.0, "share", min_value=0.0, max_value=20.0, step=0.1,
        help="Standard uncertainty of the scale, as a share of it.",
    )  # fmt: skip
    who = _who()
    with st.container(horizontal=True):
        _button("Use this scale here", source, subject, "um_per_px", [value, share / 100], who=who,
                disabled=not value)  # fmt: skip
        if subject.correction.um_per_px is not None:
            _button("Use the study's scale again", source, subject, "um_per_px", None, who=who,
                    key="one.back.um_per_px")  # fmt: skip


def corrections_made(source, photo):
    """Every correction of this photograph, oldest first."""
    entries = [entry for entry in read_entries(source.path) if entry.photo == photo]
    if not entries:
        return
    st.header("What was set right")
    for entry in entries:
        when = entry.when.replace("T", " ")[:16]
        st.markdown(
            f"- {verbatim(when)}, **{verbatim(entry.who)}**: {NAMES[entry.kind]} "
            f"from {verbatim(_said(entry.before))} to {verbatim(_said(entry.after))}"
        )


def _said(value):
    """A setting in words."""
    if not value:
        return "none"
    if isinstance(value, list) and value and isinstance(value[0], list):
        return ", ".join(f"{a:g} to {b:g} µm" for a, b in value)
    if isinstance(value, list) and len(value) == 4:
        return "rows {0:g} to {2:g}, columns {1:g} to {3:g}".format(*value)
    if isinstance(value, list):
        return f"{value[0]:.6g} µm per px ± {max(100 * value[1], 0.1):.1f} %"
    return f"{value:g} µm per px"


HOW = {
    "Look": lambda _source, subject: _picture(subject),
    "Region": _region,
    "Stretch of edge": _stretch,
    "Damage": _chips,
    "Scale": _scale,
}
