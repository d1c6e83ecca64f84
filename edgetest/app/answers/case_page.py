"""Page: the carburised case against the grind, for a plan and for the study's own pack."""

import pickle
from hashlib import sha256
from typing import Any

import pandas as pd
import streamlit as st

from edgetest.app.answers.evidence_fields import sized
from edgetest.app.answers.pack_form import ENERGISED
from edgetest.app.downloads import frame_records, show_figure, table_downloads
from edgetest.app.drawn_figures import Drawing
from edgetest.app.kept_fields import kept_choice, kept_form
from edgetest.app.kept_tables import kept_table
from edgetest.app.open_study import faults_shown, heading, opened, stamp
from edgetest.app.verbatim import capital, verbatim
from edgetest.report.figures.steel_figures import plot_case
from edgetest.steel.heat_schedule import PUBLISHED, SURFACES
from edgetest.steel.temper_softening import HOTTEST_CASE_TEMPER_C, USUAL_TEMPER
from edgetest.steel.usual_pack import USUAL_PACK, WANTED_HRC
from edgetest.study.steel.case_plan import CASE_CAUTIONS, cases_of_study, plan_case
from edgetest.units import as_typed

FIGURE_IN = (6.4, 4.4)
LATER = SURFACES[1:]  # what a heat after the pack may do


def show():
    """The page."""
    heading(
        "Case and grind",
        "How deep carbon goes in the pack, how hard the edge gets, how much may be ground away.",
    )
    st.warning("\n".join(f"- {caution}" for caution in CASE_CAUTIONS), icon=":material/warning:")
    source = opened()
    has_pack = bool((source.study.evidence or {}).get("pack"))
    kinds = ["The study's pack", "A plan"] if has_pack else ["A plan"]
    chosen = kinds[0]
    if has_pack:
        chosen = kept_choice(
            source.path, st.segmented_control, "Of", kinds[0], "case of", options=kinds,
            required=True,
        )  # fmt: skip
    with faults_shown():
        found = (
            _plan(source.path)
            if chosen == "A plan"
            else _study(str(source.path), stamp(source.path))
        )
        for answer in found:
            _section(answer, source.path)


@st.cache_data(max_entries=8, show_spinner="Working out how far the carbon goes")
def _study(folder, version):
    return cases_of_study(folder)


@st.cache_data(max_entries=32, show_spinner="Working out how far the carbon goes")
def _planned(pack, **options):
    return plan_case(pack, **options)


def _plan(folder):
    """A pack that is only thought of; every number is tried at once."""
    form = kept_form(folder, "case plan")
    left, right = st.columns(2)
    thickness_mm = sized(form, left, "Section in the pack, mm", "thickness", 1.0)
    off = sized(form, right, "Ground off each face, mm", "off", 0.05) or 0.0
    degrees = sized(form, left, "Pack, °C", "heat", 900.0, help="900, or 1650 °F")
    hours = sized(form, right, "Hours with the steel at heat", "hours", 4.0)
    core = form.field(
        left.number_input, "Carbon before, %", USUAL_PACK.core_pct, "core",
        min_value=0.0, max_value=1.2, step=0.01,
    )  # fmt: skip
    core_u = form.field(
        right.number_input, "± standard, %", USUAL_PACK.core_u_pct, "core_u",
        min_value=0.0, max_value=0.3, step=0.01,
    )  # fmt: skip
    hard = form.field(
        left.number_input, "Counts as hard from, HRC after the temper", WANTED_HRC, "hard",
        min_value=40.0, max_value=65.0, step=0.5,
    )  # fmt: skip
    kind = form.field(
        right.selectbox, "Charcoal in the pack", "not known", "kind", options=list(ENERGISED)
    )
    temper = _temper(form)
    with st.expander("Faces, later heats, a coupon, the thermometer", icon=":material/tune:"):
        more = _more(form, off)
    if None in (thickness_mm, degrees, hours):
        st.info("Give the section, the heat of the pack and the hours.")
        return ()
    heat = {"name": "pack", "surface": "carburising", "temperature_c": degrees, "hours": hours,
            "surface_pct": more["surface_pct"], "faces": more["faces"]}  # fmt: skip
    pack = {
        "heats": [heat, *more["later"]],
        "sections": [{"thickness_mm": thickness_mm, "removed_mm": more["removed_mm"]}],
        "core_pct": core, "core_u_pct": core_u, "energised": ENERGISED[kind], "temper": temper,
        **more["pack"],
    }  # fmt: skip
    return _planned(pack, target_hrc=hard, **more["options"])


def _temper(form):
    """The temper, as `[evidence.pack]` writes it."""
    usual, columns = USUAL_TEMPER, st.columns(3)
    celsius = form.field(
        columns[0].number_input, "Temper, °C (0: none)", usual.temperature_c, "temper",
        min_value=0.0, max_value=HOTTEST_CASE_TEMPER_C, step=5.0,
    )  # fmt: skip
    minutes = form.field(
        columns[1].number_input, "Minutes", usual.time_min, "minutes",
        min_value=1.0, max_value=600.0, step=10.0,
    )  # fmt: skip
    times = form.field(
        columns[2].number_input, "Times", usual.repeats, "times", min_value=1, max_value=6
    )
    if not celsius:
        return "none"
    return {"temperature_c": celsius, "time_min": minutes, "repeats": int(times)}


def _more(form, off):
    """What is seldom changed, as options of a plan."""
    left, right = st.columns(2)
    surface = form.field(
        left.number_input, "Carbon the pack holds, %", None, "surface",
        min_value=0.3, max_value=2.1, step=0.05, placeholder="as charcoal at that heat",
    )  # fmt: skip
    skin = sized(form, right, "Decarburised skin before, mm", "skin", 0.0) or 0.0
    other = sized(form, right, "Ground off the other face, mm", "other", off) or 0.0
    one_face = form.field(left.toggle, "Only one face sees the pack", False, "one_face")
    pack: dict[str, Any] = {
        "thermometer_u_c": form.field(
            left.number_input, "The thermometer may be off by, ± °C", USUAL_PACK.thermometer_u_c,
            "thermometer", min_value=0.0, max_value=60.0, step=1.0,
        ),
        "surface_u_pct": form.field(
            right.number_input, "Standard uncertainty of that carbon, %", None, "surface_u",
            min_value=0.0, max_value=0.5, step=0.01, placeholder="as usual",
            help="Blank: 0.10 where the carbon is stated, else 0.15.",
        ),
        "skin_mm": skin,
    }  # fmt: skip
    laws = form.field(
        st.multiselect, "Published diffusion data", [], "laws", options=PUBLISHED,
        placeholder="all of them, their spread in the interval",
    )  # fmt: skip
    heats = pd.DataFrame({"°C": [None], "hours": [None], "the surface is": [None]}, dtype=object)
    heats = heats.astype({"°C": float, "hours": float})
    st.caption("Heats after the pack, in their order")
    typed = kept_table(
        form, heats, "later heats", num_rows="dynamic", hide_index=True, width=420, placeholder="",
        column_config={"the surface is": st.column_config.SelectboxColumn(options=LATER)},
    ).dropna()  # fmt: skip
    if form.field(st.toggle, "A coupon of this pack was sawn through", False, "coupon"):
        words = ("Its thickness, mm", "Depth of its case, mm", "± standard, mm")
        names, usual = ("thickness_mm", "depth_mm", "depth_u_mm"), (6.0, 0.8, 0.05)
        pack["coupon"] = {
            name: form.field(column.number_input, word, value, f"coupon {name}",
                             min_value=0.01, max_value=50.0, step=0.05)
            for column, word, name, value in zip(st.columns(3), words, names, usual, strict=True)
        }  # fmt: skip
    form.way_back(note="")
    return {
        "removed_mm": (off, other),
        "surface_pct": surface,
        "faces": 1 if one_face else 2,
        "later": [
            {"name": f"{i}", "temperature_c": float(c), "hours": float(h), "surface": str(s)}
            for i, (c, h, s) in enumerate(typed.to_numpy().tolist(), 2)
        ],
        "pack": pack,
        "options": {"diffusivities": tuple(laws)} if laws else {},
    }


def _figure(case):
    carbon, _ = plot_case(case)
    carbon.figure.set_size_inches(*FIGURE_IN)
    return carbon.figure


def _section(answer, folder):
    """One section: the sentence, the picture, the numbers to take away."""
    case = answer.case
    st.header(verbatim(f"{capital(answer.section)}, {as_typed(case.thickness_mm, 'mm')}"))
    st.markdown(verbatim(case.summary()))
    name = f"{folder.name}_{answer.section}".replace(" ", "_")
    show_figure(
        Drawing(lambda: _figure(case), folder, sha256(pickle.dumps(case)).hexdigest()), name,
        alt=f"Carbon and hardness across the section. {case.summary()}", what="section",
    )  # fmt: skip
    st.markdown(verbatim("\n".join(f"- {line}" for line in answer.lines())))
    table_downloads(frame_records(case.to_frame()), name, what="profile")
