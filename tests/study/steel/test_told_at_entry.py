"""What a maker is told on entering a row of evidence: how a size was read, and a soft skin."""

import pytest

PIECE = ("id=A", "origin=leaf spring", "coating=none", "lead=no", "magnet=strong")


@pytest.fixture
def entered(run, tmp_path):
    """Enter one row into a study of one piece; the lines it answers with."""
    folder = tmp_path / "spring"
    run("new", folder, "--steel-for", "chopper")
    run("enter", folder, "--evidence", "pieces", *PIECE)

    def enter(table, *cells):
        code, out, err = run("enter", folder, "--evidence", table, *cells)
        assert code == 0, err
        return out.splitlines()

    return enter


def told(lines, kind):
    return [line for line in lines if line.startswith(f"{kind}: ")]


def test_a_size_in_another_unit_is_said_in_the_keys_own(entered):
    cells = ("piece=A", "coupon=1", "heat_c=1475 °F", "section_mm=1/4 in", "soak_min=5 min")
    heat, section = told(entered("heats", *cells), "read")
    assert heat == "read: study.toml, evidence, heats 1, heat_c: 1475 °F is 802 °C"
    assert section.endswith("section_mm: 1/4 in is 6.35 mm")
    (temper,) = told(entered("tempers", "piece=A", "coupon=1", "temperature_f=400"), "read")
    assert temper.endswith("tempers 1, temperature_c: 400 °F is 204 °C")


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (("id=T6", "sparks=between"), "T6 is a new piece beside A"),
        (("id=T6", "lot=other"), None),
        (("id=A", "sparks=between"), None),
    ],
)
def test_a_new_piece_beside_others_is_asked_about_once_written(entered, cells, said):
    asked = told(entered("pieces", *cells), "asked")
    assert [said in line and "edgetest undo" in line for line in asked] == [True] * bool(said)


def test_what_stood_in_the_keys_own_unit_is_not_read_out(entered):
    lines = entered("heats", "piece=A", "heat_c=820 °C", "section_mm=6,5 mm", "medium_c=60")
    assert told(lines, "read") == []


@pytest.mark.parametrize("cell", ["hardness_skin=<40", "hardness=bites all", "hardness=45"])
def test_a_soft_reading_of_no_ground_surface_tells_of_the_skin(entered, cell):
    (mind,) = told(entered("heats", "piece=A", "coupon=1", "heat=1", cell), "mind")
    assert "evidence, heats 1: " in mind
    assert "carbon from the skin" in mind
    assert "hardness_below" in mind
    lines = entered("heats", "piece=A", "coupon=1", "heat=1", "hardness_below=60-65")
    assert told(lines, "mind") == []


@pytest.mark.parametrize("cell", ["hardness_skin=60-65", "hardness=>65", "hardness_below=<40"])
def test_a_hard_reading_or_one_below_the_skin_tells_nothing_of_it(entered, cell):
    assert told(entered("heats", "piece=A", cell), "mind") == []


def test_a_heat_that_is_filled_in_is_asked_about_as_a_new_one_is(entered):
    entered("heats", "piece=A", "coupon=1", "medium=oil")
    lines = entered("heats", "piece=A", "coupon=1", "heat=1", "medium_c=140")
    assert "evidence, heats 1, medium_c: 140" in lines[0]  # counted from 1, as in the question
    (asked,) = told(lines, "asked")
    assert "evidence, heats 1, medium_c: a tank of oil at 140 °C" in asked


def test_questions_of_other_rows_are_not_asked_again(entered):
    assert told(entered("heats", "piece=A", "coupon=1", "heat_c=1200"), "asked")
    assert told(entered("heats", "piece=A", "coupon=2", "heat_c=820"), "asked") == []


@pytest.mark.parametrize(
    ("table", "cells", "said"),
    [
        ("heats", ("soak_min=1",), "a soak of 1 min"),
        ("tempers", ("temperature_c=200", "time_min=1"), "a temper of 1 min"),
        ("tempers", ("temperature_c=200", "time_min=2"), "a temper of 2 min"),
    ],
)
def test_so_few_minutes_that_hours_may_be_meant_are_asked_about(entered, table, cells, said):
    entered("heats", "piece=A", "coupon=1", "heat=1", "hardness_below=60-65")
    (asked,) = told(entered(table, "piece=A", "coupon=1", *cells), "asked")
    assert said in asked
    assert 'h"; if it was minutes, write "' in asked


def test_minutes_with_their_unit_are_not_asked_about(entered):
    heat = ("piece=A", "coupon=1", "soak_min=1 min", "hardness_below=60-65")
    assert told(entered("heats", *heat), "asked") == []
    cells = ("piece=A", "coupon=1", "temperature_c=200", "time_min=1 h")
    assert told(entered("tempers", *cells), "asked") == []


def test_a_trial_whose_heat_or_temper_is_not_written_down_is_asked_about(entered):
    trial = ("piece=A", "coupon=K", "test=rope", "beside=B9", "result=same")
    (asked,) = told(entered("trials", *trial), "asked")
    assert "trials 1: coupon K has no heat" in asked
    entered("heats", "piece=A", "coupon=K", "medium=oil", "heat_c=820")
    (asked,) = told(entered("trials", *trial[:-1], "result=better"), "asked")
    assert "trials 2: coupon K has no temper" in asked
    entered("tempers", "piece=A", "coupon=K", "temperature_c=200", "time_min=60")
    assert told(entered("trials", *trial[:-1], "result=worse"), "asked") == []


def test_a_trial_that_names_no_coupon_is_asked_about_where_there_are_several(entered):
    for coupon in "12":
        entered("heats", "piece=A", f"coupon={coupon}", "medium=oil", "heat_c=820")
        entered("tempers", "piece=A", f"coupon={coupon}", "temperature_c=200")
    (asked,) = told(entered("trials", "piece=A", "test=rope", "edge=sound"), "asked")
    assert "which coupon or blade was tried is not said" in asked


def test_a_temper_that_names_no_coupon_is_of_the_only_one_of_its_piece(entered):
    entered("pieces", "id=B")
    for piece, coupon in (("A", "K"), ("B", "M")):
        entered("heats", f"piece={piece}", f"coupon={coupon}", "medium=oil", "heat_c=820")
    (read,) = told(entered("tempers", "piece=A", "temperature_c=200", "time_min=60"), "read")
    assert read.endswith("evidence, tempers 1: taken as of coupon K, heat 1")
    assert (
        told(entered("trials", "piece=A", "test=rope", "beside=B9", "result=same"), "asked") == []
    )
    (asked,) = told(entered("trials", "piece=B", "test=rope", "beside=B9", "result=same"), "asked")
    assert "coupon M has no temper" in asked


SAME_HEAT = ("piece=A", "coupon=K", "medium=oil", "soak_min=5", "hardness_below=60-65")


def test_a_second_heat_told_as_the_first_is_asked_about_at_once(entered):
    assert told(entered("heats", *SAME_HEAT, "heat_c=810"), "asked") == []
    (asked,) = told(entered("heats", *SAME_HEAT, "heat_c=1490 °F"), "asked")
    assert "evidence, heats 2" in asked
    assert "heat=2" in asked
    assert told(entered("heats", *SAME_HEAT, "heat_c=850"), "asked") == []


def test_a_temper_told_twice_is_asked_about_at_once(entered):
    entered("heats", *SAME_HEAT)
    temper = ("piece=A", "coupon=K", "temperature_c=200", "time_min=60", "hardness=60")
    assert told(entered("tempers", *temper), "asked") == []
    (asked,) = told(entered("tempers", *temper), "asked")
    assert "evidence, tempers 2" in asked


def test_a_piece_that_makes_no_blade_is_asked_about_at_once(entered):
    (asked,) = told(entered("pieces", "id=A", "makes_blades=0"), "asked")
    assert "evidence, pieces 1 (A), makes_blades" in asked
    assert "pays for no test" in asked


def test_sparks_between_beside_one_known_steel_are_asked_about_at_once(entered):
    assert told(entered("pieces", "id=A", "sparks=between"), "asked") == []
    (asked,) = told(entered("known", "known_low=mild bar"), "asked")
    said = 'pieces 1 (A), sparks: "between" needs a known high-carbon steel beside it'
    assert said in asked
    both = told(entered("pieces", "id=B", "sparks=between"), "asked")
    assert any(said.replace("1 (A)", "2 (B)") in one for one in both)
    assert told(entered("known", "known_high=an old file"), "asked") == []


def test_a_quarter_inch_typed_as_millimetres_is_asked_about(entered):
    (asked,) = told(entered("heats", "piece=A", "section_mm=0.25"), "asked")
    assert "0.25 in is 6.35 mm" in asked
    assert told(entered("heats", "piece=A", "coupon=2", "section_mm=0.25 mm"), "asked") == []


def test_a_new_piece_of_a_lot_that_is_named_is_not_asked_about(entered):
    entered("pieces", "id=T1", "lot=tines")
    assert told(entered("pieces", "id=T2", "lot=tines"), "asked") == []


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("hatchet", "a chopper"),
        ("knife", "a knife"),
        ("chisels", "a chisel"),
        ("draw knife", "a chisel (it shaves wood, as a chisel does, and a chisel asks a tougher "
         "steel)"),
        ("Drawknives", "a chisel (it shaves wood, as a chisel does, and a chisel asks a tougher "
         "steel)"),
    ],
)  # fmt: skip
def test_a_new_study_says_as_what_a_use_is_judged_and_how_hard_it_is_wanted(
    run, tmp_path, typed, said
):
    _, out, _ = run("new", tmp_path / "tines", "--steel-for", typed)
    (read,) = told(out.splitlines(), "read")
    assert f'"{typed}" is judged as {said}, wanted at ' in read
    assert "common practice, no source" in read
    assert "hardness_hrc of [verdict]" in read


def test_a_row_with_a_note_alone_is_no_quench_and_its_coupon_is_not_asked_for(
    run, entered, tmp_path
):
    note = ("piece=A", "coupon=A1", "note=lost in the scrap bin before it was filed")
    (mind,) = told(entered("heats", *note), "mind")
    assert "heats 1: this row tells of no quench, and counts as none; write into it how" in mind
    assert "of a coupon that was lost unread, note=lost will do" in mind
    _, out, _ = run("verdict", tmp_path / "spring")
    assert "A1" not in out
    assert "Next: sparks beside" in out
    oil = ("piece=A", "coupon=A2", "medium=oil", "heat_c=815")
    assert told(entered("heats", *oil), "mind") == []
    _, out, _ = run("verdict", tmp_path / "spring")
    assert "Next: 0.3 mm ground off, and a file below the skin" in out
    assert "coupon=A2 heat=1 hardness_below=" in out
    more = ("piece=A", "coupon=A2", "hardness_below=40-45")
    assert told(entered("heats", *more, "heat=1"), "mind") == []


def test_a_row_with_a_note_whose_temper_stands_beside_it_is_a_quench(run, entered, tmp_path):
    heat = ("piece=A", "coupon=A1", "heat=1")
    assert len(told(entered("heats", *heat, "note=by the old hearth"), "mind")) == 1
    entered("tempers", *heat, "temperature_c=230", "hardness_below=55-60")
    assert told(entered("heats", *heat, "note=by the new hearth", "--replace"), "mind") == []


def test_a_fresh_coupon_is_written_under_a_name_that_no_other_has(run, entered, tmp_path):
    entered("heats", "piece=A", "coupon=A2", "medium=air", "heat_c=815", "magnet=lets go",
            "hardness_below=<40", "grain=fine")  # fmt: skip
    _, out, _ = run("verdict", tmp_path / "spring")
    assert "a coupon quenched in oil" in out
    assert "piece=A coupon=A1 medium=oil" in out
