"""The page that goes with some pieces of a pile: these alone, and none of the shop's hours."""

import json
import re
import shutil

import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents.steel_handed_over import pieces_named
from edgetest.store.places import shipped
from tests.report.accessible import broken_rules
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.usefixtures("framed")

PILE = """
title = "Discs of two farms"

[verdict]
use = "hedging tool"
known_steel_hours = 2.5
blade_hours = 6.5
blades_wanted = 30

[evidence]
known_low = "mild bar"
known_high = "old file"
note = "do not tell anybody"

[[evidence.pieces]]
id = "A1"
origin = "plough disc"
lot = "farm A"
makes_blades = 5
coating = "none"
lead = "no"
magnet = "strong"
sparks = "between"

[[evidence.pieces]]
id = "A2"
origin = "plough disc"
lot = "farm A"
makes_blades = 5
coating = "none"
lead = "no"
magnet = "strong"
sparks = "like_high"
note = "a weld at the hub"

[[evidence.pieces]]
id = "B1"
origin = "harrow tine"
lot = "farm B"
makes_blades = 1
coating = "painted"
magnet = "strong"
note = "of the other shed"

[[evidence.heats]]
piece = "A1"
coupon = "A1a"
heat_c = 815
magnet = "lets_go"
medium = "oil"
section_mm = 5
hardness_below = ["60-65"]
"""


def words_of(path):
    return re.sub(r"-\s+(?=[a-z])", "", re.sub(r"\s+", " ", " ".join(page_texts(path))))


@pytest.fixture
def pile(run, tmp_path):
    folder = tmp_path / "pile"
    run("new", folder, "--steel-for", "hedging tool")
    (folder / "study.toml").write_text(PILE.strip() + "\n", encoding="utf-8")
    return folder


def test_the_page_holds_the_pieces_that_change_hands_and_no_hours(run, pile, tmp_path):
    code, out, err = run("report", pile, "--hand-over", "A2, B1", "--to", tmp_path)
    assert code == 0, err
    assert "handed_over.pdf" in out
    assert out.startswith("Piece A2: ")  # no answer of a piece that stays
    said = words_of(tmp_path / "handed_over.pdf")
    assert "2 of 3 pieces: A2 and B1." in said
    assert "What was seen of A1, of their lots and not handed over, counts too." in said
    assert "a weld at the hub" in said
    assert "painted" in said
    for own in ("A1a", "2.5 h", "6.5 h", "You want", "do not tell anybody", "edgetest enter"):
        assert own not in said, own
    page = (tmp_path / "handed_over.html").read_text("utf-8")
    assert not broken_rules(tmp_path / "handed_over.pdf")
    assert "A1a" not in page


def test_one_piece_alone_has_its_page_and_a_strange_one_is_refused(run, pile, tmp_path):
    code, _, err = run("report", pile, "--hand-over", "A1", "--to", tmp_path)
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    assert "1 of 3 pieces: A1." in said
    assert "60 to 65 HRC below the skin" in said
    assert "of the other shed" not in said
    code, _, err = run("report", pile, "--hand-over", "A1, A9", "--to", tmp_path)
    assert code == 2
    assert "--hand-over: no piece is called A9; name them as 'A1, A2'; known: A1, A2, B1" in err


def test_what_breaks_a_rule_is_told_without_what_its_maker_types(run, pile, tmp_path):
    study = pile / "study.toml"
    softer = PILE[PILE.index("[[evidence.heats]]") :].replace('"A1a"', '"A1b"')
    softer = softer.replace('"oil"', '"water"').replace("60-65", "40-45")
    study.write_text(study.read_text("utf-8") + softer, encoding="utf-8")
    code, _, err = run("report", pile, "--hand-over", "A1", "--to", tmp_path)
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    assert said.count("A faster quench (water) left the steel softer than a slower one") == 1
    assert "none told" in said
    assert "edgetest" not in said.partition("What was seen")[0]


BROKE = """
[[evidence.heats]]
piece = "A1"
coupon = "blade1"
heat_c = 815
magnet = "lets_go"
medium = "oil"
section_mm = 5
hardness_below = ["60-65"]

[[evidence.tempers]]
piece = "A1"
coupon = "blade1"
temperature_c = "259 °C"
hardness = ["55-60"]

[[evidence.trials]]
piece = "A1"
coupon = "blade1"
heat = 1
test = "chop"
strokes = 45
edge = "broke"
beside = "my billhook"
note = "sold since"
"""


def test_what_the_verdict_leaves_in_doubt_the_page_leaves_in_doubt_too(run, pile, tmp_path):
    study = pile / "study.toml"
    study.write_text(PILE + BROKE, encoding="utf-8")
    code, _, err = run("report", pile, "--hand-over", "A2, B1", "--to", tmp_path)
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    _, out, _ = run("verdict", pile, "--piece", "A2", "--json")
    result = json.loads(out)
    low, high = (round(100 * one) for one in result["fit_between"])
    assert high - low >= 10
    assert f"{100 * result['chance_fit']:.0f} % ({low} to {high})" in said
    assert "In brackets it stands for a poor heap and for a good one" in said
    assert "A2: Nobody has tried its toughness" in said
    assert f"Piece A2: {result['reasons'][0]}" in said
    beside = said.partition("on pieces not handed over")[2]
    assert "A1, blade1, heat 1 chop; edge broke; beside my billhook; 45 strokes" in beside
    assert "sold since" not in said


def test_a_doubt_of_the_whole_study_is_told_once_and_of_no_piece(run, pile, tmp_path):
    study = pile / "study.toml"
    parted = PILE.replace('lot = "farm B"', 'lot = "farm A"').replace("harrow tine", "plough disc")
    odd = PILE[PILE.index("[[evidence.heats]]") :].replace("A1", "B1").replace("60-65", "<40")
    parted = parted.replace('lot = "farm A"', 'lot = "B1"', 3).replace('"B1"', '"farm A"', 2)
    study.write_text(parted + odd, encoding="utf-8")
    code, _, err = run("report", pile, "--hand-over", "A2, B1", "--to", tmp_path)
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    assert said.count("B1 (coupon B1a, heat 1) came out softer than A1 of lot farm A") == 1
    assert "B1: B1 (coupon" not in said


@pytest.mark.parametrize(("pieces", "told"), [("A2, B1", False), ("A1, B1", True)])
def test_a_reading_left_out_is_told_of_the_pieces_on_the_page_alone(
    run, pile, tmp_path, pieces, told
):
    late = PILE + 'exclude = "late into the oil"\n'
    (pile / "study.toml").write_text(late, encoding="utf-8")
    code, _, err = run("report", pile, "--hand-over", pieces, "--to", tmp_path)
    assert code == 0, err
    assert ("late into the oil" in words_of(tmp_path / "handed_over.pdf")) is told


def test_bought_steel_is_said_to_hang_on_the_shop_s_own_hours(run, tmp_path):
    folder = tmp_path / "discs"
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", folder)
    code, _, err = run("report", folder, "--about", "steel", "--hand-over", "disc A,disc B",
                       "--to", tmp_path)  # fmt: skip
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    assert "2 of 2 pieces: disc A and disc B." in said
    assert "Invented data, for demonstration" in said
    assert "yours may say otherwise" not in said  # nothing is bought here
    assert "Carburise it" in said
    assert "it is the chance of the piece as it is, without packing" in said


def test_pieces_of_which_nothing_was_entered_have_no_page(run, pile, tmp_path):
    study = pile / "study.toml"
    study.write_text('title = "Discs"\n\n[[evidence.pieces]]\nid = "A1"\n', encoding="utf-8")
    whole, hand = (
        run("report", pile, *more, "--to", tmp_path) for more in ((), ("--hand-over", "A1"))
    )
    assert (whole[0], whole[2]) == (hand[0], hand[2])


@pytest.mark.parametrize(
    ("typed", "named"),
    [("b, a", ("a", "b")), ("a, b", ("a", "b")), (" c ", ("c",)), (" b ,, a", ("a", "b"))],
)
def test_pieces_are_named_in_the_order_of_the_evidence(typed, named):
    assert pieces_named(typed, ["a", "b", "c"]) == named


@pytest.mark.parametrize(("typed", "fault"), [("", "no piece is named"), (" , ", "no piece"),
                                              ("d", "no piece is called d")])  # fmt: skip
def test_no_piece_and_a_strange_piece_are_refused(typed, fault):
    with pytest.raises(UnusableInput, match=fault):
        pieces_named(typed, ["a", "b"])


ODD = """
[[evidence.pieces]]
id = "A3"
origin = "plough disc"
lot = "an odd one"
makes_blades = 4
coating = "none"
lead = "no"
magnet = "strong"

[[evidence.heats]]
piece = "A3"
coupon = "A3a"
heat_c = 815
magnet = "lets_go"
medium = "oil"
section_mm = 5
hardness_below = ["40-45"]

[[evidence.heats]]
piece = "B1"
coupon = "blade9"
medium = "oil"

[[evidence.trials]]
piece = "B1"
coupon = "blade9"
test = "chop"
edge = "chipped"
hit = "a fence staple"
"""


def test_one_that_came_out_unlike_its_lot_is_told_to_who_takes_its_sisters(run, pile, tmp_path):
    with (pile / "study.toml").open("a", encoding="utf-8") as file:
        file.write(ODD)
    code, _, err = run("report", pile, "--hand-over", "A1, A2", "--to", tmp_path)
    assert code == 0, err
    said = words_of(tmp_path / "handed_over.pdf")
    assert "A3 (coupon A3a, heat 1) came out softer than A1 of lot farm A" in said
    assert "Nobody has read a coupon of A2 of that lot yet." in said
    assert "fence staple" not in said  # of a blade of B1
    assert run("report", pile, "--hand-over", "B1", "--to", tmp_path)[0] == 0
    said = words_of(tmp_path / "handed_over.pdf")
    assert "fence staple" in said
    assert "came out softer" not in said
