"""Chop logs: kinds of rows, cross-sections, and the words of every fault."""

from math import pi

import pytest

from edgetest.errors import ManyFaults
from edgetest.store.chop_log import read_chops
from edgetest.store.files import csv_text
from edgetest.store.workspace import new_study
from tests.store.written_rows import chop_table

HEAD = (
    "blade;kind;order;chops;width_mm;thickness_mm;diameter_mm;nominal;species;moisture_pct;"
    "depth_mm;chips_count;largest_chip_mm;result;exclude\n"
)


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study") / "s"
    return new_study(folder, "billet_chop", "Hatchet", blades=["H1"], control="C1")


def read(rows, **more):
    return read_chops((HEAD + rows + "\n").encode(), name="chops.csv", **more)


def test_severed_billets_single_chops_and_passes():
    log = read(
        "H1;billet;1;12;50;2 in;;;ash;12,5;;0;;;\n"
        "H1;billet;2;>40;;;50,8;;ash;;;;;;\n"
        "H1;single;1;;;;;;;;9,5;;;;\n"
        "H1;shave;1;;;;;;;;;;;PASS;\n"
        "H1;lumber;1;31;;;;2x4;;;;2;1,5;fail;knot"
    )
    assert log.faults == ()
    billet, standing, single, shave, lumber = log.rows
    assert billet.section_mm2 == pytest.approx(50 * 50.8)
    assert billet.chops.value == 12
    assert (billet.species, billet.moisture_pct) == ("ash", 12.5)
    assert standing.chops.lower == 40
    assert standing.section_mm2 == pytest.approx(pi * 25.4**2)
    assert single.depth_mm.value == 9.5
    assert shave.result == "pass"
    assert lumber.nominal == "2x4"
    assert log.of_kind("billet") == (billet, standing)
    assert log.of_kind("lumber") == ()  # excluded with its reason, but still in rows


def test_no_chip_is_zero_and_blank_is_not():
    rows = read("H1;inspection;1;;;;;;;;;0;;;\nH1;inspection;2;;;;;;;;;;;;").rows
    assert rows[0].chips_count == 0
    assert rows[1].chips_count is None
    assert (rows[0].waiting, rows[1].waiting) == (False, True)


def test_density_from_the_weighed_piece():
    text = "blade,kind,order,chops,width_mm,thickness_mm,length_mm,mass_g\n"
    row = read_chops((text + "H1,billet,1,9,50,50,400,650\n").encode()).rows[0]
    assert row.weighed_density_kg_m3 == pytest.approx(650)  # 650 g in exactly one litre


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            "H1;billet;1;12;;;;;;;;;;;",
            "row 2, width_mm: a severed billet without its cross-section; give width_mm and "
            "thickness_mm, or diameter_mm, or nominal (such as 2x4); if nobody measured it, say so "
            "in exclude",
        ),
        (
            "H1;billet;1;12;50;;50;;;;;;;;",
            "row 2, diameter_mm: a diameter and a width or thickness stand side by side; a round "
            "billet has a diameter only, a flat one two sides",
        ),
        (
            "H1;billet;1;12,5;50;50;;;;;;;;;",
            "row 2, chops: 12.5 chops are not a whole number; count whole strokes",
        ),
        (
            "H1;billet;1;0;50;50;;;;;;;;;",
            'row 2, chops: "0" is a reading of zero or below; leave the cell blank where nothing '
            "was read",
        ),
        (
            "H1;single;1;3;;;;;;;9;;;;",
            "row 2, chops: a single chop with 3 chops; one row a chop; a severed piece has the "
            "kind billet or lumber",
        ),
        (
            "H1;log;1;3;;;;;;;9;;;;",
            'row 2, kind: "log" is not known here; write one of billet, lumber, single, rope, '
            "flex, bend, nail, bone, antler, knot, shave, inspection, touch-up",
        ),
        (
            "H1;billet;1;3;50 acres;50;;;;;;;;;",
            'row 2, width_mm: "50 acres" has the unknown unit "acres"; known here: mm, cm, m, µm, '
            "in, inch, inches, \", ft, foot, feet, ', thou",
        ),
        (
            "H1;billet;1;3;-50;50;;;;;;;;;",
            'row 2, width_mm: "-50" is not above 0; leave it blank if not measured',
        ),
        (
            "H1;inspection;1;;;;;;;;;0;2;;",
            "row 2, largest_chip_mm: no chip was counted but one has a size; count it too",
        ),
        (
            "H1;single;1;;;;;;;300;9;;;;",
            "row 2, moisture_pct: 300 % moisture is more than wood holds; give water in per cent "
            "of the oven-dry mass",
        ),
        (
            "H1;single;1;;;;;;;frozen;9;;;;",
            'row 2, moisture_pct: "frozen" is not known here; write a number, or one of green, '
            "air-dry, oven-dry, and frozen in note",
        ),
        (
            "H1;lumber;1;12;3 1/2 in;1 1/2;;;;;;;;;",
            'row 2, thickness_mm: "1 1/2" is a fraction without a unit; write 1 1/2 in',
        ),
        (
            "H1;billet;1;12;;;1 5/8;;;;;;;;",
            'row 2, diameter_mm: "1 5/8" is a fraction without a unit; write 1 5/8 in',
        ),
        (
            "H9;single;1;;;;;;;;9;;;;",
            'row 2, blade: the blade "H9" is not in study.toml; known: H1, C1 (or add it to '
            "study.toml)",
        ),
        (
            "H1;single;1;;;;;;;;9;;;;\nH1;single;1;;;;;;;;8;;;;",
            "row 3, order: single 1 of blade H1 stands in row 2 already; delete a row that "
            "was typed twice (left out, its strokes still count as work); else number each "
            "anew, or give the wrong one a reason in exclude",
        ),
        (
            "H1;shave;1;;;;;;;;;;;no;",
            'row 2, result: "no" is not known here; write pass if it stood the test, fail if not: '
            "no can be meant either way",
        ),
        (
            "H1;shave;1;;;;;;;;;;;maybe;",
            'row 2, result: "maybe" is not known here; write one of pass, fail',
        ),
        (
            ";shave;1;;;;;;;;;;;pass;",
            "row 2, blade: the blade cell is blank; every row names its blade and its kind",
        ),
    ],
)
def test_each_fault_has_its_own_words(study, row, message):
    log = read(row, study=study)
    assert [str(fault) for fault in log.faults] == [f"chops.csv, {message}"]
    with pytest.raises(ManyFaults):
        log.require()


def test_the_template_of_a_chop_test_waits_without_a_fault(study):
    log = read_chops(study.folder / "chops.csv", study)
    assert log.faults == ()
    assert [(row.blade, row.kind, row.order) for row in log.rows[:6]] == [
        ("H1", "inspection", 0), ("C1", "inspection", 0),
        ("H1", "billet", 1), ("C1", "billet", 1), ("H1", "billet", 2), ("C1", "billet", 2),
    ]  # fmt: skip
    assert {row.kind for row in log.rows[8:]} == {"inspection", "shave"}
    assert all(row.waiting for row in log.rows)


def test_a_chop_log_written_and_read_is_the_same():
    rows = read(
        "H1;billet;1;12;50;50;;;ash;12,5;;0;;;\nH1;single;2;;;;;;;;<9,5;1;0,8;fail;note"
    ).rows
    again = read_chops(csv_text(chop_table(rows)).encode())
    assert again.faults == ()
    assert again.rows == rows


def test_how_a_piece_lay_and_its_notch_are_kept_and_a_touch_up_waits_for_nothing():
    text = "blade,kind,order,chops,width_mm,thickness_mm,orientation,notch_angle_deg\n"
    log = read_chops((text + "H1,billet,1,9,90,40,On Edge,65\nH1,touch-up,,,,,,\n").encode())
    assert log.faults == ()
    assert (log.rows[0].orientation, log.rows[0].notch_angle_deg) == ("on edge", 65)
    assert not log.rows[1].waiting


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("H1,billet,1,9,90,40,sideways,", "write one of flat, on edge"),
        ("H1,billet,1,9,90,40,flat,175", "175° is no notch"),
        ("H1,touch-up,,9,,,,", "a touch-up with chops"),
    ],
)
def test_faults_of_orientation_notch_and_touch_up(row, words):
    text = "blade,kind,order,chops,width_mm,thickness_mm,orientation,notch_angle_deg\n"
    (fault,) = read_chops((text + row + "\n").encode()).faults
    assert words in str(fault)


@pytest.mark.parametrize("column", ["edge_width_um", "sever_force_gf", "station_mm", "cuts"])
def test_a_reading_of_the_edge_is_sent_where_it_belongs(column):
    head, row = f"blade,kind,order,chops,width_mm,thickness_mm,{column}", "H1,billet,1,12,50,50,9"
    (fault,) = read_chops(f"{head}\n{row}\n".encode(), name="chops.csv").faults
    assert f'row 1, {column}: the column "{column}" has no place here' in str(fault)
    assert "study of its own with a protocol of cuts" in fault.mend
    assert "width_mm" not in fault.mend
    assert ('strokes go to "chops"' in fault.mend) == (column == "cuts")


def test_a_depth_is_a_reading_of_both_logs():
    log = read_chops(b"blade,kind,order,depth_mm\nH1,single,1,9\n", name="chops.csv")
    assert log.faults == ()


def test_a_place_of_damage_without_damage_is_a_fault():
    rows = "H1,inspection,0,0,toe\nH1,inspection,1,,toe\n"
    log = f"blade,kind,chips_count,rolls_count,damage_at\n{rows}".encode()
    (fault,) = read_chops(log, name="chops.csv").faults
    assert (fault.row, fault.column, fault.mend) == (2, "damage_at", "count it too")
