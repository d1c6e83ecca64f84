"""A verdict holds for a sister piece only where the same comes out of that piece by itself."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import pytest

from edgetest.steel.contradictions import Contradiction
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.study.steel.of_the_lot import (
    above_words,
    as_each_says,
    covered,
    holds_words,
    others_words,
    pieces_together,
    title_behind_name,
)
from edgetest.study.steel.steel_result import SteelResult
from tests.steel.seen_steel import files, heat, seen

HARD = files(60, 65, "below")
ALIKE = "This holds for A and B: a blade of each stood."


def other(piece, action="go_on", way="sparks", title="Go on testing: sparks"):
    decision = SimpleNamespace(action=action, way=way, unmended=(), title=title, chance_told=None)
    return SimpleNamespace(piece=piece, decision=decision)


@dataclass(frozen=True)
class Said:
    action: str
    about: str = "lot sale"
    way: str | None = None
    unmended: tuple = ()


@dataclass(frozen=True)
class Verdict:
    piece: str
    decision: Said


def result(
    *quenched, action="reuse", about="lot sale", others=("B",), trials=(), sister="go_on", **of
):
    what = seen(*(heat(HARD, piece=one) for one in quenched), trials=trials, lot="sale")
    lot = [PieceSeen(name, lot="sale") for name in others]
    what = replace(what, pieces=(*what.pieces, *lot, PieceSeen("Z")))
    decision = SimpleNamespace(
        action=action, about=about, title="Reuse it", chance_told=0.94, unmended=()
    )
    return SimpleNamespace(
        seen=what, begun=True, asked=SimpleNamespace(piece="A", decision=decision),
        others=[other(name, **{"action": sister, **of}) for name in others],
    )  # fmt: skip


def test_a_sister_whose_blade_stood_too_has_no_second_answer():
    found = result("A", "B", sister="reuse")
    assert covered(found) == ["B"]
    assert others_words(found) == [ALIKE]


def test_a_sister_whose_coupon_alone_came_out_alike_keeps_its_own_answer():
    told = ["This holds for A alone. Of B no blade stood yet.", "Piece B: Go on testing: sparks."]
    assert others_words(result("A", "B")) == told


@pytest.mark.parametrize(
    ("used", "about"),
    [("A", "piece A"), ("AB", "pieces A and B of lot sale"), ("ABC", "lot sale")],
)
def test_a_lot_is_told_to_be_used_as_far_as_each_piece_says_so(used, about):
    pieces = tuple(PieceSeen(name, lot="sale") for name in "ABC")
    actions = {name: "reuse" if name in used else "go_on" for name in "ABC"}
    verdicts = [Verdict(name, Said(actions[name])) for name in "ABC"]
    found = as_each_says(verdicts, SteelSeen(None, pieces, (), ()))
    assert found[0].decision.about == about
    assert all(one.decision.about == "lot sale" for one in found if one.decision.action == "go_on")


@pytest.mark.parametrize("of", [{"action": "safety_stop"}, {"way": "look_at_coating"}])
def test_a_sister_with_a_coat_of_its_own_keeps_its_own_answer(of):
    first, *rest = others_words(result("A", "B", **of))
    assert first.startswith("This holds for A alone.")
    assert rest == ["Piece B: Go on testing: sparks."]


def test_of_a_sister_that_nobody_quenched_the_page_says_so():
    found = result("A", about="piece A", others=("B", "C"))
    said = "This holds for A alone. Of B and C, of the same lot, nobody has quenched a coupon yet."
    assert holds_words(found) == said
    part = result("A", "B", about="pieces A and B of lot sale", others=("B", "C"), sister="reuse")
    assert holds_words(part).startswith(ALIKE)
    assert "Of C, of the same lot, nobody" in holds_words(part)


def test_sisters_of_one_and_the_same_answer_are_not_told_apart():
    found = result("A", "B", action="carburise")
    found.asked.decision.title = found.others[0].decision.title
    assert holds_words(found) == ""


def test_why_another_piece_is_bought_is_said_without_its_hours_and_ways():
    found = result("A", "B", sister="buy_known", title="Buy known steel")
    why = "It makes 2: known steel for them costs 3 h; the testing still ahead costs more, 5.2 h."
    found.others[0].decision.reasons = (f"{why} This counts 1.5 h. If you go on: x.",)
    assert others_words(found)[-1] == f"Piece B: Buy known steel. {why}"


def test_nothing_is_said_of_a_lot_of_one_or_before_the_first_coupon():
    assert holds_words(result()) == ""
    alone = result("A", others=())
    assert (holds_words(alone), others_words(alone)) == ("", [])


def test_a_sister_whose_evidence_does_not_fit_together_is_said_to_be_so():
    found = result("A", "B")
    text = "Hard, yet coarse in the break: it will chip as it is. Normalise it."
    broken = Contradiction("coarse_and_hard", "B", SimpleNamespace(text=text), "Normalise it.")
    found.others[0].decision.unmended = (broken,)
    told = (
        "Piece B: Go on testing: sparks. What was seen of it does not fit together (hard, yet "
        "coarse in the break: it will chip as it is)."
    )
    assert others_words(found) == ["This holds for A alone. Of B no blade stood yet.", told]


def test_a_rule_that_several_sisters_break_is_told_once():
    found = result("A", "B")
    text = "Two pieces of one lot came out apart. Sort them."
    broken = Contradiction("alike_differ", "B", SimpleNamespace(text=text), "Sort them.")
    found.others[0].decision.unmended = (broken,)
    why = "What was seen of it does not fit together"
    assert others_words(found)[-1].endswith(f"{why} (two pieces of one lot came out apart).")
    second = other("C", title="Go on testing: magnet")
    second.decision.unmended = (broken,)
    found.others.append(second)
    assert others_words(found)[-1] == f"Piece C: Go on testing: magnet. {why} either."
    for one in found.others:
        one.decision = SimpleNamespace(**{**vars(second.decision)})
    said = others_words(found)[-1]
    assert said.startswith("Pieces B and C: ")
    assert "What was seen of them does not fit together (two pieces" in said
    found.others[0].decision = SimpleNamespace(**{**vars(second.decision), "title": "Leave it"})
    found.asked.decision = SimpleNamespace(**{**vars(second.decision), "about": "piece A"})
    assert all(one.endswith(f"{why} either.") for one in others_words(found)[-2:])


CHIPPED, STOOD = TrialSeen("A", "chop", "worse", "chipped"), TrialSeen("A", "chop", "same", "sound")


@pytest.mark.parametrize(
    ("trials", "chance", "told"),
    [((CHIPPED, STOOD), 0.95, True), ((STOOD,), 0.95, False), ((CHIPPED, STOOD), 0.93, False),
     ((replace(CHIPPED, poor_edge="a wire edge"), STOOD), 0.95, False),
     ((CHIPPED, STOOD, replace(STOOD, piece="B")), 0.95, False)],
)  # fmt: skip
def test_an_untried_sister_above_the_piece_that_has_the_proof_is_explained(trials, chance, told):
    found = result("A", "B", trials=trials)
    found.others[0].decision.chance_told = chance
    assert bool(above_words(found)) is told
    if told:
        said = above_words(found)
        assert "The chance of B, of which no blade was tried, is no lower than that of A:" in said
        assert said in others_words(found)
        found.asked, found.others = found.others[0], [found.asked]
        assert above_words(found) == said


def test_the_piece_that_a_line_is_about_is_named_in_it_once():
    found = result("A", about="piece A", sister="reuse", others=("X", "Y"))
    found.others = [other(name, "go_on", "sparks", f"Reuse it (piece {name})") for name in "ZY"]
    assert "Pieces Z and Y: Reuse it." in " ".join(others_words(found))


def test_a_title_behind_the_piece_names_it_no_second_time():
    of = {"title": "Reuse it (piece A)"}
    one = SimpleNamespace(piece="A", decision=SimpleNamespace(**of))
    assert title_behind_name(one) == "Reuse it"
    other = SimpleNamespace(piece="B", decision=SimpleNamespace(title="Reuse it (lot L)"))
    assert title_behind_name(other) == "Reuse it (lot L)"


def test_a_sister_whose_coupon_alone_was_pressed_has_no_blade_that_stood():
    rod = TrialSeen("B", "brass_rod", "same", "sound")
    assert "Of B no blade stood yet." in holds_words(result("A", "B", trials=[rod]))
    chop = TrialSeen("B", "chop", "same", "sound")
    assert "no blade stood yet" not in holds_words(result("A", "B", trials=[chop]))


def test_the_summary_names_its_piece_once():
    one = SimpleNamespace(summary=lambda: "Reuse it (piece A). It looks like a steel.")
    alone = SimpleNamespace(asked=SimpleNamespace(decision=one, piece="A"), others=(), doubts=())
    assert SteelResult.summary(alone) == "Reuse it (piece A). It looks like a steel."
    alone.others = ("B",)
    assert SteelResult.summary(alone) == "Piece A: reuse it. It looks like a steel."


def test_a_sister_quenched_and_not_read_is_not_told_to_be_unquenched():
    found = result("A", others=("B", "C"))
    cracked = heat(piece="B", cracked=1)
    found.seen = replace(found.seen, heats=(*found.seen.heats, cracked))
    said = holds_words(found)
    assert "Of C, of the same lot, nobody has quenched a coupon yet." in said
    assert "Of B, of the same lot, nobody has read a quenched coupon yet." in said


def test_of_several_pieces_their_toughness_was_not_tried():
    words = "Light use only; its toughness was not tried."
    assert pieces_together([("A", words), ("B", words)]) == [
        "Pieces A and B: Light use only; their toughness was not tried."
    ]
    assert pieces_together([("A", words)]) == [f"Piece A: {words}"]


def test_a_sister_of_which_one_blade_stood_and_two_must_is_named():
    lot, asks = ("B", "C", "D"), {"sister": "reuse_trial", "way": "trial_blade"}
    stood = tuple(
        TrialSeen(name, "chop", "same", "sound", heat=("blade1", 1)) for name in ("B", "C")
    )
    one = result(*"ABCD", others=lot, trials=stood[:1], **asks)
    assert holds_words(one) == (
        "This holds for A alone. Of C and D no blade stood yet. Of B one stood, and one more is "
        "asked for."
    )
    both = holds_words(result(*"ABCD", others=lot, trials=stood, **asks))
    assert both.endswith("Of B and C one each stood, and one more each is asked for.")
    assert "asked for" not in holds_words(result(*"ABCD", others=lot, trials=stood, sister="go_on"))
