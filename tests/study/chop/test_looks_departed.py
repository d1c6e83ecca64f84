"""Looks, closing tests and limits held against the protocol, worked from rows by hand."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_departures import chop_departures
from tests.study.chop.departed_rows import WHOLE, departed, piece, protocol


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


def test_chopping_on_with_a_mended_edge_departs_as_that():
    limit = SimpleNamespace(reading="chips_count", value=1)
    study = SimpleNamespace(woods=(), control=None, reference=None, blades=[], limit_value=None)

    def told(*rows):
        found = chop_departures(study, protocol(limit=limit), SimpleNamespace(rows=rows))
        return [(each.done, each.means) for each in found if each.of == "limit"]

    mended = ChopRow(9, "H1", "touch-up", note="stoned out")
    reached = [piece(chips_count=0), piece(chips_count=1)]
    clean = [piece(chips_count=0), piece(chips_count=0)]
    assert told(*reached, mended, *clean) == [
        ("touched up after it was reached, then 2 pieces more: H1",
         "Later strokes are those of an edge that was mended."),
    ]  # fmt: skip
    assert told(*reached, mended) == []
    assert told(*clean, mended, *clean) == []
    both = [one for one, _ in told(*reached, piece(), mended, *reached, piece())]
    assert both == [
        "2 pieces chopped after it was reached: H1",
        "touched up after it was reached, then 2 pieces more: H1",
    ]


def test_a_limit_on_the_largest_chip_takes_the_whole_edge():
    assert past_limit((1.2, 1.2), "largest_chip_mm") == ["1 piece chopped after it was reached: H1"]
    assert past_limit((0.9, 0.9), "largest_chip_mm") == []


def test_a_limit_of_the_study_s_own_is_not_called_the_protocol_s(tmp_path, run):
    study = 'title = "A hatchet (invented)"\nprotocol = "billet_chop"\nlimit = 3\n'
    (tmp_path / "study.toml").write_text(f'{study}blades = [{{id = "H1"}}]\n', encoding="utf-8")
    rows = ["blade,kind,order,chops,diameter_mm,chips_count", "H1,inspection,0,,,0"]
    rows += [f"H1,billet,{n},20,50,{chips}" for n, chips in enumerate((1, 3, 3), 1)]
    (tmp_path / "chops.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")
    told = run("chop", tmp_path)[1]
    assert "; the study's own limit is 3 new chips: reached" in told
    assert "an end at a limit, here the study's own of 3 new chips; 1 piece chopped" in told
    assert "protocol asks for an end at 3" not in told
