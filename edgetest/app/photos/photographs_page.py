"""Page: measure the photographs, see them all, set one right, take the scale, add more."""

from dataclasses import replace
from functools import partial

import pandas as pd
import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.downloads import frame_records, table_downloads
from edgetest.app.kept_fields import kept_choice
from edgetest.app.links import link
from edgetest.app.open_study import heading, opened, show_fault, show_kept_faults, version_of
from edgetest.app.page_words import on_page
from edgetest.app.photos import add_photographs, one_photograph, scale_forms
from edgetest.app.photos.measuring_progress import (
    AT_ONCE,
    offer,
    offer_again,
    photographs_of,
)
from edgetest.app.photos.reduced_pictures import tile
from edgetest.app.photos.scale_wanted import scale_wanted
from edgetest.app.uncut import uncut
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import FacingWidth
from edgetest.photo.apex.apex_result import damage_words
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study
from edgetest.study.words import counted

VIEWS = ("All", "One", "Table", "Scale", "Add")
VIEW = "photographs._view"
SHOWN = 24
FILTERS = ("all", "refused", "with damage", "corrected")


def show():
    """The page."""
    heading(
        "Photographs",
        "Apex views: light along the axis, the worn land a bright band between dark bevels; or two "
        "lamps across the edge, its crest between two bright lines.",
    )
    show_kept_faults()
    source = opened()
    view = _view()
    if view == "Add":
        add_photographs.show(source, partial(_open, "Scale"))
        return
    if view == "Scale":
        scale_forms.show(source)
        return
    results = _measured(source)
    if results is None:
        return
    _other_sizes(results)
    waiting = sum(result.wants_scale for result in results)
    scale_wanted(waiting, to_scale=partial(_open, "Scale"))
    if view == "One":
        one_photograph.show(source, results)
    elif view == "Table":
        _table(source, results)
    else:
        _grid(source, results)


def _view():
    """Which part of the page is open; its name stands in the address, through a reload."""
    if VIEW not in st.session_state:
        asked = st.query_params.get("view") or st.session_state.get("photographs.view")
        st.session_state[VIEW] = asked if asked in VIEWS else VIEWS[0]
    view = st.segmented_control(
        "Show", VIEWS, required=True, key=VIEW, label_visibility="collapsed", wrap=True
    )
    st.session_state["photographs.view"] = view
    if view and st.query_params.get("view") != view:
        st.query_params["view"] = view
    return view


def _open(view):
    """Open another part of the page."""
    st.session_state[VIEW] = view


def _measured(source):
    """Results of all photographs of the log; None where there is something to do first."""
    try:
        tasks, waiting, missing = photographs_of(source)
    except UnusableInput as fault:
        show_fault(fault)
        st.markdown("Mend the scale under **Scale** above.")
        return None
    if missing:
        names = ", ".join(missing[:6]) + (" …" if len(missing) > 6 else "")
        st.warning(
            f"{counted(len(missing), 'photograph')} of the log cannot be found: {verbatim(names)}. "
            "Put them in under **Add**; the file names must be those of the log's column photo."
        )
    chops = source.chops.rows if source.chops is not None else ()
    if not tasks and (named := sum(bool(row.photo) for row in chops)):
        many = counted(named, "photograph")
        st.info(f"The chop log names {many}: the page Chopper reads and shows them, under Edge.")
        link("chopper", "Go to the edge")
        return None
    if not tasks:
        st.info(
            "The log names no photograph yet. Take them at the bench, or add them under **Add** "
            "and write their file names into the log's column photo."
        )
        link("bench", "Go to the bench")
        return None
    many = len(waiting) > AT_ONCE
    if many:
        if len(waiting) == len(tasks):
            unscaled = sum(task.um_per_px is None for task in waiting)
            scale_wanted(unscaled, to_scale=partial(_open, "Scale"))
        offer(source, waiting)
        if len(waiting) == len(tasks):
            return None
    left = tuple(task.name for task in waiting) if many else ()
    return _results(str(source.path), version_of(source.path), left)


@st.cache_resource(max_entries=4, show_spinner=False)
def _results(folder, version, left):
    """Results of what is measured, and of the few that are not, which are measured now."""
    source = open_source(folder)
    rows = tuple(row for row in source.log.rows if row.photo not in left)
    return measure_study(replace(source, log=replace(source.log, rows=rows)))[0]


def _other_sizes(results):
    """Photographs whose size is not the one that their scale was taken on."""
    told = {
        warning["text"]
        for result in results
        for warning in result.numbers["warnings"]
        if warning["code"] == "size_mismatch"
    }
    for text in told:
        count = sum(text in [w["text"] for w in r.numbers["warnings"]] for r in results)
        st.warning(verbatim(f"{counted(count, 'photograph')}: {text}"))


def _grid(source, results):
    """All photographs, small, with what was measured; choose one to look at it closely."""
    shown = _filtered(source, results)
    if not shown:
        st.success("No photograph fits this choice.")
        return
    pages = (len(shown) - 1) // SHOWN + 1
    page = 1
    if pages > 1:
        page = kept_choice(
            source.path, st.number_input, f"Page, of {pages}", 1, "page of photographs",
            min_value=1, max_value=pages, width=180,
        )  # fmt: skip
    with st.container(horizontal=True, gap="small", key="photographs_grid"):
        for result in shown[(page - 1) * SHOWN : page * SHOWN]:
            _tile(result)


def _filtered(source, results):
    """The photographs that the choices above the grid leave."""
    refused = sum(_refused(result) for result in results)
    words = {"refused": f"refused ({refused})", "all": f"all ({len(results)})"}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        which = kept_choice(
            source.path, st.segmented_control, "Which", "all", "which photographs",
            options=FILTERS, required=True, format_func=lambda name: words.get(name, name),
            wrap=True,
        )  # fmt: skip
        blades = list(dict.fromkeys(result.blade for result in results))
        blade = kept_choice(
            source.path, st.selectbox, "Blade", "all blades", "photographs of blade",
            options=["all blades", *blades], width=180,
        )  # fmt: skip
    keep = {
        "all": lambda result: True,
        "refused": _refused,
        "with damage": lambda result: bool(result.numbers["chips"]),
        "corrected": lambda result: result.automatic is not None,
    }[which]
    return [r for r in results if keep(r) and blade in ("all blades", r.blade)]


def _refused(result):
    """Whether a photograph was refused for what it shows."""
    return not result.measured and not result.wants_scale


def _tile(result):
    with st.container(border=True, width=168, gap="small"):
        picture = tile(result.path)
        words = short_words(result)
        place = f"{result.blade}, {result.cuts:g} cuts"
        place += f", {result.station_mm:g} mm" if result.station_mm is not None else ""
        if picture is not None:
            st.image(picture, width="stretch", alt=f"{place}: {words}")
        st.markdown(f"{verbatim(place)}  \n{words}")
        st.button(
            "Look closer", key=f"photographs.pick.{result.photo}", on_click=_pick,
            args=(result.photo,), width="stretch", help=verbatim(result.photo),
        )  # fmt: skip


def short_words(result):
    """State and number of a photograph in a few words."""
    numbers = result.numbers
    if result.wants_scale:
        return ":material/straighten: waits for the scale"
    if not result.measured:
        codes = " and ".join(r["code"].replace("_", " ") for r in numbers["reasons"])
        return f":red[:material/block:] **refused**: {verbatim(codes)}"
    if numbers["crest"] is not None:
        return f"W30 {facing_words(numbers)}"
    width = numbers["width_um"]
    words = f"**{width['mean']:.3g} µm**" if width else f"below **{numbers['below_um']:.3g} µm**"
    words = f"line {words}" if width else f"line {words}, flat or round"
    damage = damage_words(numbers["chips"])
    words += f"; {verbatim(damage)}" if damage else ""
    return words + (" · corrected" if result.automatic is not None else "")


def facing_words(numbers):
    """W30 of a crest in a few words."""
    return f"**{verbatim(FacingWidth(**numbers['w30_um']).words())}**"


@uncut
def _pick(photo):
    st.session_state["photographs.picked"] = photo
    _open("One")


def _table(source, results):
    """All measurements as a table, to take away."""
    table = pd.DataFrame([_row(result) for result in results])
    show_rows(table, "photographs")
    table_downloads(frame_records(table), f"{source.path.name}_photographs", what="widths")
    offer_again(source)


def _row(result):
    numbers = result.numbers
    width, automatic = numbers["width_um"] or {}, (result.automatic or {}).get("width_um") or {}
    facing = numbers["w30_um"] or {}
    return {
        "photograph": result.photo,
        "blade": result.blade,
        "cuts": result.cuts,
        "station mm": result.station_mm,
        "bright line µm": width.get("mean"),
        "low µm": width.get("low"),
        "high µm": width.get("high"),
        "below µm": numbers["below_um"],
        "light": numbers["light"]["direction"] or "not noted",
        "W30 µm": facing.get("value"),
        "W30 from µm": facing.get("low"),
        "W30 to µm": facing.get("high"),
        "damage": damage_words(numbers["chips"]),
        "state": numbers["status"],
        "why": " ".join(on_page(reason["text"]) for reason in numbers["reasons"]),
        "corrected": "yes" if result.automatic is not None else "",
        "automatic µm": automatic.get("mean"),
    }
