"""Set up a session at the bench: what is cut, which blades, in which order."""

import streamlit as st

from edgetest.app.open_study import choose, faults_kept, show_kept_faults, workspace
from edgetest.store.protocol import describe
from edgetest.store.workspace import list_studies
from edgetest.study.bench import bench_draft as setup
from edgetest.study.bench.blinding import is_blinded, shown_names


def under_way():
    """Whether a session is being set up."""
    return setup.read_draft(workspace()) is not None


def begin_button():
    """Begin to set up a session."""
    st.button(
        "Set up a new session", key="bench.new", on_click=setup.change_draft,
        args=(workspace(),), width="stretch", icon=":material/add:",
    )  # fmt: skip


def show():
    """The page while a session is set up; whatever is filled in stays through a reload."""
    root = workspace()
    draft = setup.read_draft(root)
    st.title("Set up a session", anchor=False)
    show_kept_faults()
    choices = setup.protocol_choices(root)
    if draft.protocol not in choices:
        draft = setup.change_draft(root, protocol=next(iter(choices)))
    st.text_input(
        "Name of the session", draft.title, key="setup.title", on_change=_keep,
        args=("title", "setup.title"), placeholder="Two tempers for camp hatchets",
        autocomplete="off",
    )  # fmt: skip
    _protocol(draft, choices)
    _blades(root, draft, choices[draft.protocol])
    st.divider()
    st.button("Make the session", key="setup.make", type="primary", on_click=_make, width="stretch")
    st.button("Drop it", key="setup.drop", on_click=setup.drop_draft, args=(root,),
              width="stretch")  # fmt: skip


def _keep(name, key):
    setup.change_draft(workspace(), **{name: st.session_state[key]})


def _protocol(draft, choices):
    """Choose a procedure, or change a copy of it."""
    st.subheader("What is cut", anchor=False)
    names = list(choices)
    st.selectbox(
        "Protocol", names, names.index(draft.protocol), key="setup.protocol",
        format_func=lambda name: choices[name].title, on_change=_new_protocol,
    )  # fmt: skip
    rules = choices[draft.protocol]
    st.markdown(describe(rules))
    own = bool(draft.own)
    st.toggle("Write your own from this one", own, key="setup.own", on_change=_own)
    if own:
        _own_fields(draft.own, rules)


def _new_protocol():
    setup.change_draft(workspace(), protocol=st.session_state["setup.protocol"], own={})
    st.session_state["setup.own"] = False


def _own():
    """Begin a copy with what the protocol says, or forget it."""
    root = workspace()
    if not st.session_state["setup.own"]:
        setup.change_draft(root, own={})
        return
    rules = setup.protocol_choices(root)[setup.read_draft(root).protocol]
    setup.change_draft(
        root,
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


def _own_fields(own, rules):
    """One field for each thing that a shop changes."""
    for name, label in (
        ("title", "Name of the protocol"),
        ("medium", "Medium"),
        ("size", "Its size"),
    ):
        _own_text(label, name, own[name])
    _own_text("Stages, cumulative cuts", "stages", _row(own["stages"]), whole=True)
    _own_text("Stations along the edge, mm", "stations", _row(own["stations"]), whole=False)
    titles = {rule.name: rule.title for rule in rules.readings}
    st.multiselect(
        "Readings", list(titles), own["readings"], key="setup.own.readings",
        format_func=titles.__getitem__, on_change=_own_readings,
    )  # fmt: skip
    limit = own.get("limit")
    if rules.limit and isinstance(limit, int | float):
        rule = rules.reading(rules.limit.reading)
        st.number_input(
            f"Limit of the {rule.title}, {rule.unit}",
            0.1, None, float(limit), key="setup.own.limit", on_change=_own_limit,
        )  # fmt: skip


def _row(numbers):
    return " ".join(f"{number:g}" for number in numbers)


def _own_text(label, name, value, *, whole=None):
    key = f"setup.own.{name}"
    st.text_input(label, value, key=key, on_change=_own_changed, args=(name, key, whole),
                  autocomplete="off")  # fmt: skip


def _own_changed(name, key, whole):
    value = st.session_state[key]
    with faults_kept():
        _own_set(name, value if whole is None else setup.numbers(value, whole=whole))


def _own_readings():
    _own_set("readings", st.session_state["setup.own.readings"])


def _own_limit():
    _own_set("limit", st.session_state["setup.own.limit"])


def _own_set(name, value):
    root = workspace()
    own = setup.read_draft(root).own
    setup.change_draft(root, own={**own, name: value})


def _blades(root, draft, rules):
    """The blades so far, one more, or some of an earlier study."""
    st.subheader("Blades", anchor=False)
    if not draft.blades:
        st.info("No blade yet. Three of each heat treatment are a fair beginning.")
    titles = {each["id"]: each.get("title") or each["id"] for each in draft.heat_treatments}
    for blade in draft.blades:
        treatment = titles.get(blade.get("heat_treatment"), "no heat treatment named")
        control = " · control blade" if blade["id"] == draft.control else ""
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(f"**{blade['id']}** · {treatment}{control}")
            st.button(
                f"Remove {blade['id']}", key=f"setup.remove.{blade['id']}",
                on_click=setup.remove_blade, args=(root, blade["id"]),
            )  # fmt: skip
    with st.form("setup.blade", border=True):
        st.text_input("Blade", key="setup.blade.id", placeholder="K1", autocomplete="off")
        st.text_input(
            "Its heat treatment", key="setup.blade.treatment", placeholder="temper 190 °C",
            autocomplete="off",
        )  # fmt: skip
        st.number_input(
            "Edge angle per side, degrees", 1.0, 59.0, None, 0.5, key="setup.blade.angle",
            placeholder="as ground; blank where nobody measured it",
        )  # fmt: skip
        st.toggle("This is the control blade", key="setup.blade.control")
        st.form_submit_button("Add the blade", on_click=_add_blade, width="stretch")
    _copy(root)


def _add_blade():
    state = st.session_state
    angle = state["setup.blade.angle"]
    noted = {} if angle is None else {"angle_per_side_deg": angle}
    with faults_kept():
        setup.add_blade(
            workspace(),
            {"id": state["setup.blade.id"], **noted},
            state["setup.blade.treatment"],
            control=state["setup.blade.control"],
        )
        # The heat treatment and the angle stay: the next blade is often alike.
        state["setup.blade.id"], state["setup.blade.control"] = "", False


def _copy(root):
    """Blades of an earlier study with their facts and heat treatments."""
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
                  args=(root / name, picked), width="stretch")  # fmt: skip


def _copy_now(folder, names):
    with faults_kept():
        setup.copy_blades(workspace(), folder, names)


def _make():
    root = workspace()
    with faults_kept():
        folder = setup.make_study(root, setup.read_draft(root))
        choose(folder.name)


def show_order(source):
    """Draw the run order before the first cut."""
    st.title("In which order", anchor=False)
    show_kept_faults()
    st.markdown(
        "The day, the roll and the hand drift while a session runs. A random order keeps the "
        "drift from looking like a heat treatment; codes in place of names keep the hand from "
        "favouring one."
    )
    st.text_input(
        "Rolls, boards or days, in the order in which they come, with commas between",
        "roll 1", key="setup.blocks", autocomplete="off",
    )  # fmt: skip
    st.number_input("Seed: the same number draws the same order", 1, None, 1, key="setup.seed")
    st.toggle("Blind: the bench shows codes, not names", key="setup.blinded")
    st.button("Draw the order and begin", key="setup.draw", type="primary", on_click=_draw,
              args=(source,), width="stretch")  # fmt: skip
    st.button("Keep the order of the list and begin", key="setup.keep",
              on_click=setup.keep_order, args=(source,), width="stretch")  # fmt: skip


def _draw(source):
    state = st.session_state
    blocks = [name.strip() for name in state["setup.blocks"].split(",") if name.strip()]
    with faults_kept():
        setup.draw_order(source, blocks, seed=state["setup.seed"], blinded=state["setup.blinded"])


def show_labels(source):
    """Which code goes on which blade, for another person to tie on."""
    if not is_blinded(source.study):
        return
    with st.expander("Key to the codes, for the one who labels the blades"):
        st.caption("Whoever cuts should not read this.")
        if not st.toggle("Show the key", key="bench.key"):
            return
        for blade, code in shown_names(source).items():
            st.markdown(f"- {blade}: **{code}**")
