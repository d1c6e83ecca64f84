"""Boxes of the bench sheet: one for every cell that a log to come has, in its order."""

from types import SimpleNamespace

from edgetest.study.bench.sheet_rows import more_turns, sheet_turns

WIDTH = {"name": "edge_width_um", "title": "edge width", "unit": "µm", "repeats": 1,
         "at_stations": True}  # fmt: skip
FORCE = {"name": "sever_force_gf", "title": "severing force", "unit": "gf", "repeats": 2,
         "at_stations": False}  # fmt: skip
GRADE = {"name": "grade", "title": "grade", "unit": "", "repeats": 1, "at_stations": False}


def protocol(*rules, life_unit="cuts"):
    return SimpleNamespace(readings=[SimpleNamespace(**rule) for rule in rules],
                           life_unit=life_unit)  # fmt: skip


def turns(name, heading, *rows, rules=(WIDTH, FORCE, GRADE), **more):
    table = [heading.split(","), *(row.split(",") for row in rows)]
    return sheet_turns(name, table, protocol(*rules, **more))


def words(turn):
    return [(box.column, box.words) for box in turn.boxes]


CUTS = "blade,block,cuts,station_mm,check_no,edge_width_um,sever_force_gf,grade,photo,mishap,note"


def test_a_turn_of_a_cut_test_has_a_box_for_each_reading_and_place():
    first, second = turns(
        "log", CUTS, "A,r1,0,20,,,,,,,", "A,r1,0,40.5,,,,,,,", "A,r1,0,,1,,,,,,",
        "A,r1,0,,2,,,,,,", "B,r1,1,20,,,,,,,",
    )  # fmt: skip
    assert (first.block, first.blade, first.stage) == ("r1", "A", "0 cuts")
    assert (second.blade, second.stage) == ("B", "1 cut")
    assert words(first) == [
        ("edge_width_um", "Edge width, µm at 20 mm"),
        ("edge_width_um", "Edge width, µm at 40.5 mm"),
        ("photo", "Number of photograph at 20 mm"),
        ("photo", "Number of photograph at 40.5 mm"),
        ("sever_force_gf", "Severing force, gf  #1"),
        ("sever_force_gf", "Severing force, gf  #2"),
        ("grade", "Grade"),
        ("note", "Note, mishap"),
    ]


def test_a_reading_without_its_column_has_no_box_but_a_photograph_gives_a_width():
    (turn,) = turns("log", "blade,cuts,station_mm,photo", "A,10,20,")
    assert words(turn) == [("edge_width_um", "Edge width, µm at 20 mm")]
    (bare,) = turns("log", "blade,cuts,station_mm,grade", "A,10,,")
    assert words(bare) == [("grade", "Grade")]
    assert bare.block == ""


def test_lives_have_one_box_in_the_protocol_s_unit():
    (turn,) = turns("log", "blade,block,life,note", "A,r1,,", life_unit="chops")
    assert (turn.block, turn.blade, turn.stage) == ("r1", "A", "")
    assert words(turn) == [("life", "Life, chops"), ("note", "Note")]
    (bare,) = turns("log", "blade,life", "A,")
    assert bare.block == ""


CHOPS = ("blade,block,kind,order,species,width_mm,chops,near_misses,chips_count,rolls_count,"
         "largest_chip_mm,depth_mm,result,photo,note")  # fmt: skip
CHIPS = {"name": "chips_count", "title": "chips", "unit": "", "repeats": 1, "at_stations": False}
COUNT = {"name": "chops", "title": "chops to sever", "unit": "", "repeats": 1,
         "at_stations": False}  # fmt: skip


def chop_turn(kind, order="1", rules=(COUNT, CHIPS), heading=CHOPS):
    blank = "," * (heading.count(",") - 3)
    (turn,) = turns("chops", heading, f"H1,,{kind},{order}{blank}", rules=rules)
    return turn


def test_a_piece_has_boxes_for_the_wood_the_count_and_the_edge():
    turn = chop_turn("billet", "2")
    assert (turn.blade, turn.stage) == ("H1", "billet 2")
    assert words(turn) == [
        ("species", "Wood"),
        ("width_mm", "Width (mm)"),
        ("chops", "Chops to sever"),
        ("near_misses", "Near misses"),
        ("chips_count", "Chips on the whole edge now, in all"),
        ("rolls_count", "Rolls on the whole edge now, in all"),
        ("largest_chip_mm", "Largest chip, mm"),
        ("photo", "Number of photograph"),
        ("note", "Note"),
    ]
    assert ("chops", "Chops") in words(chop_turn("billet", rules=()))


def test_other_rows_of_a_chop_log_have_what_is_read_of_them():
    assert chop_turn("inspection", "0").stage == "inspection before"
    assert chop_turn("inspection").stage == "inspection at the end"
    assert chop_turn("single", "11").stage == "chop 11"
    assert words(chop_turn("single", "11")) == [
        ("species", "Wood"), ("depth_mm", "Depth of the chop, mm"),
        ("photo", "Number of photograph"), ("note", "Note"),
    ]  # fmt: skip
    assert [column for column, _ in words(chop_turn("inspection"))] == [
        "chips_count", "rolls_count", "largest_chip_mm", "photo", "note",
    ]  # fmt: skip
    shave = chop_turn("shave")
    assert (shave.stage, words(shave)) == ("shave", [("result", "Pass or fail"), ("note", "Note")])


def test_what_holds_for_a_page_is_asked_for_once():
    first, second = turns("log", "blade,life,day,operator", "A,,,", "B,,,")
    assert [box.words for box in first.head] == ["Operator", "Day"]
    assert first.head == second.head
    assert turns("log", "blade,life", "A,")[0].head == ()


def test_a_piece_of_a_named_board_takes_one_line_and_its_wood_is_asked_once():
    heading = ("blade,board,kind,order,species,width_mm,mass_g,notch_angle_deg,chops,photo,"
               "operator,mishap,result,note")  # fmt: skip
    first, second, look, end = turns(
        "chops", heading, "A,b1,billet,1,,,,,,,,,,", "B,b1,billet,1,ash,,,,,,,,,",
        "A,,inspection,0,,,,,,,,,,", "A,,inspection,1,,,,,,,,,,", "A,,shave,1,,,,,,,,,,",
        rules=(COUNT,),
    )  # fmt: skip
    assert words(first) == [
        ("chops", "Chops to sever"),
        ("photo", "Number of photograph"),
        ("note", "Note: mishap, mass (g), notch (°)"),
    ]
    asked = [(box.column, box.words) for box in first.head]
    assert asked == [
        ("species", "Wood"),
        ("width_mm", "Width (mm)"),
        ("operator", "Operator, date"),
    ]
    assert (second.head, second.block) == (first.head, "b1")
    assert words(look)[-1] == ("note", "Note: mishap")
    assert end.stage == "inspection at the end, shave"
    assert [column for column, _ in words(end)] == ["photo", "result", "operator", "note"]


def test_what_no_row_waits_for_has_blank_places_beside_a_chop_log_alone():
    heading = CHOPS.split(",")
    places = more_turns("chops", [heading])
    assert len(places) >= 2
    assert [box.column for box in places[0].boxes] == [
        "blade", "kind", "order", "result", "chips_count", "rolls_count", "note",
    ]  # fmt: skip
    assert more_turns("log", [heading]) == ()
