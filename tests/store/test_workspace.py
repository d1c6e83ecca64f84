"""Studies on disk: made, listed, saved whole, copied."""

import os
import tomllib

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store import files, workspace
from edgetest.store.files import locked, write_atomic
from edgetest.store.logs import read_log
from edgetest.store.protocol import load_protocol, protocol_ids
from edgetest.store.study_list import list_studies
from edgetest.store.workspace import (
    change_study,
    copy_protocol,
    copy_sample_run,
    load_study,
    log_path,
    new_steel_study,
    new_study,
    replace_log,
    save_photograph,
    save_protocol,
    shipped,
)


@pytest.mark.parametrize("protocol", protocol_ids())
def test_a_new_study_of_every_protocol_opens_without_a_fault(tmp_path, protocol):
    blades = [{"id": "A", "included_angle_deg": 34}, {"id": "B", "angle_per_side_deg": 18}]
    study = new_study(tmp_path / "s", protocol, "Mine", blades=blades)
    assert (study.folder / "photos").is_dir()
    assert study.blade("B").angle_per_side_deg == 18
    table = log_path(study.folder, study.rules.log)
    assert table is not None
    if study.rules.log == "log":
        log = read_log(table, study=study)
        assert log.faults == ()
        assert {row.cuts for row in log.rows} == set(study.rules.stages)
        assert log.blades() == ("A", "B")


def test_a_new_study_notes_no_edge_angle_of_its_own_and_takes_a_control(tmp_path):
    study = new_study(
        tmp_path / "s",
        "sisal_rope",
        "Mine",
        blades=[{"id": "A", "heat_treatment": "low", "hardness_target_hrc": [58, 60]}],
        heat_treatments=[{"id": "low", "steps": [{"kind": "temper", "temperature_f": 400}]}],
        control="C1",
    )
    assert study.blade("A").included_angle_deg is None
    assert study.blade("A").angle_words() == ""
    assert study.control == "C1"
    written = tomllib.loads((study.folder / "study.toml").read_text(encoding="utf-8"))
    assert written["heat_treatments"][0]["steps"][0]["temperature_c"] == "400 °F"
    assert "note" not in written["blades"][0]
    assert written["blades"][0]["hardness_target_hrc"] == "58-60"


def test_a_new_study_overwrites_nothing(tmp_path):
    new_study(tmp_path, "sisal_rope", "Mine")
    before = (tmp_path / "study.toml").read_bytes()
    with pytest.raises(UnusableInput, match="a study stands here already"):
        new_study(tmp_path, "manila_rope", "Other")
    assert (tmp_path / "study.toml").read_bytes() == before


def test_a_new_study_that_would_not_load_is_not_made(tmp_path):
    with pytest.raises(ManyFaults, match='unknown heat treatment "low"'):
        new_study(tmp_path / "s", "sisal_rope", "x", blades=[{"id": "A", "heat_treatment": "low"}])
    assert not (tmp_path / "s").exists()


def test_listing_tells_which_study_cannot_be_opened(tmp_path):
    new_study(tmp_path / "b", "sisal_rope", "Second")
    new_study(tmp_path / "a", "manila_rope", "First")
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "study.toml").write_text("title = 3", encoding="utf-8")
    (tmp_path / "not_a_study").mkdir()
    entries = list_studies(tmp_path)
    assert [(e.folder.name, e.title, e.fault is None) for e in entries] == [
        ("a", "First", True), ("b", "Second", True), ("c", "c", False),
    ]  # fmt: skip


def test_saving_keeps_everything(tmp_path):
    study = new_study(tmp_path / "s", "sisal_rope", "Mine")
    changed = study.model_copy(update={"title": "Yours", "limit": 9.5})
    change_study(study.folder, lambda _: changed)
    again = load_study(study.folder)
    assert (again.title, again.limit_value) == ("Yours", 9.5)
    assert again.blades == study.blades


@pytest.mark.parametrize("name", protocol_ids())
def test_a_protocol_edited_and_saved_is_the_same_but_for_the_edit(tmp_path, name):
    data = load_protocol(name).to_toml_dict() | {"id": "mine", "title": "My own"}
    assert save_protocol(data, tmp_path) == tmp_path / "mine.toml"
    again = load_protocol("mine.toml", tmp_path)
    assert again.title == "My own"
    assert again.to_toml_dict() == data
    with pytest.raises(ManyFaults, match=r"mine\.toml, titel"):
        save_protocol({**data, "titel": "x"}, tmp_path)


def test_a_protocol_is_copied_with_its_comments(tmp_path):
    path = copy_protocol("sisal_rope", tmp_path, "hemp_rope")
    assert path.read_text(encoding="utf-8").startswith("# One standard procedure.")
    copied = load_protocol("hemp_rope.toml", tmp_path)
    assert (copied.id, copied.title) == ("hemp_rope", "Sisal rope, draw cut (own copy)")
    with pytest.raises(UnusableInput, match=r"hemp_rope\.toml: is there already"):
        copy_protocol("sisal_rope", tmp_path, "hemp_rope")


def test_what_a_killed_writer_left_is_swept_up_later(tmp_path):
    old, young = tmp_path / ".log.csv.old.tmp", tmp_path / ".log.csv.young.tmp"
    for path in (old, young):
        path.write_text("half")
    os.utime(old, (0, 0))
    with locked(tmp_path):
        assert not old.exists()
    assert young.exists()


def test_two_logs_side_by_side_are_not_guessed_between(tmp_path):
    new_study(tmp_path, "sisal_rope", "Mine")
    assert log_path(tmp_path).name == "log.csv"
    assert log_path(tmp_path, "chops") is None
    (tmp_path / "log.xlsx").write_bytes(b"")
    with pytest.raises(UnusableInput, match="both stand here"):
        log_path(tmp_path)


def test_a_write_that_fails_leaves_the_old_file_and_no_litter(tmp_path, monkeypatch):
    path = tmp_path / "log.csv"
    write_atomic(path, "old")

    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_atomic(path, "new")
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["log.csv"]


def test_a_write_syncs_the_file_before_the_name(tmp_path, monkeypatch):
    order = []
    fsync, replace = os.fsync, os.replace
    monkeypatch.setattr(files.os, "fsync", lambda h: (order.append("sync"), fsync(h))[1])
    monkeypatch.setattr(files.os, "replace", lambda a, b: (order.append("name"), replace(a, b))[1])
    write_atomic(tmp_path / "x", "text")
    assert order == ["sync", "name", "sync"]


def test_a_lock_that_is_held_is_waited_for_and_then_told(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "LOCK_SECONDS", 0.05)
    with (
        locked(tmp_path),
        pytest.raises(UnusableInput, match="another program has been writing here"),
        locked(tmp_path),
    ):
        pass
    with locked(tmp_path):
        pass


@pytest.fixture
def samples(tmp_path, monkeypatch):
    root = tmp_path / "shipped"
    new_study(root / "rope_study", "sisal_rope", "Invented")
    monkeypatch.setattr(workspace, "shipped", lambda kind: root)
    return root


def test_a_sample_run_is_copied_once(samples, tmp_path):
    copy = copy_sample_run("rope_study", tmp_path / "mine")
    assert load_study(copy).title == "Invented"
    with pytest.raises(UnusableInput, match="something stands here already"):
        copy_sample_run("rope_study", tmp_path / "mine")
    with pytest.raises(UnusableInput, match='"rop" is not a sample run; known: rope_study'):
        copy_sample_run("rop", tmp_path / "other")


def test_what_is_shipped_is_found():
    assert (shipped("protocols") / "sisal_rope.toml").is_file()
    with pytest.raises(UnusableInput, match="install the program again"):
        shipped("no_such_thing")


def test_a_replaced_log_is_kept_beside_the_new_one(tmp_path):
    from edgetest.store.export import xlsx_bytes

    new_study(tmp_path, "sisal_rope", "Mine")
    old = (tmp_path / "log.csv").read_bytes()
    assert replace_log(tmp_path, b"blade,cuts,edge_width_um\nA1,0,1\n").name == "log.csv"
    assert (tmp_path / "log_before_1.csv").read_bytes() == old
    assert (
        replace_log(tmp_path, xlsx_bytes([["blade", "cuts", "edge_width_um"]])).name == "log.xlsx"
    )
    assert log_path(tmp_path).name == "log.xlsx"
    assert (tmp_path / "log_before_2.csv").read_text().startswith("blade,cuts")


def test_a_photograph_never_takes_anothers_place(tmp_path):
    new_study(tmp_path, "sisal_rope", "Mine")
    assert save_photograph(tmp_path, "../a.jpg", b"one") == tmp_path / "photos" / "a.jpg"
    save_photograph(tmp_path, "a.jpg", b"one")
    with pytest.raises(UnusableInput, match="another photograph of this name is there"):
        save_photograph(tmp_path, "a.jpg", b"two")
    assert (tmp_path / "photos" / "a.jpg").read_bytes() == b"one"


def test_comments_around_the_keys_outlive_a_change(tmp_path):
    folder = tmp_path / "study"
    new_study(folder, "sisal_rope", "hints", blades=["K1"])
    change_study(folder, lambda study: study.model_copy(update={"title": "changed"}))
    text = (folder / "study.toml").read_text(encoding="utf-8")
    assert text.startswith("# The facts of this study")
    assert "# maker = " in text.partition("title = ")[0]
    assert 'title = "changed"' in text
    closing = text[text.index("# Heat treatments") :]
    taken_up = "\n".join(
        line.removeprefix("# ") for line in closing.splitlines()
        if line.startswith(("# [", "# id", "# steps", "#  ", "# ]", "# um", "# rel"))
    )  # fmt: skip
    (folder / "study.toml").write_text(text + taken_up + "\n", encoding="utf-8")
    study = load_study(folder)
    assert study.heat_treatments[0].id == "temper_200"
    assert study.scale.um_per_px == 0.42


def test_one_number_for_a_list_of_one_can_become_two(tmp_path):
    folder = tmp_path / "study"
    new_study(folder, "sisal_rope", "one number", blades=["K1"])
    path = folder / "study.toml"
    path.write_text(path.read_text().replace('id = "K1"', 'id = "K1"\nhardness_hrc = 60'))
    before = path.read_text()

    def two(study):
        blade = study.blades[0].model_copy(update={"hardness_hrc": (60.0, 61.0)})
        return study.model_copy(update={"blades": (blade,)})

    assert change_study(folder, two).blades[0].hardness_hrc == (60, 61)
    assert path.read_text() == before.replace("hardness_hrc = 60", "hardness_hrc = [60.0, 61.0]")


def test_a_change_leaves_what_hands_wrote_byte_for_byte(tmp_path):
    folder = tmp_path / "study"
    new_study(folder, "sisal_rope", "kept", blades=["K1", "K2"])
    path = folder / "study.toml"
    typed = 'id = "K1"\nspine_mm   =  "1/4 in"   # by caliper\nangle_per_side_deg = 15.0'
    path.write_text(path.read_text().replace('id = "K1"', typed))
    before = path.read_text()
    change_study(folder, lambda study: study.model_copy(update={"plan": {"order": [["", "K1"]]}}))
    plan = '\n[plan]\norder = [["", "K1"]]\n'
    assert path.read_text().replace(plan, "", 1) == before
    change_study(folder, lambda study: study.model_copy(update={"plan": None}))
    assert path.read_text() == before


def test_a_steel_can_be_judged_before_there_is_a_blade_or_a_log(tmp_path):
    made = new_steel_study(tmp_path / "discs", "Old discs", use="hedging tool")
    study = load_study(tmp_path / "discs")
    assert (study.title, study.blades, study.verdict) == ("Old discs", (), {"use": "hedging tool"})
    assert (study.rules.id, made.of_steel) == ("sisal_rope", True)
    with pytest.raises(UnusableInput, match="stands here already"):
        new_steel_study(tmp_path / "discs", "Old discs")


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ('protocol = "sisal_rope"\n', "study.toml, blades"),
        ('[[blades]]\nid = "A"\n', "study.toml, protocol"),
    ],
)
def test_any_other_study_still_wants_its_blades_and_its_protocol(tmp_path, text, missing):
    (tmp_path / "study.toml").write_text(f'title = "x"\n{text}', encoding="utf-8")
    with pytest.raises(ManyFaults) as caught:
        load_study(tmp_path)
    assert [fault.where for fault in caught.value.faults] == [missing]


def test_a_title_is_enough_to_begin_with_a_steel(tmp_path):
    (tmp_path / "study.toml").write_text('title = "x"\n', encoding="utf-8")
    assert load_study(tmp_path).of_steel


def test_a_new_study_has_lines_to_fill_in_that_count_where_they_stand(tmp_path):
    """Each with its # away is a fact of the table above it, also when an order was drawn."""
    folder = tmp_path / "study"
    treatments = [{"id": "hard"}, {"id": "soft", "steps": [{"kind": "quench"}]}]
    new_study(folder, "sisal_rope", "kept", blades=["K1"], heat_treatments=treatments)
    change_study(folder, lambda study: study.model_copy(update={"plan": {"order": [["", "K1"]]}}))
    path = folder / "study.toml"
    text = path.read_text().replace("# steps", "steps").replace('# steel = ""', 'steel = "5160"')
    assert text.count('# title = ""') == 2
    text = text.replace('# title = ""', 'title = "t"')
    path.write_text(text)
    study = load_study(folder)
    assert [len(each.steps) for each in study.heat_treatments] == [2, 1]
    assert [each.title for each in study.heat_treatments] == ["t", "t"]
    assert study.blade("K1").steel == "5160"


@pytest.mark.parametrize(("protocol", "asked"), [("lumber_chop", True), ("sisal_rope", False)])
def test_a_new_chop_test_asks_for_the_length_that_chips_by_eye_count_on(tmp_path, protocol, asked):
    new_study(tmp_path / "new", protocol, "New", blades=["H1"])
    text = (tmp_path / "new" / "study.toml").read_text("utf-8")
    assert ("# edge_length_mm =" in text) is asked
    assert text.index("# angle_per_side_deg =") < text.index("# [scale]")
