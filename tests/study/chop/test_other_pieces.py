"""Another piece, asked for in words: what is read, what is refused."""

import re
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.other_pieces import asked_of_wishes
from edgetest.study.sources import open_chops

HATCHET = Path(__file__).parents[3] / "sample_runs" / "camp_hatchet_study"
HEAD = "blade,kind,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
ROWS = "".join(f'K1,billet,{n},60,60,"ash, European",12,{k}\n' for k, n in enumerate((18, 20, 22)))


@pytest.fixture
def log(tmp_path):
    path = tmp_path / "chops.csv"
    path.write_text(HEAD + ROWS, encoding="utf-8")
    return path


def test_wood_size_and_how_it_lies_are_read(answer, log):
    wishes = ("European ash 90x45 on edge", "45", "2x2 in")
    told = answer("chop", log, *(word for wish in wishes for word in ("--reckon", wish)))
    edge, round_, inches = told["reckoned"]
    sizes = (edge["width_mm"], edge["thickness_mm"], edge["orientation"], edge["wood"])
    assert sizes == (90.0, 45.0, "on edge", "European ash")
    assert (round_["diameter_mm"], round_["wood"]) == (45.0, "European ash")
    assert inches["width_mm"] == pytest.approx(50.8)
    assert edge["strokes"]["low"] < edge["strokes"]["value"] < edge["strokes"]["high"]
    assert edge["method"].startswith("reckoned")


def test_green_wood_and_centimetres_are_read(answer, log):
    wishes = ("European ash 70x70", "green European ash 7x7 cm", "green 70x70", "air-dry 70x70")
    told = answer("chop", log, *(word for wish in wishes for word in ("--reckon", wish)))
    dry, green, same, seasoned = told["reckoned"]
    assert green["width_mm"] == 70.0
    assert [one["moisture_pct"] for one in (dry, green, same, seasoned)] == [12.0, 30.0, 30.0, 14.0]
    assert green["strokes"]["value"] == same["strokes"]["value"] < dry["strokes"]["value"]


@pytest.mark.parametrize("wish", ["oak", "", "0x20", "European ash 20x0"])
def test_what_names_no_piece_is_refused_in_one_line(run, log, wish):
    code, _, err = run("chop", log, "--reckon", wish)
    assert code == 2
    assert "names no piece" in err


def test_a_percent_is_read_and_a_size_in_inches_without_its_unit_is_asked_about(answer, run, log):
    (told,) = answer("chop", log, "--reckon", "14 % European ash 70x70")["reckoned"]
    assert (told["moisture_pct"], told["moisture_from"]) == (14.0, "asked")
    code, _, err = run("chop", log, "--reckon", "European ash 2x4")
    assert (code, '"European ash 2x4" is 2 mm thin; a size without a unit' in err) == (2, True)


def test_a_study_names_the_pieces_it_wants_reckoned(tmp_path):
    folder = shutil.copytree(HATCHET, tmp_path / "hatchet")
    path = folder / "study.toml"
    path.write_text('chop_to = ["English oak 90x60 flat"]\n' + path.read_text(encoding="utf-8"))
    result = analyse_chops(open_chops(folder))
    assert {one.blade for one in result.reckoned} == {"H1", "C1"}
    said = " ".join(tool_sentences(result, "H1"))
    assert "Reckoned, not chopped: " in said
    assert "What is reckoned rests on " in said
    assert re.search(r"90 mm by 60 mm, flat; C1 \d+ \(\d+ to \d+\)\.", said)
    path.write_text(path.read_text(encoding="utf-8").replace("90x60", "big"))
    with pytest.raises(UnusableInput, match=r"study.toml, chop_to: .* names no piece"):
        analyse_chops(open_chops(folder))


@pytest.mark.parametrize("wish", ["European ash 60x60", "60x60", "14 % European ash 61x59"])
def test_a_piece_that_was_chopped_is_not_reckoned_and_its_count_is_pointed_to(answer, log, wish):
    told = answer("chop", log, "--reckon", wish)
    assert told["reckoned"] == []
    (one,) = [each for each in told["doubts"] if each["code"] == "was_chopped"]
    assert one["where"]["blade"] == "K1"
    assert " took 18, 20 and 22 strokes as chopped, so none are reckoned." in one["text"]
    other = "(one size with 60 mm by 60 mm, that was chopped)" in one["text"]
    assert other == ("61x59" in wish)


def test_a_size_between_two_that_were_chopped_is_reckoned(answer, log):
    rows = "".join(f"K1,billet,{n},42,,hazel,green,{k}\n" for k, n in (("a", 9), ("b", 8)))
    rows += "K1,billet,7,38,,hazel,green,c\n"
    head = HEAD.replace("width_mm", "diameter_mm")
    log.write_text(head + rows, encoding="utf-8")
    told = answer("chop", log, "--reckon", "green hazel 40", "--reckon", "green hazel 43")
    assert [one["diameter_mm"] for one in told["reckoned"]] == [40.0]
    (one,) = [each["text"] for each in told["doubts"] if each["code"] == "was_chopped"]
    assert one.startswith(
        "hazel, round, 43 mm (one size with round, 42 mm, that was chopped), took 9 and 8 strokes"
    )


def test_a_size_too_far_from_a_piece_of_the_row_was_not_chopped_by_either_tool(answer, log):
    """47 and 47.5 mm are one row: 50 mm is near the one and not the other, so no tool's count."""
    rows = "K1,billet,8,47,,hazel,green,a\nK1,billet,10,47.5,,hazel,green,a\n"
    rows += "K2,billet,12,47.5,,hazel,green,a\n"
    log.write_text(HEAD.replace("width_mm", "diameter_mm") + rows, encoding="utf-8")
    told = answer("chop", log, "--reckon", "hazel 50", "--reckon", "hazel 49")
    assert [(one["blade"], one["diameter_mm"]) for one in told["reckoned"]] == [
        ("K1", 50.0), ("K2", 50.0)
    ]  # fmt: skip
    texts = [one["text"] for one in told["doubts"] if one["code"] == "was_chopped"]
    assert all("49 mm" in one for one in texts)
    assert len(texts) == 2


def test_a_loose_name_of_a_wish_is_told_as_it_is_of_a_row(answer, log):
    told = answer("chop", log, "--reckon", "green hawthorn 40", "--reckon", "common hawthorn 40")
    (one,) = [each["text"] for each in told["doubts"] if each["code"] == "wood_taken_as"]
    assert one.startswith('"hawthorn" is taken as common hawthorn, as is usual.')
    told = answer("chop", log, "--reckon", "common hawthorn 40")
    assert "wood_taken_as" not in [each["code"] for each in told["doubts"]]


@pytest.mark.parametrize(
    "wish", ["green European ash 60x60", "European ash 65x60", "English oak 60x60"]
)
def test_another_water_size_or_wood_was_not_chopped(answer, log, wish):
    told = answer("chop", log, "--reckon", wish)
    assert [one["blade"] for one in told["reckoned"]] == ["K1"]
    assert "was_chopped" not in [each["code"] for each in told["doubts"]]


def test_a_wish_of_an_unknown_wood_does_not_give_up_the_others(answer, run, log):
    told = answer("chop", log, "--reckon", "blackthorn 30", "--reckon", "European ash 45")
    assert [one["diameter_mm"] for one in told["reckoned"]] == [45.0]
    (said,) = [one for one in told["doubts"] if one["code"] == "wish_not_reckoned"]
    assert said["text"].startswith(
        '"blackthorn 30" was not reckoned: no published density of "blac'
    )
    assert run("chop", log, "--reckon", "blackthorn 30")[0] == 2


def test_a_size_in_fractions_of_an_inch_is_read(answer, log):
    wishes = ("green hazel 1 1/2 in", "European ash 3 1/2x3/4 in")
    told = answer("chop", log, *(word for wish in wishes for word in ("--reckon", wish)))
    stick, board = told["reckoned"]
    assert stick["diameter_mm"] == pytest.approx(38.1)
    assert (board["width_mm"], board["thickness_mm"]) == pytest.approx((88.9, 19.05))


def test_a_wish_that_cannot_be_read_is_asked_about_before_the_answer():
    wishes = ("willow 60", "oak", "hazel 45", "pine 40", "green 60", "")
    rows = [ChopRow(2, "K1", "billet", species="pine (softwood)")]
    told = [
        str(one)
        for one in asked_of_wishes(SimpleNamespace(chop_to=wishes, woods=(), document=None), rows)
    ]
    assert [one.partition(": ")[0] for one in told] == [
        "study.toml, chop_to 1", "study.toml, chop_to 2", "study.toml, chop_to 6"
    ]  # fmt: skip
    assert '"willow" means several woods' in told[0]
    assert told[1].endswith("for a round one; until then it is not reckoned")
    assert list(asked_of_wishes(None, rows)) == []


def test_beside_a_figure_of_several_woods_stands_what_its_own_wood_says(answer, run, tmp_path):
    oak = "".join(f"K1,billet,{n},60,60,English oak,12,o{k}\n" for k, n in enumerate((60, 66, 63)))
    both, alone = tmp_path / "both.csv", tmp_path / "alone.csv"
    both.write_text(HEAD + ROWS + oak, encoding="utf-8")
    alone.write_text(HEAD + ROWS, encoding="utf-8")
    ash, elsewhere = "European ash 90x45 on edge", "European beech 90x45 on edge"
    (one,) = answer("chop", both, "--reckon", ash)["reckoned"]
    (own,) = answer("chop", alone, "--reckon", ash)["reckoned"]
    assert (one["own_wood"], one["own_wood_pieces"]) == (own["strokes"], 3)
    assert one["strokes"]["value"] > 1.05 * own["strokes"]["value"]  # oak pulls it up
    assert (own["own_wood"], own["own_wood_pieces"]) == (None, 0)
    said = f"; 3 pieces of this wood alone say {own['strokes']['value']:.0f} ("
    assert said in run("chop", both, "--reckon", ash)[1]
    (other,) = answer("chop", both, "--reckon", elsewhere)["reckoned"]
    assert other["own_wood"] is None  # no beech was chopped
    green = "green European ash 90x45 on edge"
    assert answer("chop", both, "--reckon", green)["reckoned"][0]["own_wood"] is None


def test_one_piece_of_a_wood_says_nothing_by_itself(answer, tmp_path):
    path = tmp_path / "chops.csv"
    path.write_text(HEAD + ROWS + "K1,billet,63,60,60,English oak,12,o1\n", encoding="utf-8")
    (one,) = answer("chop", path, "--reckon", "English oak 90x45")["reckoned"]
    assert one["own_wood"] is None
