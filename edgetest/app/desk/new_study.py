"""A study set up for a job: the three doors, what is begun, and one step after the other."""

import streamlit as st

from edgetest.app.open_study import choose, faults_kept, show_kept_faults, workspace
from edgetest.steel.steel_seen import USES
from edgetest.store.blades import Blade
from edgetest.store.checking import validate
from edgetest.store.protocol import describe
from edgetest.store.workspace import list_studies
from edgetest.study.facts import study_drafts as setup
from edgetest.study.facts.fact_values import field_value
from edgetest.study.steel.row_kinds import spaced

DRAFT, MADE = "draft", "new_study.made"
GO_TO = {"edge": "bench", "chopper": "bench", "steel": "verdict"}
ICONS = {
    "edge": ":material/balance:", "chopper": ":material/carpenter:", "steel": ":material/gavel:",
}  # fmt: skip
LEADS = {
    "edge": "Two heat treatments, or two blades, on one protocol: cut in turn, read, compared.",
    "chopper": "Strokes for a piece of wood, what that does to the edge, and how the tool swings.",
    "steel": "One step at a time, from a file and a magnet to a trial blade.",
}
NONE_YET = {
    "edge": "No blade yet. Three of each heat treatment are a fair beginning.",
    "chopper": "No tool yet. A known blade as control makes its figures worth more.",
}
KINDS = {
    "edge": "choose one: rope, cardboard, thread",
    "chopper": "choose one: billets, studs, single chops",
}
HINTS = {
    "edge": "Two tempers for camp hatchets", "chopper": "Camp hatchet for its customer",
    "steel": "Discs off the old harrow",
}  # fmt: skip


def doors():
    """Three ways to begin, by the question that a maker has; each leads to a draft of its own."""
    with st.container(horizontal=True, key="doors"):
        for job, question in setup.JOBS.items():
            st.button(
                question, key=f"door.{job}", on_click=_begin, args=(job,), icon=ICONS[job],
                width="stretch",
            )  # fmt: skip
    for file, draft in setup.drafts_begun(workspace()).items():
        with st.container(horizontal=True, vertical_alignment="center"):
            name = draft.title.strip() or "without a name yet"
            st.markdown(f"Begun: **{name}** · {setup.JOBS[draft.job]}")
            st.button("Go on", key=f"draft.{file.stem}", on_click=_open, args=(file,))
            st.button("Drop it", key=f"drop.{file.stem}", on_click=setup.drop_draft, args=(file,))


def open_draft():
    """The draft that this window works on, or None."""
    name = st.query_params.get(DRAFT)
    return setup.draft_file(workspace(), name) if name else None


def _begin(job):
    _open(setup.begin_draft(workspace(), job))


def _open(file):
    """Work on a draft in this window; its name stands in the address, through a reload."""
    st.query_params[DRAFT] = file.stem
    for key in [key for key in st.session_state if str(key).startswith("setup.")]:
        del st.session_state[key]


def _close():
    st.query_params.pop(DRAFT, None)


def show(file):
    """The page while a study is set up: what its job needs, in order; all of it kept at once."""
    draft, root = setup.read_draft(file), workspace()
    st.title(setup.JOBS[draft.job], anchor=False)
    show_kept_faults()
    st.markdown(LEADS[draft.job])
    st.text_input(
        "What you will know it by", draft.title, key="setup.title", on_change=_keep,
        args=(file, "title", "setup.title"), placeholder=HINTS[draft.job], autocomplete="off",
    )  # fmt: skip
    if draft.job == "steel":
        _use(file, draft)
    else:
        choices = setup.protocol_choices(root, draft.job)
        _protocol(file, draft, choices)
        _blades(file, draft)
    st.divider()
    st.button(
        "Make it", key="setup.make", type="primary", on_click=_make, args=(file,), width="stretch"
    )
    with st.container(horizontal=True):
        st.button("Leave it for later", key="setup.later", on_click=_close)
        st.button("Drop it", key="setup.drop", on_click=_drop, args=(file,))


def _drop(file):
    setup.drop_draft(file)
    _close()


def _use(file, draft):
    """What the steel is wanted for; it can be said later."""
    st.selectbox(
        "What the steel is wanted for", USES, USES.index(draft.use) if draft.use in USES else None,
        key="setup.use", on_change=_keep, args=(file, "use", "setup.use"), format_func=spaced,
        placeholder="chopper, hedging tool, knife, chisel",
    )  # fmt: skip


def _keep(file, name, key):
    setup.change_draft(file, **{name: st.session_state[key] or ""})


def _protocol(file, draft, choices):
    """Choose a procedure, or change a copy of it."""
    st.subheader("How it is tested", anchor=False)
    names = list(choices)
    st.selectbox(
        "Protocol", names, names.index(draft.protocol) if draft.protocol in names else None,
        key="setup.protocol", format_func=lambda name: choices[name].title,
        on_change=_new_protocol, args=(file,), placeholder=KINDS[draft.job],
    )  # fmt: skip
    if draft.protocol not in choices:
        return
    rules = choices[draft.protocol]
    st.markdown(describe(rules))
    if draft.job == "chopper":
        return
    own = bool(draft.own)
    st.toggle("Write your own from this one", own, key="setup.own", on_change=_own, args=(file,))
    if own:
        _own_fields(file, draft.own, rules)


def _new_protocol(file):
    setup.change_draft(file, protocol=st.session_state["setup.protocol"] or "", own={})
    st.session_state["setup.own"] = False


def _own(file):
    """Begin a copy with what the protocol says, or forget it."""
    if not st.session_state["setup.own"]:
        setup.change_draft(file, own={})
        return
    rules = setup.protocol_choices(workspace())[setup.read_draft(file).protocol]
    setup.change_draft(
        file,
        own={
            "title": f"{rules.title}, own",
            "medium": rules.medium.kind,
            "size": rules.medium.size,
            "stages": list(rules.stages),
            "stations": list(rules.stations_mm),
            "readings": [rule.name for rule in rules.readings],
            "limit": rules.limit.value if rules.limit else None,
        },
    )


def _own_fields(file, own, rules):
    """One field for each thing that a shop changes."""
    for name, label in (
        ("title", "Name of the protocol"),
        ("medium", "Medium"),
        ("size", "Its size"),
    ):
        _own_text(file, label, name, own[name])
    _own_text(file, "Stages, cumulative cuts", "stages", _row(own["stages"]), whole=True)
    _own_text(file, "Stations along the edge, mm", "stations", _row(own["stations"]), whole=False)
    titles = {rule.name: rule.title for rule in rules.readings}
    st.multiselect(
        "Readings", list(titles), own["readings"], key="setup.own.readings",
        format_func=titles.__getitem__, on_change=_own_readings, args=(file,),
    )  # fmt: skip
    limit = own.get("limit")
    if rules.limit and isinstance(limit, int | float):
        rule = rules.reading(rules.limit.reading)
        st.number_input(
            f"Limit of the {rule.title}, {rule.unit}",
            0.1, None, float(limit), key="setup.own.limit", on_change=_own_limit,
            args=(file,),
        )  # fmt: skip


def _row(numbers):
    return " ".join(f"{number:g}" for number in numbers)


def _own_text(file, label, name, value, *, whole=None):
    key = f"setup.own.{name}"
    st.text_input(label, value, key=key, on_change=_own_changed, args=(file, name, key, whole),
                  autocomplete="off")  # fmt: skip


def _own_changed(file, name, key, whole):
    value = st.session_state[key]
    with faults_kept():
        _own_set(file, name, value if whole is None else setup.numbers(value, whole=whole))


def _own_readings(file):
    _own_set(file, "readings", st.session_state["setup.own.readings"])


def _own_limit(file):
    _own_set(file, "limit", st.session_state["setup.own.limit"])


def _own_set(file, name, value):
    setup.change_draft(file, own={**setup.read_draft(file).own, name: value})


def _blades(file, draft):
    """The blades so far, one more, or some of an earlier study."""
    edge = draft.job == "edge"
    st.subheader("Blades" if edge else "The tool, and what it is held against", anchor=False)
    if not draft.blades:
        st.info(NONE_YET[draft.job])
    titles = {each["id"]: each.get("title") or each["id"] for each in draft.heat_treatments}
    for blade in draft.blades:
        said = [blade.get("title", ""), titles.get(blade.get("heat_treatment"), ""),
                "control blade" if blade["id"] == draft.control else ""]  # fmt: skip
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(" · ".join([f"**{blade['id']}**", *(words for words in said if words)]))
            st.button(
                f"Remove {blade['id']}", key=f"setup.remove.{blade['id']}",
                on_click=setup.remove_blade, args=(file, blade["id"]),
            )  # fmt: skip
    with st.form("setup.blade", border=True):
        st.text_input("Blade", key="setup.blade.id", placeholder="K1" if edge else "H1",
                      autocomplete="off")  # fmt: skip
        if edge:
            st.text_input(
                "Its heat treatment", key="setup.blade.treatment", placeholder="temper 190 °C",
                autocomplete="off",
            )  # fmt: skip
        else:
            st.text_input(
                "What a customer calls it", key="setup.blade.title", placeholder="camp hatchet",
                autocomplete="off",
            )  # fmt: skip
            st.text_input(
                "Length of its edge, mm", key="setup.blade.edge", autocomplete="off",
                placeholder="80, or 3 1/8 in; blank where nobody measured it",
            )  # fmt: skip
        st.text_input(
            "Edge angle per side, degrees", key="setup.blade.angle", autocomplete="off",
            placeholder="as ground; blank where nobody measured it",
        )  # fmt: skip
        st.toggle("This is the control blade", key="setup.blade.control")
        st.form_submit_button("Add the blade", on_click=_add_blade, args=(file,), width="stretch")
    _copy(file)
    st.caption("More facts, such as steel and hardness, have their place on the page **Blades**.")


SIZES = {"angle": "angle_per_side_deg", "edge": "edge_length_mm"}


def _add_blade(file):
    state = st.session_state
    with faults_kept():
        noted = {
            key: field_value(state[f"setup.blade.{name}"], "size", key)
            for name, key in SIZES.items()
            if state.get(f"setup.blade.{name}", "").strip()
        }
        title = state.get("setup.blade.title", "").strip()
        noted |= {"title": title} if title else {}
        validate(Blade, {"id": "new", **noted}, "Blade")
        setup.add_blade(
            file,
            {"id": state["setup.blade.id"], **noted},
            state.get("setup.blade.treatment", ""),
            control=state["setup.blade.control"],
        )
        # The heat treatment and the angle stay: the next blade is often alike.
        state["setup.blade.id"], state["setup.blade.control"] = "", False


def _copy(file):
    """Blades of an earlier study with their facts and heat treatments."""
    root = workspace()
    earlier = {entry.folder.name: entry for entry in list_studies(root) if entry.fault is None}
    if not earlier:
        return
    with st.expander("Copy blades of an earlier study"):
        from edgetest.store.records import load_study

        name = st.selectbox(
            "Study", list(earlier), key="setup.copy.study",
            format_func=lambda name: earlier[name].title,
        )  # fmt: skip
        blades = [blade.id for blade in load_study(root / name).blades]
        picked = st.multiselect("Its blades", blades, blades, key=f"setup.copy.blades.{name}")
        st.button("Copy them", key="setup.copy", on_click=_copy_now,
                  args=(file, root / name, picked), width="stretch")  # fmt: skip


def _copy_now(file, folder, names):
    with faults_kept():
        setup.copy_blades(file, folder, names)


def _make(file):
    with faults_kept():
        job = setup.read_draft(file).job
        folder = setup.make_study(file)
        choose(folder.name)
        _close()
        st.session_state[MADE] = GO_TO[job]
