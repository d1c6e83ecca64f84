"""Evidence of a steel at the prompt: blanks filled, nothing overwritten unasked, units as typed."""

import re
import tomllib

import pytest

from edgetest.study.steel.enter_evidence import KNOWN, RECORDS
from edgetest.study.steel.steel_rows import KnownSteels
from tests.cli.evidence_rows import rows_of


@pytest.fixture
def rope(run, tmp_path):
    folder = tmp_path / "my study"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "H1", "--blade", "S1")
    return folder


def test_a_piece_that_was_noted_is_filled_in_and_not_noted_twice(run, answer, discs):
    words = ("id=1", "coating=none", "sparks=like low", "hardness=61")
    code, out, err = run("enter", discs, "--evidence", "pieces", *words)
    assert (code, err) == (0, "")
    assert 'evidence, pieces, 1, sparks: "like low"' in out
    filled = [{"id": "1", "origin": "plough disc", "coating": "none", "sparks": "like low",
               "hardness": [61]}]  # fmt: skip
    assert rows_of(discs, "pieces") == filled
    code, out, _ = run("enter", discs, "--evidence", "pieces", "id=1", "sparks=like_low")
    assert code == 0
    assert "nothing was changed" in out
    assert "undo" not in out
    assert answer("enter", discs, "--evidence", "pieces", "id=1", "coating=no")["change"] is None
    assert rows_of(discs, "pieces") == filled
    assert answer("undo", discs)["undone"]
    assert rows_of(discs, "pieces") == [{"id": "1", "origin": "plough disc"}]


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
    assert rows_of(discs, "pieces")[0]["sparks"] == "like high"
    assert answer("undo", discs)["undone"]
    assert rows_of(discs, "pieces")[0]["sparks"] == "like low"
    assert rows_of(discs, "pieces")[0]["hardness"] == [61, 55]


def test_a_scale_typed_later_does_not_turn_readings_that_stand_there(run, discs):
    run("enter", discs, "--evidence", "pieces", "id=1", "hardness=60")
    code, _, err = run("enter", discs, "--evidence", "pieces", "id=1", "scale=HV")
    assert code == 2
    assert 'scale: it says "HRC" already' in err


def test_a_piece_whose_id_begins_with_noughts_is_taken_back(run, answer, discs):
    run("enter", discs, "--evidence", "pieces", "id=007", "sparks=like low")
    run("enter", discs, "--evidence", "pieces", "id=007", "magnet=strong")
    assert answer("undo", discs)["undone"]
    assert rows_of(discs, "pieces")[1] == {"id": "007", "sparks": "like low"}


def test_replace_without_anything_to_replace_says_what_goes_instead(run, discs):
    heat = ("--evidence", "heats", "piece=1", "medium=oil", "--replace")
    code, _, err = run("enter", discs, *heat)
    assert (code, err.count("\n")) == (2, 1)
    assert "--replace" in err
    assert "--remove takes a row out" in err


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
    heat = ("piece=1", "coupon=A", "medium=oil", "heat_c=1500F", "hardness_below=62")
    run("enter", discs, "--evidence", "heats", *heat)
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
    assert "the new row of heats, hardness: " in err
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
    assert [piece["id"] for piece in rows_of(discs, "pieces")] == ["1", "disc A"]


@pytest.mark.parametrize(
    "typed", ["40 45 62.5", "40;45; 62.5", "40, 45, 62.5", "40,45,62.5 HRC", "40 45 62,5"]
)
def test_a_set_of_files_is_typed_with_whatever_stands_between(run, discs, typed):
    code, _, err = run("enter", discs, "--evidence", "known", f"files_hrc={typed}")
    assert (code, err) == (0, "")
    study = tomllib.loads((discs / "study.toml").read_text("utf-8"))
    assert study["evidence"]["files_hrc"] == [40, 45, 62.5]


@pytest.mark.parametrize(
    ("typed", "told"),
    [("40-65", '"40-65" is not a set of files; name each file: files_hrc='),
     ("40 45 75", "75 HRC is off the C scale, 20 to 70 HRC; write what stands on the file")],
)  # fmt: skip
def test_what_is_no_set_of_files_is_refused_in_a_line(run, discs, typed, told):
    code, _, err = run("enter", discs, "--evidence", "known", f"files_hrc={typed}")
    assert code != 0
    assert "study.toml, evidence, files_hrc" in err
    assert told in err


def test_a_blank_cell_takes_out_what_stands_there_only_with_replace(run, tmp_path):
    folder = tmp_path / "tines"
    run("new", folder, "--steel-for", "chopper")
    run("enter", folder, "--evidence", "pieces", "id=T1", "origin=harrow tine", "makes_blades=1")
    cells = ("enter", folder, "--evidence", "pieces", "id=T1", "makes_blades=")
    code, _, err = run(*cells)
    assert code != 0
    assert "makes_blades= takes nothing out" in err
    assert "makes_blades = 1" in (folder / "study.toml").read_text(encoding="utf-8")
    code, out, _ = run(*cells, "--replace")
    assert code == 0
    assert "all of it stands there already" not in out
    assert "makes_blades" not in (folder / "study.toml").read_text(encoding="utf-8")
    assert run("undo", folder)[0] == 0
    assert "makes_blades = 1" in (folder / "study.toml").read_text(encoding="utf-8")


def test_a_hardness_with_a_comma_before_two_digits_is_never_read_as_hundredths(run, tmp_path):
    folder = tmp_path / "tines"
    run("new", folder, "--steel-for", "chopper")
    run("enter", folder, "--evidence", "pieces", "id=T1")
    code, _, err = run("enter", folder, "--evidence", "heats", "piece=T1", "hardness_below=60,65")
    assert code != 0
    assert "write 60-65 for a bracket of files" in err


def test_the_help_lists_every_key_of_every_table_of_evidence(run):
    _, out, _ = run("enter", "--help")
    told = " ".join(out.partition("Keys by table")[2].partition("Example:")[0].split())
    assert "a trial blade that is not among them is a coupon, as coupon=blade1" in told
    told = re.sub(r" \([^)]*\)", "", told)
    tables = told.partition("that are. ")[2].removesuffix("; all: note.").split("; ")
    keys = {
        name: set(more.split(", ")) for name, _, more in (one.partition(": ") for one in tables)
    }
    read = {"hardness", "hardness_skin", "hardness_below", "scale", "exclude"}
    assert keys["all but trials and known"] == read
    assert told.endswith("; all: note.")
    for name, record in {**RECORDS, KNOWN: KnownSteels}.items():
        also = {"temperature_f"} if name == "tempers" else set()
        assert keys[name] == set(record.model_fields) - read - {"note"} | also


def test_text_is_taken_with_quotes_and_without_and_no_fault_speaks_of_quotes(run, discs):
    chop = ("enter", discs, "--evidence", "trials", "piece=1", "coupon=A1", "test=chop")
    for note in ("note=wet oak", 'note="wet oak"', "note='wet oak'"):
        assert run(*chop, "edge=rolled", note, "beside=12", "day=20261114")[0] == 0
    rows = rows_of(discs, "trials")
    assert {row["note"] for row in rows} == {"wet oak"}
    assert {row["beside"] for row in rows} == {"12"}
    code, _, err = run(*chop, "edge=sound", "strokes=60 strokes")
    assert code == 2
    assert '"60 strokes" is not a whole number; write digits without a point' in err
    assert "quotes" not in err


def test_a_new_study_of_a_steel_asks_how_many_blades_are_wanted(run, tmp_path):
    _, told, *_ = run("new", tmp_path / "tines", "--steel-for", "camp hatchet")
    assert "Write blades_wanted under [verdict] in study.toml" in told
    assert "One study judges one use: for another, copy the folder" in told
    assert "blades_wanted" in run("enter", "--help")[1]
