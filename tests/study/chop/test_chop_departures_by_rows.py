"""Departures worked from rows by hand: sizes, woods, looks, turns, each side of each limit."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_departures import chop_departures, chops_looked_at
from tests.study.chop.departed_rows import WHOLE, departed, medium, piece, protocol


def test_a_test_as_asked_departs_in_nothing():
    assert departed(WHOLE) == []
    assert chop_departures(None, protocol(), SimpleNamespace(rows=WHOLE)) == ()
    study = SimpleNamespace(woods=(), control="C", reference=None, blades=[])
    assert chop_departures(study, None, SimpleNamespace(rows=WHOLE)) == ()
    of_cuts = protocol(log="log")
    assert chop_departures(study, of_cuts, SimpleNamespace(rows=WHOLE[:1])) == ()
    assert departed([piece("C")]) == []


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ({"width_mm": 52.5, "thickness_mm": 63.0}, []),  # five in a hundred
        ({"width_mm": 47.5, "thickness_mm": 57.0}, []),
        ({"width_mm": 60.0, "thickness_mm": 50.0}, []),  # which side is which does not matter
        ({"width_mm": 52.6}, ["52.6 mm × 60 mm in 1 of 2 pieces: H1"]),
        ({"thickness_mm": 56.9}, ["50 mm × 56.9 mm in 1 of 2 pieces: H1"]),
        ({"diameter_mm": 55.0}, ["round, 55 mm thick in 1 of 2 pieces: H1"]),
        ({"diameter_mm": 57.15}, ["round, 57.1 mm thick in 1 of 2 pieces: H1"]),  # as in its row
        ({"width_mm": None}, []),
        ({"thickness_mm": None}, []),
    ],
)
def test_a_section_may_be_off_by_five_in_a_hundred(size, told):
    rows = [piece(**size), *WHOLE[1:]]
    assert [done for of, done in departed(rows) if of == "size"] == told


def test_a_section_is_held_against_the_protocol_s_smaller_side_first():
    (told,) = chop_departures(
        SimpleNamespace(woods=(), control="C", reference=None, blades=[]), protocol(),
        SimpleNamespace(rows=[piece(width_mm=80.0), *WHOLE[1:]]),
    )  # fmt: skip
    assert told.asked == "pieces of 50 mm × 60 mm"
    assert departed([piece(width_mm=80.0), *WHOLE[1:]], **medium(size="square")) == []


def test_a_trade_size_is_held_against_the_size_that_is_asked_for():
    bare = {"width_mm": None, "thickness_mm": None}
    studs = [piece(tool, nominal="2x4", **bare) for tool in ("H1", "C")] * 2
    told = departed(studs, **medium(size="50 mm by 50 mm"))
    assert told == [("size", "38.1 mm × 88.9 mm in 2 of 2 pieces: H1 and C")]
    for size in ("2x4", "2x4: 38 mm by 89 mm (dressed)"):
        assert departed(studs, **medium(size=size)) == []
    added = departed([*WHOLE, studs[0]], **medium())
    assert added == [("the maker's addition", "1 piece of ash, 2x4: H1")]


def test_sizes_that_read_alike_are_one_size():
    inch = [piece(order=1, width_mm=63.5, thickness_mm=38.1),
            piece(order=2, width_mm=63.5004, thickness_mm=38.1001)]  # fmt: skip
    ((_, done),) = (one for one in departed(inch) if one[0] == "size")
    assert done.startswith("38.1 mm × 63.5 mm in 2 of 2 pieces")


HEDGE = medium(kind="green hazel or blackthorn, no knots", size="round sticks of 35 mm to 48 mm")


def stick(tool, thick_mm=40.0, species="hazel", moisture="green"):
    sides = {"width_mm": None, "thickness_mm": None, "diameter_mm": thick_mm}
    return piece(tool, species=species, moisture_pct=moisture, **sides)


def test_green_round_sticks_are_a_case_that_a_protocol_can_ask_for():
    hazel = [stick("H1"), stick("C")]
    thorn = [stick(tool, 48.0, "blackthorn (hardwood)", 61.0) for tool in ("H1", "C")]
    assert departed([*hazel, *thorn], **HEDGE) == []
    found = chop_departures(
        SimpleNamespace(woods=(), control="C", reference=None, blades=[]), protocol(**HEDGE),
        SimpleNamespace(rows=[*hazel, stick("H1", 48.5), stick("C")]),
    )  # fmt: skip
    (size,) = found
    assert size.asked == "round pieces of 35 mm to 48 mm"
    assert size.done == "round, 48.5 mm thick in 1 of 2 pieces: H1"
    stud = [piece(species="Norway spruce"), piece("C", species="Norway spruce")]
    assert departed([*hazel, *stud], **HEDGE) == [
        ("size", "50 mm × 60 mm in 1 of 2 pieces: H1 and C"),
        ("wood", "Norway spruce in 1 of 2 rows: H1 and C"),
        ("wood", "dry wood in 1 of 2 rows: H1 and C"),
    ]
    assert departed([*hazel, *thorn, *stud], **HEDGE) == [
        ("the maker's addition", "1 piece of dry Norway spruce, 50 mm × 60 mm: H1 and C")
    ]


def test_words_that_are_not_understood_are_told_and_not_said_to_be_held_against():
    asked = medium(kind="hedge wood, of last winter", size="as found")
    found = chop_departures(
        SimpleNamespace(woods=(), control="C", reference=None, blades=[]), protocol(**asked),
        SimpleNamespace(rows=WHOLE),
    )  # fmt: skip
    assert [each.asked for each in found] == [
        "“hedge” and “last winter” (kind of its pieces)", "“as found” (size of its pieces)",
    ]  # fmt: skip
    assert {each.done for each in found} == {"not understood, so no piece was held against it"}
    assert not any(each.headed().startswith("Departure") for each in found)
    study = SimpleNamespace(woods=())
    told = chops_looked_at(study, protocol(**asked))
    assert ("wood" in told, "size" in told) == (False, False)
    told = chops_looked_at(study, protocol())
    assert ("wood" in told, "size" in told) == (True, True)


@pytest.mark.parametrize(
    ("more", "kind", "told"),
    [
        ({"species": "oak"}, "one species", [("wood", "oak and ash: H1")]),
        ({"species": "oak"}, "any", []),
        ({"knots": 1}, "no knots", [("wood", "knots in 1 of 2 rows: H1")]),
        ({"knots": 2}, "clear, without knots", [("wood", "knots in 1 of 2 rows: H1")]),
        ({"knots": 1}, "any", []),
        ({"moisture_pct": "green"}, "seasoned", [("wood", "green wood in 1 of 2 rows: H1")]),
        ({"moisture_pct": "green"}, "dry", [("wood", "green wood in 1 of 2 rows: H1")]),
        ({"moisture_pct": "green"}, "any", []),
        ({"species": "white oak"}, "lumber, softwood", [("wood", "hardwood in 1 of 2 rows: H1")]),
        ({"species": "bog (hardwood)"}, "softwood", [("wood", "hardwood in 1 of 2 rows: H1")]),
        ({"species": "Douglas-fir"}, "hardwood", [("wood", "softwood in 1 of 2 rows: H1")]),
        ({"species": "Douglas-fir"}, "softwood", []),
        ({"species": "white oak"}, "hardwood or softwood", []),
        ({"species": "white oak"}, "any", []),
        ({"species": "no such wood"}, "softwood", []),
        ({"species": ""}, "one species", [("wood", "wood not noted in 1 of 2 rows: H1")]),
        ({"moisture_pct": None}, "any", [("wood", "moisture not noted in 1 of 2 rows: H1")]),
    ],
)
def test_wood_departs_where_the_protocol_asks_for_another(more, kind, told):
    assert departed([piece(**more), *WHOLE[1:]], **medium(kind=kind)) == told


def test_boards_and_near_misses_that_nobody_noted():
    assert departed([piece(board=""), *WHOLE[1:]]) == [("boards", "not noted in 1 of 2 rows: H1")]
    assert departed([piece(board="", block="a"), *WHOLE[1:]]) == []
    told = [("near misses", "not noted for 1 of 2 pieces: H1")]
    assert departed([piece(near_misses=None), *WHOLE[1:]]) == told
    for blank, means in ((1, "Their share is that of the pieces"), (2, "How many of the strokes")):
        rows = [piece(near_misses=None)] * blank + [piece()] * (2 - blank) + [piece("C")] * 2
        found = chop_departures(
            SimpleNamespace(woods=(), control="C", reference=None, blades=[]), protocol(),
            SimpleNamespace(rows=rows),
        )  # fmt: skip
        (near,) = [one for one in found if one.of == "near misses"]
        assert near.means.startswith(means)
    (board,) = chop_departures(
        SimpleNamespace(woods=(), control="C", reference=None, blades=[]), protocol(),
        SimpleNamespace(rows=[piece(board=""), *WHOLE[1:]]),
    )  # fmt: skip
    assert board.asked == "one board for each round"


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([piece(), piece()], "C was named and never chopped with"),
        ([piece(board="b"), piece("C"), piece(board="b")], "C was not used on b"),
        ([piece(board=""), piece("C"), piece(board="b")], "C was not used on b"),
        ([piece(), piece("C", board="", block="a"), piece()], None),
        ([piece(), piece("C", exclude="knot"), piece()], "what C did on a is left out"),
        ([piece(), piece("C", exclude="knot"), piece("C")], None),
        (
            [
                piece(),
                piece("C"),
                piece(board="b"),
                piece("C", board="c", exclude="knot"),
                piece(board="c"),
            ],
            "C was not used on b; what C did on c is left out",
        ),
        ([piece(), ChopRow(9, "C", "billet", board="a")], "C was named and never chopped with"),
    ],
)
def test_a_control_is_chopped_with_on_every_board(rows, told):
    assert [done for of, done in departed(rows) if of == "control blade"] == (
        [told] if told else []
    )


def test_a_reference_is_a_control_too():
    study = SimpleNamespace(woods=(), control=None, reference="R", blades=[])
    found = chop_departures(study, protocol(), SimpleNamespace(rows=[piece(), piece()]))
    assert [each.done for each in found if each.of == "control blade"] == [
        "R was named and never chopped with"
    ]
    assert departed([piece(), piece()], control=None) == [("control blade", "none was named")]


def test_another_kind_of_piece_is_told_of_the_control_too():
    rows = [replace(piece(tool), kind="lumber") for tool in ("H1", "C")]
    assert ("kind of piece", "1 of kind lumber: H1 and C") in departed(rows)


def test_one_piece_more_than_asked_is_none_too_few():
    assert departed([*WHOLE, piece(), piece("C")]) == []
    assert departed(WHOLE[:2]) == [("pieces", "1 severed or tried: H1")]


def test_measured_chops_are_held_against_their_numbers():
    def chop(order, blade="H1"):
        return ChopRow(2, blade, "single", order, board="a", species="ash", moisture_pct=12.0,
                       result="pass")  # fmt: skip

    asked = {"chop_kinds": ("single",), "stages": (1, 11, 21), "closing": ()}
    rows = [chop(1), chop(11), chop(21), chop(1, "C")]
    assert departed(rows, **asked) == []
    assert departed([rows[0], rows[3]], **asked) == [("pieces", "not of 11, 21: H1")]
    told = departed([chop(None), chop(None), chop(21), chop(1, "C")], **asked)
    assert told == [("pieces", "not of 11: H1")]  # without numbers they count from 1


def test_another_kind_of_piece_is_counted_as_one():
    rows = [piece(kind="lumber"), piece("C"), piece(), piece("C")]
    assert departed(rows) == [("kind of piece", "1 of kind lumber: H1")]


def test_one_after_the_other_is_no_turn_taking():
    rows = [piece(), piece(), piece("C"), piece("C")]
    assert departed(rows) == [("turns", "blades one after the other")]


def test_of_one_tool_alone_its_name_is_left_out():
    rows = [piece("H2"), piece(knots=1), piece("C"), piece(), piece("C"), piece("H2")]
    assert departed(rows, only=["H1", "C"]) == [("wood", "knots in 1 of 2 rows")]


def test_rows_left_out_or_waiting_are_not_counted():
    assert departed([*WHOLE, piece(knots=1, exclude="slip")]) == []
    waiting = ChopRow(9, "H1", "billet")
    assert waiting.waiting
    assert departed([*WHOLE, waiting]) == []


def test_a_piece_of_another_kind_is_no_piece_of_another_size_too():
    other = piece(kind="lumber", width_mm=89.0, thickness_mm=38.0)
    assert departed([other, piece("C"), piece(), piece("C")]) == [
        ("kind of piece", "1 of kind lumber: H1")
    ]


def test_looks_and_near_misses_are_missed_of_the_control_too():
    rows = [piece(), piece("C", near_misses=None, chips_count=None), piece(),
            piece("C")]  # fmt: skip
    told = departed(rows)
    assert ("looks at the edge", "not after 1 of 2 pieces: C") in told
    assert ("near misses", "not noted for 1 of 2 pieces: C") in told


def test_a_sheet_tells_what_the_control_did_otherwise_and_a_control_s_own_sheet_does():
    rows = [piece("H2", near_misses=None), piece(), piece("C", near_misses=None), piece(),
            piece("C")]  # fmt: skip
    told = [done for of, done in departed(rows, only=["H1", "C"]) if of == "near misses"]
    assert told == ["not noted for 1 of 2 pieces: C"]
    assert departed(rows, only=["C"]) == [("near misses", "not noted for 1 of 2 pieces")]


def test_all_other_sizes_of_a_tool_are_one_departure():
    rows = [piece(diameter_mm=42.0), piece(diameter_mm=44.0)]
    (found,) = [done for of, done in departed(rows) if of == "size"]
    assert found == "round, 42 mm thick in 1 and round, 44 mm thick in 1 of 2 pieces: H1"


def test_many_round_sizes_are_told_by_their_range():
    rows = [piece(diameter_mm=mm) for mm in (44.0, 38.0, 42.0)] + [piece(width_mm=90.0)]
    (found,) = [done for of, done in departed(rows) if of == "size"]
    assert found == "round, 38 mm to 44 mm thick in 3 and 60 mm × 90 mm in 1 of 4 pieces: H1"
