"""What is typed at the prompt: cells, where a row of chopping goes, which change an undo takes."""

import json
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ChopRow
from edgetest.store.history import HISTORY_FILE, IN_THE_FILE, Change
from edgetest.study import enter_rows as module
from edgetest.study.enter_rows import (
    asked_of,
    cells_of,
    change_document,
    change_told,
    history_lines,
    last_of_all,
)


def test_cells_are_columns_and_what_stands_behind_the_first_equals_sign():
    assert cells_of([" Blade =H1 ", "note=a=b", "cuts="]) == {
        "blade": "H1", "note": "a=b", "cuts": "",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "fault"),
    [(["blade"], '"blade" has no ='), (["=5"], '"=5" has nothing before its ='),
     (["note=hit", "a", "knot", "cuts=5"], "stands in quotes: 'note=hit a knot'"),
     (["section_mm=1/4", "in"], "a value with a blank in it stands in quotes: 'section_mm=1/4 in'"),
     (["cuts=1", "Cuts=2"], "cuts stands twice")],
)  # fmt: skip
def test_a_word_that_is_no_cell_is_refused(words, fault):
    with pytest.raises(UnusableInput, match=fault):
        cells_of(words)


def test_a_fact_of_a_blade_is_no_row_of_its_log(run, tmp_path):
    folder = tmp_path / "rope"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "A1", "--blade", "B1")
    before = (folder / "log.csv").read_bytes()
    for replace in ((), ("--replace",)):
        code, _, err = run("enter", folder, "blade=B1", "heat_treatment=one_temper", *replace)
        assert code == 2
        assert "study.toml, blades, B1: heat_treatment: of a blade, not of a row of its log" in err
    assert (folder / "log.csv").read_bytes() == before


def test_the_heat_treatment_beside_a_reading_is_a_cell_of_a_wear_log(run, tmp_path):
    folder = tmp_path / "rope"
    run("new", folder, "--protocol", "sisal_rope", "--blade", "A1", "--blade", "B1")
    row = ("blade=B1", "cuts=0", "heat_treatment=one_temper", "sever_force_gf=150")
    code, _, err = run("enter", folder, *row)
    assert code == 2  # the log and study.toml would differ
    assert 'blade B1 has the heat treatment "one_temper" here' in err
    study = folder / "study.toml"
    named = '\n\n[[heat_treatments]]\nid = "one_temper"\n'
    text = study.read_text("utf-8").replace('id = "B1"', 'id = "B1"\nheat_treatment = "one_temper"')
    study.write_text(text + named, encoding="utf-8")
    code, _, err = run("enter", folder, *row)
    assert code == 0, err


def piece(line, kind="billet", order=None, blade="A", *, done=True):
    return ChopRow(line, blade, kind, order, result="pass" if done else "")


def told(monkeypatch, mine, *rows, before=None, table="chops"):
    every = sorted((*rows, mine), key=lambda row: row.line)
    source = SimpleNamespace(chops=SimpleNamespace(rows=every), study=None,
                             log=SimpleNamespace(rows=()),
                             protocol=SimpleNamespace(closing=("shave",)))  # fmt: skip
    monkeypatch.setattr(module, "open_source", lambda _: source)
    monkeypatch.setattr(module, "asked_about", lambda _: [])
    monkeypatch.setattr(module, "asked_of_last", lambda *_, **__: ())
    monkeypatch.setattr(module, "_faults_of_piece", lambda *_: [])
    return asked_of("x", Change("append", table, mine.line, before, {}, ""))


def test_a_row_that_was_put_above_others_says_where(monkeypatch):
    (said,) = told(monkeypatch, piece(3), piece(4, order=2), piece(5, order=3))
    assert "it was put above row 4 (A, billet 2); was it done at another time, move row 3" in said
    (look,) = told(monkeypatch, piece(3, "inspection"), piece(4, "shave"))
    assert "above row 4 (A, shave)" in look


@pytest.mark.parametrize(
    ("mine", "rows", "more"),
    [
        (piece(3), [piece(4, blade="B")], {}),
        (piece(3, "shave"), [piece(4)], {}),
        (piece(3), [piece(4)], {"before": {"x": "y"}}),
        (piece(3), [piece(4)], {"table": "log"}),
        (piece(5), [piece(3), piece(4)], {}),
    ],
)
def test_a_row_at_its_end_or_of_another_kind_says_nothing(monkeypatch, mine, rows, more):
    assert told(monkeypatch, mine, *rows, **more) == ()


@pytest.mark.parametrize(
    ("above", "closed"),
    [
        ([piece(2), piece(3, "shave")], True),
        ([piece(3, "shave")], False),  # nothing was chopped before it: it closes nothing
        ([piece(2, "shave"), piece(3)], False),
        ([piece(2), piece(3, "shave", done=False)], False),
        ([piece(2, done=False), piece(3, "shave")], False),
        ([piece(2), piece(3, "bend")], False),
        ([piece(2), piece(3, "shave", blade="B")], False),
    ],
)
def test_a_piece_below_a_closing_test_is_asked_about(monkeypatch, above, closed):
    said = told(monkeypatch, piece(9), *above)
    assert len(said) == closed
    assert all(
        "it stands below row 3 (A, shave); was it chopped before that" in one for one in said
    )
    assert told(monkeypatch, piece(9, "inspection"), *above) == ()


def test_questions_of_the_row_itself_are_told(monkeypatch):
    source = SimpleNamespace(chops=None, study=None, log=SimpleNamespace(rows=()))
    asked = [SimpleNamespace(row=3, __str__=None), SimpleNamespace(row=4)]
    monkeypatch.setattr(module, "open_source", lambda _: source)
    monkeypatch.setattr(module, "asked_about", lambda _: asked)
    found = asked_of("x", Change("append", "log", 4, None, {}, ""))
    assert found == (f"asked: {asked[1]}",)
    assert asked_of("x", None) == ()


def history(folder, *changes):
    lines = [json.dumps(vars(one)) for one in changes]
    (folder / HISTORY_FILE).write_text("\n".join(lines) + "\n", "utf-8")


def change(what="append", table="log", row=2, after=None):
    return Change(what, table, row, None, after or {"blade": "A", "cuts": str(row)}, "2026-01-05")


def test_the_last_of_all_tables_is_what_an_undo_takes(tmp_path):
    assert last_of_all(tmp_path) is None
    log, chops, facts = change(), change(table="chops"), change("facts", "study", 0, {"title": "x"})
    history(tmp_path, log, facts, chops)
    assert last_of_all(tmp_path) == chops
    history(tmp_path, chops, log, facts)
    assert last_of_all(tmp_path) == facts
    history(tmp_path, log, facts, chops, change("undo", "chops"))
    assert last_of_all(tmp_path) == facts
    history(tmp_path, log, change("undo"))
    assert last_of_all(tmp_path) is None


def test_a_change_is_told_by_its_file_and_row(tmp_path, monkeypatch):
    rules = SimpleNamespace(readings=[])
    monkeypatch.setattr(module, "load_study", lambda _: SimpleNamespace(rules=rules))
    assert change_told(tmp_path, None).startswith("all of it stands there already")
    facts = Change("facts", "study", 0, {"title": "a"}, {"title": "b"}, "")
    assert change_told(tmp_path, facts) == 'study.toml: title: "a" → "b"'
    said = change_told(tmp_path, Change("append", "chops", 7, None, {"blade": "A"}, ""))
    assert said.startswith("chops.csv, row 7: A")
    assert change_document(change())["in_the_program"] is True
    assert change_document(change("in the file"))["in_the_program"] is False


def test_many_rows_of_one_change_in_the_file_are_told_by_the_first_of_them():
    """A column that got another name changed every row; what was typed stands row by row."""
    when = "2026-05-02 08:00"
    renamed = [(when, Change(IN_THE_FILE, "log", n, {}, {}, ""), f"row {n}") for n in range(2, 42)]
    typed = [(when, Change("append", "log", n, None, {}, ""), f"typed {n}") for n in range(42, 62)]
    lines = history_lines([*renamed, *typed])
    assert lines[:5] == [f"{when} UTC  row {n}" for n in range(2, 7)]
    assert lines[5] == (
        f"{when} UTC  and 35 more rows of the same change in the file; --json lists them all"
    )
    assert lines[6:] == [f"{when} UTC  typed {n}" for n in range(42, 62)]
    assert len(history_lines(renamed[:6])) == 6  # one more is told as it is


def test_a_row_of_blanks_is_told_as_nothing_to_enter(run, tmp_path):
    run("new", tmp_path / "s", "--protocol", "billet_chop", "--blade", "H1")
    before = (tmp_path / "s" / "chops.csv").read_bytes()
    code, _, err = run("enter", tmp_path / "s", "note=", "mishap= ")
    assert code == 2
    assert "the new row: nothing stands behind note= and mishap=; write the value there" in err
    assert (tmp_path / "s" / "chops.csv").read_bytes() == before


def test_a_later_piece_of_a_weighed_board_is_no_fault(run, tmp_path):
    run("new", tmp_path / "s", "--protocol", "billet_chop", "--blade", "A")
    (tmp_path / "s" / "chops.csv").write_text(
        "blade,kind,order,board,species,moisture_pct,diameter_mm,length_mm,mass_g,chops\n"
        "A,billet,1,b1,blackthorn (hardwood),12,40,300,300,9\n"
    )
    piece = ("blade=A", "kind=billet", "species=blackthorn (hardwood)", "moisture_pct=12",
             "diameter_mm=40", "chops=10")  # fmt: skip
    _, weighed, _ = run("enter", tmp_path / "s", *piece, "order=2", "board=b1")
    _, bare, _ = run("enter", tmp_path / "s", *piece, "order=3", "board=b2")
    assert "fault:" not in weighed, weighed
    assert "fault: chops.csv, row 4, density_kg_m3" in bare


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["note="], "nothing stands behind note=; write the value there"),
        ([], "it names its row (blade=H1, cuts=0), and nothing that was read; add a reading"),
    ],
)
def test_a_row_of_a_cut_test_that_says_nothing_is_not_saved(run, tmp_path, cells, said):
    run("new", tmp_path / "s", "--protocol", "sisal_rope", "--blade", "H1")
    before = (tmp_path / "s" / "log.csv").read_bytes()
    code, out, err = run("enter", tmp_path / "s", "blade=H1", "cuts=0", *cells)
    assert (code, out) == (2, "")
    assert f"the new row: {said}" in err
    assert (tmp_path / "s" / "log.csv").read_bytes() == before


def test_a_touch_up_of_a_chop_log_says_all_by_its_kind(run, tmp_path):
    run("new", tmp_path / "s", "--protocol", "billet_chop", "--blade", "H1")
    code, out, _ = run("enter", tmp_path / "s", "blade=H1", "kind=touch-up")
    assert (code, "saved" in out) == (0, True)
