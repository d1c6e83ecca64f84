"""A change of the history in words: its place, its cells, what they were before."""

from types import SimpleNamespace

import pytest

from edgetest.store.history import IN_THE_FILE, Change
from edgetest.study.bench.change_words import cell_words, change_words

RULES = SimpleNamespace(
    readings=[
        SimpleNamespace(name="edge_width_um", title="edge width", unit="µm"),
        SimpleNamespace(name="grade", title="sharpness grade", unit=""),
    ]
)
NAMES = {"A": "K7"}


def test_a_cell_is_said_in_the_protocol_s_words():
    assert cell_words("edge_width_um", "7.1", RULES) == "edge width 7.1 µm"
    assert cell_words("edge_width_um", "0.0017mm", RULES) == "edge width 0.0017 mm"
    assert cell_words("edge_width_um", "7um → 1/4in", RULES) == "edge width 7 um → 1/4 in"
    assert cell_words("edge_width_um", "1e3", RULES) == "edge width 1e3 µm"
    assert cell_words("edge_width_um", "7um → 2.5E-1", RULES) == "edge width 7 um → 2.5E-1 µm"
    assert cell_words("edge_width_um", "1e3um", RULES) == "edge width 1e3 um"
    assert cell_words("grade", "3k", RULES) == "sharpness grade 3k"
    assert cell_words("grade", "shaves", RULES) == "sharpness grade shaves"
    assert cell_words("near_misses", "2", RULES) == "near misses 2"
    assert cell_words("diameter_mm", '2 1/4"', RULES) == 'diameter 2 1/4"'


def change(what, before, after, table="log"):
    return Change(what, table, 2, before, after, "")


HERE = {"blade": "A", "block": "roll 1", "cuts": "10", "station_mm": "20"}


@pytest.mark.parametrize(
    ("what", "before", "after", "said"),
    [
        ("append", None, {**HERE, "edge_width_um": "7.1"},
         "K7, roll 1, 10 cuts, station 20 mm: saved edge width 7.1 µm"),
        ("correct", {**HERE, "edge_width_um": "71"}, {**HERE, "edge_width_um": "7.1"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected edge width 71 → 7.1 µm"),
        ("undo", {**HERE, "edge_width_um": "7.1"}, None,
         "K7, roll 1, 10 cuts, station 20 mm: undone edge width 7.1 µm removed"),
        ("correct", {**HERE, "note": "x"}, {**HERE, "note": "x", "exclude": "slip"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected exclude slip"),
        (IN_THE_FILE, {**HERE, "cuts": "52"}, {**HERE, "cuts": "25"},
         "K7, roll 1, 25 cuts, station 20 mm: changed in the file: cuts 52 → 25"),
        (IN_THE_FILE, {"blade": "A", "kind": "billet", "order": "3", "chops": "24"},
         {"blade": "A", "kind": "lumber", "order": "1", "chops": "11"},
         "K7, lumber 1: changed in the file: kind billet → lumber; order 3 → 1; chops 24 → 11;"
         " or another row was moved here"),
        (IN_THE_FILE, {"blade": "A", "kind": "inspection", "order": "1", "chips_count": "0"},
         {"blade": "A", "kind": "inspection", "chips_count": "0"},
         "K7, look at the edge: changed in the file: order 1 removed"),
        (IN_THE_FILE, {"blade": "A", "kind": "inspection", "chips_count": "0"},
         {"blade": "A", "kind": "inspection", "chips_count": "0", "order": "1"},
         "K7, look at the edge: changed in the file: order 1"),
        (IN_THE_FILE, {"blade": "A", "kind": "inspection", "order": "0"}, None,
         "K7, look at the edge: the row, in which nothing was noted, was taken out"),
        (IN_THE_FILE, None, {"blade": "A", "kind": "inspection", "order": "0"},
         "K7, look at the edge: a row in which nothing is noted was added"),
        (IN_THE_FILE, {"blade": "A", "kind": "billet", "order": "1"}, None,
         "K7, billet 1: the row, in which nothing was noted, was taken out"),
        (IN_THE_FILE, {"blade": "A"}, {"blade": "A"}, "K7: changed in the file"),
        ("correct", {**HERE, "edge_width_um": "9.6 microns"}, {**HERE, "edge_width_um": "9.6"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected edge width 9.6 microns → 9.6 µm"),
        (IN_THE_FILE, {"blade": "B"}, {"blade": "B", "grade": "shaves"},
         "B: changed in the file: sharpness grade shaves"),
        ("append", None, {"blade": "A", "kind": "billet", "order": "2", "chops": "12"},
         "K7, billet 2: saved chops 12"),
        ("fill", {"blade": "A"}, {"blade": "A", "kind": "shave", "result": "pass"},
         "K7, shave: fill pass"),
        ("append", None, {"blade": "A", "kind": "inspection", "order": "0", "rolls_count": "0"},
         "K7, look at the edge: saved rolls 0"),
        ("fill", {"blade": "A", "kind": "billet", "order": "1"},
         {"blade": "A", "kind": "billet", "order": "1", "species": "ash", "moisture_pct": "11.5",
          "thickness_mm": "2 in", "width_mm": "50"},
         "K7, billet 1: fill wood ash; moisture 11.5 %; thickness 2 in; width 50 mm"),
    ],
)  # fmt: skip
def test_a_change_is_told_with_its_place_and_what_became_of_it(what, before, after, said):
    table = "chops" if "kind" in (after or {}) else "log"
    assert change_words(change(what, before, after, table), NAMES, RULES) == said


def test_a_row_that_was_moved_in_the_file_is_told_by_both_its_places():
    cells = {"blade": "A", "kind": "billet", "order": "1", "chops": "12"}
    moved = Change(IN_THE_FILE, "chops", 9, cells, cells, "", from_row=3)
    said = "K7, billet 1: moved in the file from row 3 to row 9"
    assert change_words(moved, NAMES, RULES) == said
