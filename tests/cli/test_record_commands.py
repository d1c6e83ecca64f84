"""Rows typed at the prompt: on disk at once, never over another, in the history, taken back."""

import json
import tomllib

import pytest


@pytest.fixture
def rope(run, tmp_path):
    folder = tmp_path / "my study"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "H1", "--blade", "S1")
    return folder


@pytest.fixture
def discs(run, tmp_path):
    folder = tmp_path / "discs"
    run("new", folder, "--steel-for", "knife")
    run("enter", folder, "--evidence", "pieces", "id=1", "origin=plough disc")
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
    assert '"7.1" already, "8" was not written' in err
    assert rows(rope) == before


def test_every_fault_of_what_was_typed_is_told(run, rope):
    code, out, err = run("enter", rope, "blade=H9", "cutz=25", "--json")
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


def test_the_chopper_example_of_the_help_works_on_a_new_study(run, hatchet):
    helped = run("enter", "--help")[1]
    (example,) = [line for line in helped.splitlines() if "enter my_hatchet" in line]
    cells = example.split("my_hatchet", 1)[1].split()
    code, out, err = run("enter", hatchet, *cells)
    assert (code, err) == (0, "")
    assert "H1, billet 1" in out
    assert "fault:" not in out


def test_a_piece_given_twice_is_told_to_be_undone_with_all_that_differs(run, hatchet):
    piece = ("blade=H1", "kind=billet", "order=1", "chops=23", "width_mm=50", "thickness_mm=50")
    run("enter", hatchet, *piece, "species=European ash")
    code, _, err = run("enter", hatchet, *piece, "species=Scots pine")
    assert code == 2
    assert 'species says "European ash" already, "Scots pine" was not written' in err
    assert "edgetest undo" in err
    assert "check_no" not in err


@pytest.mark.parametrize(
    ("wood", "words"),
    [("pine", '"pine" means several woods'), ("Scotch pine", '"Scotch pine (softwood)"')],
)
def test_a_wood_that_check_refuses_is_told_at_once(run, hatchet, wood, words):
    piece = ("blade=H1", "kind=billet", "order=1", "chops=23", "width_mm=50", "thickness_mm=50")
    _, out, _ = run("enter", hatchet, *piece, f"species={wood}")
    fault = next(line for line in out.splitlines() if line.startswith("fault:"))
    assert words in fault
    assert fault in run("check", hatchet)[1]


def pieces_of(folder):
    return tomllib.loads((folder / "study.toml").read_text("utf-8"))["evidence"]["pieces"]


def test_a_piece_that_was_noted_is_filled_in_and_not_noted_twice(run, answer, discs):
    words = ("id=1", "coating=none", "sparks=like low", "hardness=61")
    code, out, err = run("enter", discs, "--evidence", "pieces", *words)
    assert (code, err) == (0, "")
    assert 'evidence, pieces, 1, sparks: "like low"' in out
    filled = [{"id": "1", "origin": "plough disc", "coating": "none", "sparks": "like low",
               "hardness": [61]}]  # fmt: skip
    assert pieces_of(discs) == filled
    code, out, _ = run("enter", discs, "--evidence", "pieces", "id=1", "sparks=like_low")
    assert code == 0
    assert "nothing was changed" in out
    assert "undo" not in out
    assert answer("enter", discs, "--evidence", "pieces", "id=1", "coating=no")["change"] is None
    assert pieces_of(discs) == filled
    assert answer("undo", discs)["undone"]
    assert pieces_of(discs) == [{"id": "1", "origin": "plough disc"}]


def test_a_cell_that_says_something_else_is_asked_about_and_replaced_on_word(run, answer, discs):
    run("enter", discs, "--evidence", "pieces", "id=1", "sparks=like low", "hardness=61")
    before = (discs / "study.toml").read_text("utf-8")
    words = ("id=1", "sparks=like high", "magnet=strong", "hardness=55")
    code, out, err = run("enter", discs, "--evidence", "pieces", *words)
    assert (code, out) == (2, "")
    sparks, hardness = err.splitlines()
    assert 'pieces 1 (1), sparks: it says "like low" already, "like high" was not written' in sparks
    assert "--replace" in sparks
    assert "hardness='61; 55'" in hardness  # both may be kept
    assert (discs / "study.toml").read_text("utf-8") == before
    code, _, err = run("enter", discs, "--evidence", "pieces", "id=1", "hardness=61;55")
    assert code == 0, err  # no reading is lost, so nothing is asked
    words = ("id=1", "sparks=like high", "--replace")
    code, _, err = run("enter", discs, "--evidence", "pieces", *words)
    assert code == 0, err
    assert pieces_of(discs)[0]["sparks"] == "like high"
    assert answer("undo", discs)["undone"]
    assert pieces_of(discs)[0]["sparks"] == "like low"
    assert pieces_of(discs)[0]["hardness"] == [61, 55]


def test_a_scale_typed_later_does_not_turn_readings_that_stand_there(run, discs):
    run("enter", discs, "--evidence", "pieces", "id=1", "hardness=60")
    code, _, err = run("enter", discs, "--evidence", "pieces", "id=1", "scale=HV")
    assert code == 2
    assert 'scale: it says "HRC" already' in err


def test_a_piece_whose_id_begins_with_noughts_is_taken_back(run, answer, discs):
    run("enter", discs, "--evidence", "pieces", "id=007", "sparks=like low")
    run("enter", discs, "--evidence", "pieces", "id=007", "magnet=strong")
    assert answer("undo", discs)["undone"]
    assert pieces_of(discs)[1] == {"id": "007", "sparks": "like low"}


@pytest.mark.parametrize(
    "words",
    [("--evidence", "heats", "piece=1", "medium=oil", "--replace"), ("cuts=1", "--replace")],
)
def test_replace_without_anything_to_replace_says_what_goes_instead(run, discs, rope, words):
    folder = discs if "--evidence" in words else rope
    code, _, err = run("enter", folder, *words)
    assert (code, err.count("\n")) == (2, 1)
    assert "--replace" in err
    assert "edgetest undo" in err


def test_the_known_steels_are_told_by_a_command(run, answer, discs):
    steels = ("known_low=mild bar, 0.18 %", "known_high=an old file", "files_hrc=40;50;60")
    code, out, err = run("enter", discs, "--evidence", "known", *steels)
    assert (code, err) == (0, "")
    assert 'known_low: "mild bar, 0.18 %"' in out
    kept = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]
    assert (kept["known_low"], kept["known_high"]) == ("mild bar, 0.18 %", "an old file")
    assert kept["files_hrc"] == [40, 50, 60]
    code, _, err = run("enter", discs, "--evidence", "known", "known_low=a nail")
    assert (code, err.count("\n")) == (2, 1)
    assert "--replace" in err
    code, _, err = run("enter", discs, "--evidence", "known", "known_lo=a nail")
    assert (code, "did you mean known_low" in err) == (2, True)
    code, _, err = run("enter", discs, "--evidence", "pieces", "id=2", "known_low=a nail")
    assert (code, err.count("\n")) == (2, 1)
    assert "--evidence known known_low='a nail'" in err
    assert answer("undo", discs)["undone"]
    assert "known_low" not in tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]


def test_a_bare_temper_that_may_be_fahrenheit_is_asked_about_and_told_in_check(run, answer, discs):
    run("enter", discs, "--evidence", "heats", "piece=1", "coupon=A", "medium=oil", "heat_c=1500F")
    words = ("piece=1", "coupon=A", "hardness_below=60", "temperature_c=400")
    code, out, _ = run("enter", discs, "--evidence", "tempers", *words)
    assert code == 0
    assert "asked: study.toml, evidence, tempers 1, temperature_c: " in out
    assert '400 °F is 204 °C; if it was °F, write "400 °F"' in out
    assert '"400 °F"' in run("check", discs)[1]
    (broken,) = answer("verdict", discs)["contradictions"]
    assert broken["code"] == "hard_after_high_temper"
    assert "400 °F is 204 °C" in broken["text"]
    run("undo", discs)
    code, out, _ = run("enter", discs, "--evidence", "tempers", *words[:-1], "temperature_c=400 F")
    assert code == 0
    assert "asked" not in out
    assert "asked" not in run("check", discs)[1]
    assert answer("verdict", discs)["contradictions"] == []
    code, _, err = run("enter", discs, "--evidence", "heats", "piece=1", "heat_c=1500")
    assert (code, err.count("\n")) == (2, 1)
    assert 'write "1500 °F" if °F was meant' in err


def test_a_hardness_may_name_its_scale_and_is_turned_by_the_table(run, answer, discs):
    words = ("piece=1", "coupon=A", "medium=oil", "hardness_below=697 HV;HRC60;HV 697;60 HRC")
    code, _, err = run("enter", discs, "--evidence", "heats", *words)
    assert code == 0, err
    kept = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["heats"]
    assert kept[0]["hardness_below"] == ["697 HV", "HRC60", "HV 697", "60 HRC"]  # as typed
    assert answer("verdict", discs)["contradictions"] == []  # all four are 60 HRC


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("58.5 HV", "write 58.5 HRC"),
        ("1000 HV", "lies above the table"),
        ("650-700 HV", "write one number in HV"),
        ("90 HRB", "known here: HRC, HV, HB"),
    ],
)
def test_a_hardness_that_no_table_turns_is_refused_in_a_line(run, discs, cell, said):
    code, out, err = run("enter", discs, "--evidence", "heats", "piece=1", f"hardness={cell}")
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert "heats 1, hardness: " in err
    assert said in err


def test_a_scale_of_its_own_key_reaches_no_further_than_the_table(run, discs):
    words = ("piece=1", "hardness=58.5", "scale=HV")
    code, _, err = run("enter", discs, "--evidence", "heats", *words)
    assert (code, err.count("\n")) == (2, 1)
    assert "write 58.5 HRC" in err


def test_a_row_typed_twice_is_told_as_such(run, discs):
    words = ("piece=1", "coupon=A1", "medium=oil")
    run("enter", discs, "--evidence", "heats", *words)
    _, out, _ = run("enter", discs, "--evidence", "heats", *words)
    assert "evidence, heats: once more: piece 1, coupon A1, medium oil" in out


def test_what_the_break_shows_goes_into_the_heat_that_is_named(run, answer, discs):
    heat = ("piece=1", "coupon=A1")
    run("enter", discs, "--evidence", "heats", *heat, "medium=oil", "hardness_below=60-65")
    code, _, err = run("enter", discs, "--evidence", "heats", *heat, "heat=1", "grain=fine")
    assert code == 0, err
    heats = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["heats"]
    assert [(row["medium"], row["grain"]) for row in heats] == [("oil", "fine")]
    code, _, err = run("enter", discs, "--evidence", "heats", *heat, "heat=1", "medium=water")
    assert (code, err.count("\n")) == (2, 1)
    assert 'heats 1, medium: it says "oil" already' in err
    assert "--replace" in err
    words = (*heat, "heat=1", "medium=water", "--replace")
    assert run("enter", discs, "--evidence", "heats", *words)[0] == 0
    assert answer("undo", discs)["undone"]
    heats = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["heats"]
    assert [row["medium"] for row in heats] == ["oil"]
    run("enter", discs, "--evidence", "heats", *heat, "heat=2", "medium=water")
    heats = tomllib.loads((discs / "study.toml").read_text("utf-8"))["evidence"]["heats"]
    assert [row["medium"] for row in heats] == ["oil", "water"]


def test_a_piece_that_differs_in_capitals_alone_is_asked_about(run, discs):
    run("enter", discs, "--evidence", "pieces", "id=disc A")
    code, _, err = run("enter", discs, "--evidence", "pieces", "id=Disc a", "sparks=like low")
    assert (code, err.count("\n")) == (2, 1)
    assert "write id='disc A' if it is the same" in err
    assert [piece["id"] for piece in pieces_of(discs)] == ["1", "disc A"]
