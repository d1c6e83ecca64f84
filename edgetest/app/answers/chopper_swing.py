"""The tool's swing and ringing on the page Chopper, and what a thinner tip would do to them."""

from dataclasses import replace

import streamlit as st

from edgetest.app.cards import show_rows
from edgetest.app.downloads import show_figure
from edgetest.app.kept_fields import kept_form
from edgetest.app.links import link
from edgetest.app.open_study import show_fault
from edgetest.app.page_words import on_page
from edgetest.app.verbatim import verbatim
from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_numbers import side_by_side_rows
from edgetest.report.figures.chop_figures import plot_balance
from edgetest.report.figures.plot_style import NARROW_IN
from edgetest.report.figures.swing_figures import plot_kick, plot_ringing
from edgetest.report.tool_drawn import drawn_to_scale


def show_swing(source, result, blade, name, *, drawing):
    """The tool to scale, its kick and how it rings.

    Parameters
    ----------
    source : Source
    result : ChopResult
    blade, name : str
        The tool, and the name of its files.
    drawing : callable
        Of the source, a function that draws and what is asked: the figure, drawn once.
    """
    tool = result.tool(blade)
    if tool is None:
        st.info(
            "How it swings is not known. Type its balance and timed swings, or its outline, on the"
            " page **Blades**; the guide's page *Time the swing* shows how."
        )
        link("blades", "Type it", icon=":material/hardware:")
        return
    to_scale = replace(
        drawing(source, lambda: plot_balance(result, blade)),
        narrow=lambda: plot_balance(result, blade, width_in=NARROW_IN).figure,
    )
    show_figure(
        to_scale,
        f"{name}_balance",
        alt=f"{drawn_to_scale(result.outlines.get(blade))} {tool.summary()}",
        what="balance",
    )
    left, right = st.columns(2)
    with left:
        alt = "Kick at the grip against the place of the blow; none at the percussion centre."
        show_figure(drawing(source, lambda: plot_kick(tool)), f"{name}_kick", alt=alt, what="kick")
    if tool.predicted is not None and tool.predicted.flat is not None:
        with right:
            alt = f"First bending modes. {tool.predicted.summary()}"
            figure = drawing(source, lambda: plot_ringing(tool.predicted))
            show_figure(figure, f"{name}_ringing", alt=alt, what="ringing")
    if tool.compared is not None:
        st.markdown("**Measured beside predicted from the shape**")
        show_rows(side_by_side_rows(tool.compared), "tools side by side")


def show_thinner(source, result, blade, name, *, drawing, version):
    """What a thinner tip would do, before it is ground.

    Parameters
    ----------
    source, result, blade, name, drawing
        As in `show_swing`.
    version : callable
        Of the source: what changes when its files change.
    """
    shape = result.outlines.get(blade)
    if shape is None or blade not in result.handling:
        st.info("To try this, type the tool's shape and grip on the page **Blades**.")
        link("blades", "Type them", icon=":material/hardware:")
        return
    first, last = float(shape.x_mm[0]), float(shape.x_mm[-1])
    kept = next((x for x in result.changes if x.blade == blade), None)
    form = kept_form(source.path, f"thinner tip {blade}", alone=True)
    left, right = st.columns(2)
    from_mm = form.field(
        left.number_input, "Taper begins, mm from the butt", kept.from_mm if kept else last / 2,
        "from_mm", min_value=first, max_value=last - 1, step=5.0,
    )  # fmt: skip
    tip = float(shape.thickness_mm[-1])
    tip_mm = form.field(
        right.number_input, "Thickness at the tip, mm", kept.tip_mm if kept else tip / 2,
        "tip_mm", min_value=0.0, max_value=tip, step=0.1,
    )  # fmt: skip
    try:
        change = _change(str(source.path), version(source), blade, from_mm, tip_mm, result)
    except UnusableInput as fault:
        show_fault(fault)
        return
    for one in change.doubts:
        st.warning(verbatim(on_page(one.text)))
    st.markdown(verbatim(change.summary()) + ".")
    if change.before.flat is not None and change.after.flat is not None:
        figure = drawing(
            source, lambda: plot_ringing(change.before, after=change.after), from_mm, tip_mm
        )
        alt = "First bending modes as it is, and dashed with the thinner tip."
        show_figure(figure, f"{name}_thinner", alt=alt, what="thinner tip")
    show_rows(side_by_side_rows(change.compared), "tool before and after")


@st.cache_resource(max_entries=32, show_spinner=False)
def _change(folder, version, blade, from_mm, tip_mm, _result):
    from edgetest.study.chop.chop_analysis import try_thinner

    return try_thinner(_result, blade, from_mm, tip_mm)
