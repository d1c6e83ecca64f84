"""Page: the document for the customer, to look at and to take away."""

from pathlib import Path

import streamlit as st

from edgetest.app.answers.chopper_page import CHOPPER_NUMBERS, CHOPPER_PART, CHOPPER_SHEET
from edgetest.app.answers.fit_options import chosen_margin, fit_options
from edgetest.app.downloads import PAPERS, UNITS
from edgetest.app.kept_fields import choose_now, kept_form
from edgetest.app.links import go_to
from edgetest.app.open_study import (
    faults_kept,
    faults_shown,
    heading,
    opened,
    show_fault,
    show_kept_faults,
    stamp,
)
from edgetest.app.photos.measuring_progress import analysed_or_waiting
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.app.written_documents import is_wanted, show_document, wanted_now
from edgetest.errors import UnusableInput
from edgetest.report.documents.document import build_document
from edgetest.store.document_wishes import MARK_KINDS, settings_of
from edgetest.store.files import write_atomic
from edgetest.store.images import read_picture
from edgetest.study.photos.pictures_of_chops import pictures_of_chops
from edgetest.study.study_edit import put_document_wishes, shown_wishes

PAGE, WRITE = "document", "Write the document"


def show():
    """The page."""
    heading("Document", "What was tested, the answer, the figures, and what the data cannot say.")
    show_kept_faults()
    source = opened()
    if source.chop_test:
        _of_a_chopper(source)
        return
    try:
        settings_of(source.study)
    except UnusableInput as fault:
        show_fault(fault)
        return
    options = _options(source)
    if options is None:
        return
    result = analysed_or_waiting(**options)
    _wishes(source, result, options)
    key = _key(source, options)
    if not is_wanted(PAGE, source.path, key):
        st.info("Set your wishes, then write the document.")
        return
    show_document(
        WRITE, PAGE, source.path, key,
        lambda place, report: build_document(result, place, progress=report),
    )  # fmt: skip


def _of_a_chopper(source):
    """The document of a chop test is a sheet for each tool, beside its figures."""
    st.info("A chop test has a sheet for each tool as its document, on the page Chopper.")
    if st.button("Go to the sheet", type="primary", icon=":material/description:"):
        choose_now(source.path, CHOPPER_NUMBERS, CHOPPER_PART, CHOPPER_SHEET)
        go_to("chopper")


def _key(source, options):
    """What changes when the document would."""
    return stamp(source.path), sorted(options.items())


def _options(source):
    """The answer that is written down: the study's own, or the one chosen on the other pages."""
    options = fit_options(source, compare=True)
    if options is None:
        return None
    options["margin"] = chosen_margin(source) / 100
    return options


def _wishes(source, result, options):
    """What the document is to be like; kept in the study."""
    study, settings = source.study, settings_of(source.study)
    form = kept_form(source.path, "document")
    left, right = st.columns(2)
    paper = form.field(left.segmented_control, "Paper", settings.paper, "paper", required=True,
                       options=list(PAPERS), format_func=PAPERS.__getitem__)  # fmt: skip
    units = form.field(right.segmented_control, "Lengths, temperatures, masses in",
                       settings.units, "units", required=True, options=list(UNITS),
                       format_func=UNITS.__getitem__)  # fmt: skip
    customer = form.field(left.text_input, "For whom", settings.customer, "customer")
    maker = form.field(right.text_input, "Maker's name", study.maker, "maker")
    measured = [photo.photo for photo in result.photos if photo.measured]
    of_chops = pictures_of_chops(study) - set(measured)
    others = [name for name in settings.photographs if name in of_chops]  # on its own sheet
    named = [name for name in settings.photographs if name not in of_chops]
    pictures = form.field(
        st.multiselect, "Photographs to show", named, "photographs",
        options=list(dict.fromkeys([*measured, *named])), placeholder="chosen for you",
        help="Blank: before and after, one blade of each heat treatment.",
    )  # fmt: skip
    care = form.field(st.text_area, "Care, one line each", "\n".join(settings.care), "care")
    note = form.field(st.text_area, "A word of your own", settings.note, "note")
    signature = form.field(
        st.toggle, "Blanks for place, date and signature", settings.signature, "signature"
    )
    _mark(source.path, study, settings)
    if not form.save(WRITE):
        return
    wishes = {
        "paper": paper, "units": units, "customer": customer.strip(), "signature": signature,
        "care": [line.strip() for line in care.splitlines() if line.strip()],
        "note": note.strip(), "photographs": [*pictures, *others], "maker": maker.strip(),
    }  # fmt: skip
    with faults_shown():
        drawn = {**settings.model_dump(mode="json"), "maker": study.maker}
        changed = {key: value for key, value in wishes.items() if value != drawn[key]}
        put_document_wishes(source.path, shown_wishes(study), changed)
        form.forget()
        wanted_now(PAGE, source.path, _key(source, options))
        st.rerun()


def _mark(folder, study, settings):
    """The maker's mark; a file that is given is kept at once, as it would not outlive the page."""
    has = f" ({settings.mark} is there)" if settings.mark else ""
    number = st.session_state.setdefault("document.marks", 0)
    st.file_uploader(
        verbatim(f"Your mark: PNG, JPEG or SVG{has}"),
        type=[kind.strip(".") for kind in MARK_KINDS],
        key=f"document.mark.{number}", on_change=_mark_given, args=(folder, study, number),
    )  # fmt: skip


@uncut
def _mark_given(folder, study, number):
    file = st.session_state[f"document.mark.{number}"]
    with faults_kept():
        if file is not None:
            name = _keep_mark(folder, file)
            put_document_wishes(folder, shown_wishes(study), {"mark": name})
            st.session_state["document.marks"] = number + 1


def _keep_mark(folder, file):
    """Put the maker's mark into the study's folder; returns its name there."""
    ending = Path(file.name).suffix.lower()
    data = file.getvalue()
    if ending != ".svg":
        read_picture(data, name=file.name)
    return write_atomic(Path(folder) / f"mark{ending}", data).name
