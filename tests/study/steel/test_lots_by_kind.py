"""A disc that lies among tines tells nothing of the tines' steel."""

from dataclasses import replace

from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.lots_by_kind import lots_by_kind
from edgetest.study.steel.steel_tables_file import load_steel_tables

TINES = tuple(
    PieceSeen(f"tine {k}", "harrow_tine", "farm", 1, sparks=sparks)
    for k, sparks in enumerate(("like_high", "between", None), 1)
)
DISC = PieceSeen("disc", "plough_disc", "farm", 10, sparks="like_high")


def test_kinds_of_one_lot_are_lots_of_their_own():
    apart = {one.id: one.lot for one in lots_by_kind((*TINES, DISC))}
    assert apart["tine 1"] == apart["tine 3"] == "farm (harrow tine)"
    assert apart["disc"] == "farm (plough disc)"


def test_a_lot_of_one_kind_keeps_its_name_whatever_else_there_is():
    untold = PieceSeen("bar", lot="farm")
    other = replace(DISC, lot="sale")
    assert lots_by_kind((*TINES, untold, other)) == (*TINES, untold, other)


def test_a_disc_in_their_lot_leaves_the_chances_of_the_tines_as_they_were():
    tables = load_steel_tables()
    alone, beside = (
        weigh_steel(SteelSeen("chopper", lots_by_kind(pieces)), tables, piece="tine 1")
        for pieces in (TINES, (*TINES, DISC))
    )
    assert beside.chance_fit == alone.chance_fit
    assert beside.explanations == alone.explanations


FARM = """title = "t"
[verdict]
use = "chopper"
[evidence]
pieces = [
  { id = "tine 1", origin = "harrow tine", lot = "farm", sparks = "like high", coating = "none" },
  { id = "tine 2", origin = "harrow tine", lot = "farm", sparks = "between", coating = "none" },
  { id = "disc", origin = "plough disc", lot = "farm", sparks = "like high", coating = "none" },
]
"""


def test_the_verdict_names_no_piece_of_another_kind_as_one_that_counts(tmp_path):
    (tmp_path / "study.toml").write_text(FARM, encoding="utf-8")
    result = judge_steel(tmp_path, try_numbers=False)
    assert "What was seen of tine 2, of the same lot, counts too" in result.sisters_words()
    assert any("count as a lot of each kind" in one.text for one in result.doubts)
    assert [one.lot for one in result.noted.pieces] == ["farm"] * 3  # as it was typed
