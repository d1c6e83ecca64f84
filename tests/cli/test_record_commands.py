"""Rows typed at the prompt: on disk at once, never over another, in the history, taken back."""

import json
import shlex
import tomllib

import pytest


@pytest.fixture
def rope(run, tmp_path):
    folder = tmp_path / "my study"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "H1", "--blade", "S1")
    return folder


def rows(folder, name="log.csv"):
    return (folder / name).read_text("utf-8").splitlines()


def test_a_reading_fills_the_row_that_waits_for_it(run, rope):
    before = len(rows(rope))
    code, out, _ = run("enter", rope, "blade=H1", "cuts=25", "station_mm=20", "edge_width_um=7,1")
    assert code == 0
    assert "H1, 25 cuts, station 20 mm: saved edge width 7" in out
    assert f"edgetest undo '{rope}'" in out  # a path with a blank is quoted
    assert len(rows(rope)) == before
    assert [row for row in rows(rope) if row.startswith("H1,25,20") and "7.1" in row]


def test_a_second_reading_is_refused_with_both_and_nothing_is_written(run, rope):
    run("enter", rope, "blade=H1", "cuts=25", "station_mm=20", "edge_width_um=7.1")
    before = rows(rope)
    code, out, err = run("enter", rope, "blade=H1", "cuts=25", "station_mm=20", "edge_width_um=8")
    assert code == 2
    assert out == ""
    assert '"7.1" already, "8" was not written; if that row is wrong, enter it with --repl' in err
    assert rows(rope) == before
    words = ("blade=H1", "cuts=25", "station_mm=20", "edge_width_um=8", "--replace")
    code, out, _ = run("enter", rope, *words)
    assert code == 0
    assert "corrected edge width 7.1 → 8 µm\nTake it back with:  edgetest undo" in out


def test_a_cell_that_says_what_was_typed_is_no_fault_beside_one_that_does_not(run, rope):
    words = ("enter", rope, "blade=H1", "cuts=25", "station_mm=20", "date=2026-11-27")
    run(*words, "edge_width_um=7.1")
    code, _, err = run(*words, "edge_width_um=8")
    assert code == 2
    assert '"8" was not written' in err
    assert "date" not in err
    _, _, err = run(*words, "edge_width_um=7.1")
    assert "all of this stands there already" in err


def test_every_fault_of_what_was_typed_is_told(run, rope):
    code, out, err = run("enter", rope, "blade=H9", "cutz=25", "stashun_mm=20", "--json")
    assert code == 2
    found = json.loads(out)["fault"]
    assert all(set(each) == {"what", "where", "mend"} for each in found)
    assert len(found) == 2
    assert 'did you mean "cuts"' in err
    assert "edgetest check" not in err  # what was not written is in no file to check
    for words in (("blade",), ("blade=H1", "blade=S1")):
        code, _, err = run("enter", rope, *words)
        assert code == 2
        assert "edgetest enter" in err


def test_undo_takes_back_the_last_and_history_keeps_both(run, answer, rope):
    run("enter", rope, "blade=H1", "cuts=0", "station_mm=20", "edge_width_um=2.4")
    before = rows(rope)
    run("enter", rope, "blade=S1", "cuts=0", "station_mm=20", "edge_width_um=2.6")
    code, out, _ = run("undo", rope, "--dry-run")
    assert code == 0
    assert out.startswith("would be taken back: log.csv")
    assert answer("undo", rope)["change"]["after"]["edge_width_um"] == "2.6"
    assert rows(rope) == before
    told = answer("history", rope)["changes"]
    assert [each["what"] for each in told] == ["append", "append", "undo"]
    assert answer("undo", rope)["undone"]
    code, _, err = run("undo", rope)
    assert code == 2
    assert "nothing was entered" in err


def test_a_change_in_the_file_is_told_and_not_taken_back(run, answer, rope):
    path = rope / "log.csv"
    run("enter", rope, "blade=H1", "cuts=0", "station_mm=20", "edge_width_um=2.4")
    path.write_text(path.read_text("utf-8").replace("2.4", "2.5"), "utf-8")
    last = answer("history", rope)["changes"][-1]
    assert last["in_the_program"] is False
    assert "2.4 → 2.5" in last["summary"]
    code, _, err = run("undo", rope)
    assert code == 2
    assert "changed since" in err


def test_evidence_is_entered_checked_and_taken_back(run, answer, discs):
    words = ["piece=1", "coupon=A1", "medium=oil", "heat_c=820", "hardness_below=60-65;61"]
    code, out, _ = run("enter", discs, "--evidence", "heats", *words)
    assert code == 0
    assert "new: piece 1, coupon A1" in out
    kept = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["heats"]
    assert kept == [{"piece": "1", "coupon": "A1", "medium": "oil", "heat_c": 820,
                     "hardness_below": ["60-65", 61]}]  # fmt: skip
    before = (discs / "study.toml").read_text("utf-8")
    code, _, err = run("enter", discs, "--evidence", "heats", "piece=1", "mediun=oil")
    assert code == 2
    assert "did you mean medium" in err
    assert (discs / "study.toml").read_text("utf-8") == before
    assert answer("undo", discs)["undone"]
    assert "heats" not in tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]


def test_evidence_of_a_piece_that_nobody_noted_is_refused(run, discs):
    assert run("enter", discs, "--evidence", "pieces", "id=disc A", "origin=plough disc")[0] == 0
    before = (discs / "study.toml").read_text("utf-8")
    code, out, err = run("enter", discs, "--evidence", "heats", "piece=dsc A", "coupon=A1",
                         "medium=oil", "heat_c=820")  # fmt: skip
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert 'the piece "dsc A" was not noted yet; did you mean "disc A"? ' in err
    assert "--evidence pieces id='dsc A'" in err
    assert (discs / "study.toml").read_text("utf-8") == before
    code, _, err = run("enter", discs, "--evidence", "heats", "piece=disc A", "coupon=A1",
                       "medium=oil", "heat_c=820")  # fmt: skip
    assert code == 0, err


def test_a_study_of_steel_has_no_log_to_enter_into(run, discs):
    code, _, err = run("enter", discs, "blade=H1", "cuts=1")
    assert code == 2
    assert "--evidence pieces, heats" in err


def test_a_chopped_piece_is_entered(run, tmp_path):
    folder = tmp_path / "hatchet"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1")
    code, out, err = run("enter", folder, "blade=H1", "kind=billet", "order=1", "chops=23",
                         "width_mm=50", "thickness_mm=50")  # fmt: skip
    assert code == 0, err
    assert "chops.csv, row" in out
    assert "sever 23" in out
    assert any(",23," in row for row in rows(folder, "chops.csv"))


def test_no_is_a_word_where_the_guide_has_it_as_one(run, discs):
    words = ("id=disc A", "coating=no", "lead=no", "loaded_spring=no")
    assert run("enter", discs, "--evidence", "pieces", *words)[0] == 0
    kept = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["pieces"][-1]
    assert (kept["lead"], kept["loaded_spring"]) == ("no", False)


@pytest.fixture
def hatchet(run, tmp_path):
    folder = tmp_path / "my_hatchet"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1")
    return folder


def test_the_chopper_examples_of_the_help_work_on_a_new_study(run, hatchet):
    helped = run("enter", "--help")[1]
    examples = [line for line in helped.splitlines() if "enter my_hatchet" in line]
    for number, example in enumerate(examples, 1):
        cells = shlex.split(example.split("my_hatchet", 1)[1])
        code, out, err = run("enter", hatchet, *cells)
        assert (code, err) == (0, "")
        assert f"H1, billet {number}" in out
        assert "fault:" not in out
    assert number == 2
    assert ",split lengthwise before it was severed," in (hatchet / "chops.csv").read_text()


def test_a_piece_given_twice_is_told_to_be_replaced_with_all_that_differs(run, hatchet):
    piece = ("blade=H1", "kind=billet", "order=1", "chops=23", "width_mm=50", "thickness_mm=50")
    run("enter", hatchet, *piece, "species=European ash")
    code, _, err = run("enter", hatchet, *piece, "species=Scots pine")
    assert code == 2
    assert 'species says "European ash" already, "Scots pine" was not written' in err
    assert "enter it with --replace" in err
    code, out, _ = run("enter", hatchet, *piece, "species=Scots pine", "--replace")
    assert (code, "corrected wood European ash → Scots pine" in out) == (0, True)
    assert "check_no" not in err


@pytest.mark.parametrize(
    ("wood", "words"),
    [("pine", '"pine" means several woods'), ("Scotch pine", '"Scotch pine (softwood)"')],
)
def test_a_wood_that_check_refuses_is_not_saved(run, hatchet, wood, words):
    piece = ("blade=H1", "kind=billet", "order=1", "chops=23", "width_mm=50", "thickness_mm=50")
    before = (hatchet / "chops.csv").read_bytes()
    code, out, err = run("enter", hatchet, *piece, f"species={wood}")
    assert (code, "saved" in out) == (2, False)
    assert words in err
    assert (hatchet / "chops.csv").read_bytes() == before
    assert run("enter", hatchet, *piece, "species=Scots pine")[0] == 0
    stands = (hatchet / "chops.csv").read_bytes()
    code, _, err = run("enter", hatchet, *piece, f"species={wood}", "--replace")
    assert (code, words in err) == (2, True)
    assert (hatchet / "chops.csv").read_bytes() == stands


BY_HAND = """
title = "trial hatchet"
protocol = "billet_chop"
reference = "R1"
[[blades]]
id = "H1"
[[blades]]
id = "R1"
"""
CHOPPED = ("kind=billet", "order=1", "chops=21", "width_mm=50", "thickness_mm=50")


def test_the_first_piece_begins_the_chop_log_of_a_study_that_was_written_by_hand(run, tmp_path):
    (tmp_path / "study.toml").write_text(BY_HAND, encoding="utf-8")
    _, _, err = run("check", tmp_path)
    assert "type the first piece with `edgetest enter`, which begins one" in err
    code, _, err = run("enter", tmp_path, "blade=H1", *CHOPPED, "wood=European ash")
    assert code != 0
    assert 'did you mean "species"?' in err
    assert not (tmp_path / "chops.csv").exists()
    code, _, err = run("enter", tmp_path, "blade=H1", *CHOPPED, "species=European ash")
    assert (code, err) == (0, "")
    heading, row = (tmp_path / "chops.csv").read_text(encoding="utf-8").splitlines()
    assert heading.startswith("blade,")
    assert row.startswith("H1,")
    assert "European ash" in row
