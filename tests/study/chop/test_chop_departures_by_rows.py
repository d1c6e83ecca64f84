"""Departures worked from rows by hand: sizes, woods, looks, turns, each side of each limit."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_departures import chop_departures


def protocol(**more):
    facts = {
        "log": "chops", "stages": (1, 2), "chop_kinds": ("billet",), "closing": (),
        "limit": None,
        "medium": SimpleNamespace(
            size="60 mm by 50 mm", kind="one species, seasoned, no knots",
            batch="one board for each round; marked",
        ),
        "edge_preparation": SimpleNamespace(included_angle_deg=None),
    }  # fmt: skip
    return SimpleNamespace(**facts | more)


def medium(**more):
    facts = vars(protocol().medium)
    return {"medium": SimpleNamespace(**facts | more)}


def piece(blade="H1", kind="billet", **more):
    facts = {
        "width_mm": 50.0, "thickness_mm": 60.0, "species": "ash", "moisture_pct": 12.0, "knots": 0,
        "near_misses": 0, "board": "a", "chips_count": 0, "result": "pass",
    }  # fmt: skip
    return ChopRow(2, blade, kind, **facts | more)


def departed(rows, *, control="C", only=(), **more):
    study = SimpleNamespace(woods=(), control=control, reference=None, blades=[])
    found = chop_departures(study, protocol(**more), SimpleNamespace(rows=rows), only)
    return [(each.of, each.done) for each in found]


WHOLE = [piece(), piece("C"), piece(), piece("C")]


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
    assert departed([piece(width_mm=80.0), *WHOLE[1:]], **medium(size="as found")) == []


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


@pytest.mark.parametrize(
    ("chips", "told"),
    [
        ((None, None), "not after 2 of 2 pieces: H1"),
        ((0, None), "not after 1 of 2 pieces: H1"),
        ((None, 0), "not after 1 of 2 pieces: H1"),
        ((0, 0), None),
    ],
)
def test_a_look_is_due_after_each_piece(chips, told):
    rows = [piece(chips_count=chips[0]), piece("C"), piece(chips_count=chips[1]), piece("C")]
    assert [done for of, done in departed(rows) if of == "looks at the edge"] == (
        [told] if told else []
    )


@pytest.mark.parametrize("look", [{"chips_count": 0}, {"rolls_count": 0}, {"photo": "a.png"}])
def test_an_inspection_between_two_pieces_is_the_look(look):
    bare = piece(chips_count=None)
    inspection = ChopRow(3, "H1", "inspection", **look)
    rows = [bare, piece("C"), inspection, piece(), piece("C")]
    assert departed(rows) == []


def test_a_look_is_of_the_last_piece_of_any_kind_before_it():
    bare = piece(chips_count=None)
    stud, beside = replace(bare, kind="lumber"), piece("C")
    looked = replace(stud, rolls_count=0)
    for own, words in (([bare, looked], "1 of 2"), ([bare, stud, bare], "3 of 3"),
                       ([piece(), looked, stud], "1 of 3")):  # fmt: skip
        told = f"not after {words} pieces: H1"
        assert ("looks at the edge", told) in departed([*own, beside])
    end = ChopRow(9, "H1", "inspection", chips_count=0)
    told = "not after 2 of 3 pieces: H1"  # the look at the end is of the stud
    assert ("looks at the edge", told) in departed([bare, bare, stud, beside, end])


def test_another_kind_of_piece_is_told_of_the_control_too():
    rows = [replace(piece(tool), kind="lumber") for tool in ("H1", "C")]
    assert ("kind of piece", "1 of kind lumber: H1 and C") in departed(rows)


@pytest.mark.parametrize(
    ("closing", "after", "told"),
    [
        ("shave", [], "not done: H1"),
        ("shave", [ChopRow(9, "H1", "shave", result="pass")], None),
        ("inspection", [], None),  # the last piece was looked at itself
        ("bend", [], "not done: H1"),
    ],
)
def test_a_closing_test_comes_after_the_last_piece(closing, after, told):
    rows = [*WHOLE, *after]
    found = [done for of, done in departed(rows, closing=(closing,)) if of == "closing tests"]
    assert found == ([told] if told else [])


def test_without_a_piece_every_row_comes_after_the_last():
    rows = [ChopRow(3, "H1", "shave", result="pass"), piece("C")]
    assert ("closing tests", "not done: H1") not in departed(rows, closing=("shave",))
    assert ("closing tests", "not done: H1") in departed(rows, closing=("bend",))


def test_a_closing_test_before_the_last_piece_does_not_count():
    early = [piece(), ChopRow(3, "H1", "shave", result="pass"), *WHOLE[1:]]
    nine = {"billet": parse_reading("9", "count")}
    early = [replace(row, line=n, chops=nine.get(row.kind)) for n, row in enumerate(early, 2)]
    assert ("closing tests", "done after 9 of 18 strokes: H1") in departed(
        early, closing=("shave",)
    )
    lost = replace(early[-2], line=9, exclude="lost count")
    told = departed([*early, lost], closing=("shave",))
    assert ("closing tests", "done after 9 of 27 strokes: H1") in told
    blind = [piece(chips_count=None), ChopRow(3, "H1", "inspection", chips_count=0), piece("C"),
             piece(chips_count=None), piece("C")]  # fmt: skip
    assert ("closing tests", "not done: H1") in departed(blind, closing=("inspection",))


def test_a_photograph_at_the_end_is_the_closing_inspection():
    """Without a count beside it, too; of a piece a photograph alone is no piece yet."""
    blind = [piece(chips_count=None), piece("C"), piece(), piece("C")]
    blind[2] = piece(chips_count=None)
    seen = [*blind[:1], ChopRow(3, "H1", "inspection", photo="a.png"), *blind[1:]]
    assert ("closing tests", "not done: H1") in departed(seen, closing=("inspection",))
    last = [*seen, ChopRow(9, "H1", "inspection", photo="b.png")]
    assert departed(last, closing=("inspection",)) == []
    waiting = ChopRow(9, "H1", "billet", photo="b.png")
    assert departed([*WHOLE[:2], waiting]) == [("pieces", "1 severed or tried: H1")]


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


def past_limit(counts, reading="chips_count", **more):
    """What is told of the limit for H1, whose edge showed so much after each piece."""
    limit = SimpleNamespace(reading=reading, value=1)
    rows = [piece(**{"chips_count": None, reading: count}, **more) for count in counts]
    study = SimpleNamespace(woods=(), control=None, reference=None, blades=[], limit_value=None)
    found = chop_departures(study, protocol(limit=limit), SimpleNamespace(rows=rows))
    return [each.done for each in found if each.of == "limit"]


@pytest.mark.parametrize(
    ("counts", "told"),
    [
        ((0, 1, 1, 2), ["2 pieces chopped after it was reached: H1"]),
        ((0, 0, 0, 1), []),  # it ended there
        ((2, 2, 2, 2), []),  # chips that the first look saw already
        ((2, None, 3, 3), ["1 piece chopped after it was reached: H1"]),
        ((None, None), []),
    ],
)
def test_chopping_on_past_the_protocol_s_limit_departs(counts, told):
    assert past_limit(counts) == told


def test_a_piece_left_out_was_chopped_past_the_limit_all_the_same():
    """Its strokes do not count; that the edge had failed by then, and what was seen of it, do."""
    limit = SimpleNamespace(reading="chips_count", value=1)
    study = SimpleNamespace(woods=(), control=None, reference=None, blades=[], limit_value=None)
    rows = [piece(chips_count=1 if n else 0, exclude="lost count" if n > 1 else "")
            for n in range(4)]  # fmt: skip
    found = chop_departures(study, protocol(limit=limit), SimpleNamespace(rows=rows))
    told = [each.done for each in found if each.of == "limit"]
    assert told == ["2 pieces chopped after it was reached: H1"]


def test_a_limit_on_the_largest_chip_takes_the_whole_edge():
    assert past_limit((1.2, 1.2), "largest_chip_mm") == ["1 piece chopped after it was reached: H1"]
    assert past_limit((0.9, 0.9), "largest_chip_mm") == []


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
