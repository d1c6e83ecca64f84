"""What a sheet tells of the tool beside: its pieces of other boards, its angle, mass, balance."""

from edgetest.report.documents.chopped_pieces import pieces_table
from edgetest.report.documents.chopper_numbers import figures_beside
from edgetest.report.documents.tool_facts import tool_rows
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops
from tests.report.documents.hook_logs import STUDY, analysed


def test_a_mean_of_other_boards_says_which_and_what_stands_beside_it(tmp_path):
    def beside(*of_c1):
        mine = "T1,billet,3,50,50,hazel,12,,a,,\nT1,billet,5,50,50,hazel,12,,b,,\n"
        theirs = "".join(f"C1,billet,4,50,50,hazel,12,,{board},,\n" for board in of_c1)
        ((*_, cell),) = pieces_table(analysed(tmp_path, mine + theirs), "T1", "metric")["rows"]
        return cell.partition(")")[2]

    assert beside("a", "b") == ""
    assert beside("a") == ", on a, where T1 took 3"
    assert beside("c") == ", on other boards"
    assert beside("a", "b", "c") == ", also on 1 other board"
    assert beside("b", "c") == ", on b and 1 other board, where T1 took 5"
    assert beside("", "") == ""  # which boards is not known


def test_strokes_through_green_wood_never_stand_beside_those_through_dry(tmp_path):
    def beside(mine, *theirs):
        rows = [f"T1,billet,15,50,50,hazel,{mine},,a,,\n"]
        rows += [f"C1,billet,{9 + n},50,50,hazel,{water},,a,,\n" for n, water in enumerate(theirs)]
        ((*_, cell),) = pieces_table(analysed(tmp_path, "".join(rows)), "T1", "metric")["rows"]
        return cell.replace("9.0 (", "9 (").partition(" (")[0], cell.partition(")")[2]

    assert beside("air-dry", "green") == ("–", "")
    assert beside("air-dry", "green", "air-dry")[0].startswith("10")
    assert beside("air-dry", "air-dry") == ("9", "")


def test_the_angle_of_the_tool_beside_stands_with_its_uncertainty(tmp_path):
    analysed(
        tmp_path, "T1,billet,12,50,50,white ash,12,,a,,\nC1,billet,9,50,50,white ash,12,,a,,\n"
    )
    typed = 'title = "the shop\'s hook", included_angle_deg = 34, angle_u_deg = 3'
    study = STUDY.replace('title = "the shop\'s hook"', typed)
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    rows = dict(tool_rows(found, found.study.blade("T1"), "metric"))
    assert rows["Of C1 beside it"].startswith("34° ± 3° included (17° ± 1.5° per side)")


def test_a_tool_beside_that_was_weighed_and_not_swung_stands_with_its_mass(tmp_path):
    rows = "T1,billet,12,50,50,white ash,12,,a,0,0\nC1,billet,9,50,50,white ash,12,,a,0,0\n"
    analysed(tmp_path, rows)
    study = STUDY.replace('{id = "C1",', '{id = "C1", edge_length_mm = 90, mass_g = "1.75 lb",')
    study += "[handling.T1]\ngrip_mm = 60\nstrike_mm = 310\nmass_g = 690\nbalance_mm = 205\n"
    study += "pivot_mm = 15\nswings = 20\nseconds = [21.2, 21.3]\namplitude_deg = 10\n"
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    names, told = figures_beside(found, ["T1", "C1"], "metric")
    assert names == ["C1"]
    rows = {row[0]: row[1:] for row in told}
    assert rows["Mass (± assumed)"][0].startswith("690")
    assert rows["Mass (± assumed)"][2] == "1.75 lb (as typed)"


def test_a_tool_beside_that_was_balanced_and_not_swung_stands_with_its_balance(tmp_path):
    rows = "T1,billet,12,50,50,white ash,12,,a,0,0\nC1,billet,9,50,50,white ash,12,,a,0,0\n"
    analysed(tmp_path, rows)
    held = "[handling.{}]\ngrip_mm = 60\nstrike_mm = 310\nhandle_front_mm = 130\nmass_g = 690\n"
    swung = "balance_mm = 205\npivot_mm = 15\nswings = 20\nseconds = [21.2]\namplitude_deg = 10\n"
    study = STUDY + held.format("T1") + swung + held.format("C1") + "balance_mm = 224\n"
    study = study.replace('{id = "C1",', '{id = "C1", edge_length_mm = 90,')
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    told = figures_beside(analyse_chops(open_chops(tmp_path)), ["T1", "C1"], "metric")[1]
    assert {row[0]: row[3] for row in told}["Balance ahead of the handle"] == "94 mm (as typed)"
