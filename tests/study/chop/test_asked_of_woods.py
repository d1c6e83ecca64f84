"""Two woods, or two waters, of one board are asked about as two diameters are."""

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.asked_about import asked_about, asked_of_last
from edgetest.study.chop.asked_of_woods import asked_of_woods
from edgetest.study.chop.board_words import of_boards
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.enter_rows import asked_of, enter
from edgetest.study.sources import open_chops, open_source


def pole(line, species="hazel", moisture_pct="green", board="pole 1", chops="5", **more):
    return ChopRow(line, "T1", "billet", chops=parse_strokes(chops), diameter_mm=40.0,
                   species=species, moisture_pct=moisture_pct, board=board, **more)  # fmt: skip


def asked(*rows, line=None):
    return [str(one) for one in asked_of_woods("chops.csv", rows, line)]


def test_another_wood_on_a_board_is_asked_about_with_both_and_with_what_to_do():
    assert asked(pole(2, "European ash"), pole(3)) == [
        'chops.csv, row 3, species: "hazel", but "European ash" in row 2, and both are of '
        '"pole 1"; write one for both, or name the board of each; if both are right, leave them'
    ]


def test_the_odd_one_of_three_is_asked_about_wherever_it_stands():
    (told,) = asked(pole(2, "European ash"), pole(3), pole(4))
    assert 'row 2, species: "European ash", but "hazel" in row 3' in told


@pytest.mark.parametrize(("other", "odd"), [(500.0, False), (519.0, False), (521.0, True)])
def test_weighed_pieces_of_one_board_that_can_hardly_be_of_it_are_asked_about(other, odd):
    dry = {"moisture_pct": "air-dry"}
    rows = [pole(2, density_kg_m3=400.0, **dry), pole(3, density_kg_m3=450.0, **dry),
            pole(4, density_kg_m3=other, **dry)]  # fmt: skip
    told = [one for one in asked(*rows) if "counts with their mean" in one]
    assert len(told) == odd
    if odd:
        said = 'row 4, density_kg_m3: 521 kg/m³, but 400 in row 2, and both are of "pole 1"'
        assert said in told[0]
    green = [pole(2, density_kg_m3=400.0), pole(3, density_kg_m3=900.0)]
    assert asked(*green) == []


def test_a_blank_is_asked_about_where_the_rows_of_its_board_do_not_say_one_thing_alike():
    rows = of_boards([pole(2, moisture_pct=12.0), pole(3, moisture_pct=14.0), pole(4, "", None)])
    assert asked(*rows) == [
        'chops.csv, row 4, moisture_pct: blank, and the rows of "pole 1" that say it do not say one'
        ' thing alike ("12 %" in row 2); write one for both, or name the board of each; if both are'
        " right, leave them"
    ]
    assert asked(pole(2, "", None), pole(3, "", None)) == []


def test_a_blank_on_a_board_of_two_woods_is_told_the_woods_where_its_water_is_one(run, tmp_path):
    rows = "blade,kind,order,board,species,moisture_pct,diameter_mm,chops\n" + "".join(
        f"T1,billet,{n},pole 1,{wood},{water},45,{chops}\n"
        for n, wood, water, chops in (
            (1, "hazel", "green", 6), (2, "European ash", "", 7), (3, "hazel", "green", 6)
        )
    )  # fmt: skip
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    told = [line for line in run("check", tmp_path / "chops.csv")[1].splitlines()
            if "moisture_pct" in line]  # fmt: skip
    assert told == [
        'asked: chops.csv, row 3, moisture_pct: blank, and not taken from the other rows of "pole '
        '1", which are of 2 woods: "hazel" in row 2 and "European ash" in row 3; write one for '
        "both, or name the board of each; if both are right, leave them"
    ]
    waits = rows.replace("European ash,,45,7", "hazel,,45,7") + "T1,billet,4,pole 1,hornbeam,,45,\n"
    (tmp_path / "chops.csv").write_text(waits, encoding="utf-8")
    told = run("check", tmp_path / "chops.csv")[1]
    assert '2 woods: "hazel" in row 2 and "hornbeam" in row 5' in told


def test_a_wood_as_the_list_of_woods_prints_it_is_that_wood(run, tmp_path):
    printed = run("woods", "hazel")[1].partition(":")[0]
    assert printed == "hazel (Corylus avellana), European"
    for written in ('"hazel (Corylus avellana)"', f'"{printed}"'):
        rows = "blade,kind,order,board,species,moisture_pct,diameter_mm,chops\n"
        rows += "T1,billet,1,pole 1,hazel,green,45,6\n"
        rows += f"T1,billet,2,pole 1,{written},,45,7\nT1,billet,3,pole 1,,,45,6\n"
        (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
        code, told, _ = run("check", tmp_path / "chops.csv")
        assert code == 0, told
        assert "asked" not in told
        assert "for hazel, round, 45 mm; 3 pieces" in run("chop", tmp_path / "chops.csv")[1]


@pytest.mark.parametrize(
    "other",
    [
        pole(3, "European ash", board="pole 2"),
        pole(3, "European ash", board=""),
        pole(3, "European ash", board="", block="pole 1"),
        pole(3, "European ash", exclude="another pole"),
        pole(3, "Hazel"),
    ],
)
def test_what_is_not_noted_or_of_another_board_is_no_slip(other):
    assert asked(pole(2), other) == []


def test_a_wood_by_two_of_its_names_is_one_wood():
    assert asked(pole(2, "white oak"), pole(3, "oak, white")) == []


@pytest.mark.parametrize(
    ("first", "second", "odd"),
    [
        ("green", 12.0, True),
        ("green", "seasoned", True),
        ("green", 24.1, False),
        (12.0, 18.0, True),
        (12.0, 17.9, False),
        (45.0, 80.0, False),  # above fibre saturation no hardness hangs on it
        ("green", "fresh", False),
        ("green", "dripping", False),  # a fault, told as one
    ],
)
def test_two_waters_of_a_board_are_asked_about_where_hardness_hangs_on_them(first, second, odd):
    told = asked(pole(2, moisture_pct=first), pole(3, moisture_pct=second))
    assert len(told) == odd
    assert all("row 3, moisture_pct: " in one for one in told)


STUDY = 'title = "poles"\nprotocol = "billet_chop"\nblades = [{id = "B1"}, {id = "B2"}]\n'
HEADING = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board\n"


def test_check_enter_bench_and_chop_tell_it_and_the_doubt_stands_with_its_row(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    first = "B1,billet,1,5,40,European ash,12,ash 2\n"
    (tmp_path / "chops.csv").write_text(HEADING + first, encoding="utf-8")
    cells = {"blade": "B2", "kind": "billet", "order": "1", "chops": "4", "diameter_mm": "40",
             "species": "hazel", "moisture_pct": "green", "board": "ash 2"}  # fmt: skip
    change = enter(tmp_path, cells)
    source = open_source(tmp_path)
    for told in (asked_of(tmp_path, change), asked_of_last(source, table="chops"),
                 asked_about(source)):  # fmt: skip
        words = "\n".join(map(str, told))
        assert 'row 3, species: "hazel", but "European ash" in row 2' in words
        assert 'row 3, moisture_pct: "green", but "12 %" in row 2' in words
    result = analyse_chops(open_chops(tmp_path))
    rows = [one.where.row for one in result.doubts if one.code == "piece_wood_asked"]
    assert rows == [3, 3]
    lines = result.summary().splitlines()
    assert [line.split(": ")[0] for line in lines[1:4]].count("asked") == 2


def test_a_name_that_is_a_species_and_a_wet_wood_is_asked_about_once():
    ash = [pole(2, "green ash", board="a"), pole(3, "Green  Ash", board="b")]
    assert asked(*ash) == [
        'chops.csv, row 2, species: "green ash" is taken as the species American green ash, not'
        ' as a wood that is green; write "American green ash" if that is it; else its species,'
        " and green under moisture_pct"
    ]
    assert "row 3" in asked(*ash, line=3)[0]  # of the row that is entered


@pytest.mark.parametrize("name", ["American green ash", "white ash", "Douglas fir"])
def test_a_wood_named_in_full_is_not_asked_about(name):
    assert asked(pole(2, name)) == []


def test_the_water_behind_the_wood_is_asked_about_too():
    (one,) = asked(pole(2, "ash, green"))
    assert one.startswith('chops.csv, row 2, species: "ash, green" is taken as the species Am')


def test_a_wood_of_the_makers_own_means_what_he_wrote():
    assert list(asked_of_woods("chops.csv", [pole(2, "green ash")], own=["Green ash"])) == []
