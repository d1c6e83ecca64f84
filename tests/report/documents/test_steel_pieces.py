"""A table tells each piece in one line: what came of it last, and what is next."""

from dataclasses import replace
from types import SimpleNamespace

from edgetest.report.documents.steel_pieces import UNMENDED, lines_of_pieces, pieces_section
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from tests.steel.seen_steel import files, heat, temper

HARD, SOFT = files(60, 65, "below"), files(None, 40, "below")


def verdict(piece, title="Reuse it (piece A)", told=0.944, unmended=()):
    decision = SimpleNamespace(title=title, chance_told=told, unmended=unmended)
    return SimpleNamespace(piece=piece, decision=decision)


def result(*verdicts, begun=True):
    pieces = (
        PieceSeen("A", lot="sale", makes_blades=2.0, sparks="like_high"),
        PieceSeen("B"),
        PieceSeen("C"),
    )
    heats = (
        heat(SOFT),
        heat(HARD, heat=2, tempers=(temper(files(60, 65), 175), temper(files(55, 60), 235))),
        heat(piece="A", coupon="A2"),
        heat(SOFT, piece="B", carburised=True),
    )
    trials = TrialSeen("A", "brass_rod", None, "sound"), TrialSeen("A", "chop", "same", "sound")
    seen = SteelSeen("chopper", pieces[: len(verdicts)], heats, trials)
    asked, *others = verdicts
    return SimpleNamespace(seen=seen, noted=seen, asked=asked, others=others, begun=begun)


THREE = (
    verdict("B", "Leave it", None, unmended=("alike_differ",)),
    verdict("A"),
    verdict("C", "Go on testing: spark it", 0.5),
)


def rows(found):
    return found[0]["blocks"][0]["rows"]


def test_each_piece_has_a_line_in_the_order_of_the_pieces():
    assert rows(pieces_section(result(*THREE), str)) == [
        ["A", "sale", "2, 1 not begun", "like high", "60 to 65 HRC below the skin",
         "235 °C: 55 to 60 HRC",
         "chop: same; sound", "Reuse it", "94 %"],
        ["B", "not noted", "not noted", "not noted",
         "packed with carbon: under 40 HRC below the skin", "not noted", "not noted",
         f"Leave it{UNMENDED}", "none told"],
        ["C", *["not noted"] * 6, "Go on testing: spark it", "50 %"],
    ]  # fmt: skip


def test_every_cell_is_in_the_units_asked_for():
    assert "235 °F" in str(pieces_section(result(*THREE), lambda said: said.replace("°C", "°F")))


def test_few_pieces_and_a_page_not_begun_have_no_table():
    assert pieces_section(result(*THREE[:2]), str) == []
    assert pieces_section(result(*THREE, begun=False), str) == []
    unworked = result(*THREE)
    unworked.noted = replace(unworked.noted, heats=unworked.noted.heats[:3])
    assert pieces_section(unworked, str) == []


def test_a_lot_is_named_as_it_was_typed():
    found = result(*THREE)
    weighed = tuple(replace(one, lot="sale (harrow tine)") for one in found.seen.pieces)
    found.seen = replace(found.seen, pieces=weighed)
    assert [row[1] for row in rows(pieces_section(found, str))] == ["sale", *["not noted"] * 2]


def test_blades_that_nobody_has_begun_and_a_piece_set_aside_are_told():
    whole = result(verdict("A", "Leave it", None), *THREE[::2])
    begun = heat(HARD, piece="A", coupon="blade1", blade="blade1")
    for makes, count, ends in ((3.0, "3, 2 not begun", ""), (0.0, "0", "it makes no blade")):
        piece = replace(whole.noted.pieces[0], makes_blades=makes)
        noted = replace(
            whole.noted, pieces=(piece, *whole.noted.pieces[1:]), heats=(begun,), trials=()
        )
        told = SimpleNamespace(**{**vars(whole), "noted": noted, "seen": noted})
        row = lines_of_pieces(told, str)["rows"][0]
        assert row[2] == count
        assert row[7] == (
            "Leave it; its maker wrote that it makes no blade" if ends else "Leave it"
        )
