"""One odd piece of a lot makes many pairs: its heat is named once; paper tells the place too."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.doubts import Where, doubt
from edgetest.report.documents.steel_sheet import build_steel_document
from edgetest.steel.contradictions import Contradiction
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.places_seen import (
    TYPED_WRONG,
    broken_told,
    places_in_words,
    with_cures,
    with_places,
)
from tests.study.steel.found_steel import PIECE, make_study

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

ODD = "piece tine 4, coupon T4, heat 1"


def pairs(*names):
    return [f"{ODD} and piece tine {n}, coupon T{n}, heat 1" for n in names]


def test_a_heat_held_against_many_is_named_once():
    said = places_in_words(pairs(1, 2, 3))
    assert said == f"{ODD}, beside tine 1 (T1), tine 2 (T2) and tine 3 (T3)"
    assert places_in_words(pairs(1, 2)) == "; ".join(pairs(1, 2))
    assert places_in_words(["piece A", *pairs(1)]) == f"piece A; {pairs(1)[0]}"


def test_each_cure_stands_with_its_places():
    one = with_cures("They differ.", {"Mend it.": pairs(1, 2, 3)})
    assert one.startswith("They differ. Mend it. Seen in: piece tine 4, coupon T4, heat 1, beside")
    two = with_cures("They differ.", {"Mend it.": ["piece A"], "Sort it.": ["piece B"]})
    assert two == "They differ. Seen in piece A: Mend it. Seen in piece B: Sort it."


def test_a_slip_of_the_pen_is_asked_about_before_any_new_heat_and_once():
    def broken(code, says):
        told = SimpleNamespace(text=f"{says} Harden it again.", where=Where(blade="piece A"))
        return Contradiction(code, "A", told, "Harden it again.")

    alike, few = broken("alike_differ", "They differ."), broken("few_sparks_hard", "Yet hard.")
    first, second, third = broken_told([broken("cracked", "It cracked."), alike, alike, few])
    assert first == "It cracked. Harden it again. Seen in: piece A."
    asked = f"They differ. {TYPED_WRONG} Harden it again. Seen in: piece A"
    assert second.startswith(asked)
    assert TYPED_WRONG not in third


def test_what_each_cure_ends_with_is_said_once():
    cures = {"Harden A once more. Mark it.": ["piece A"], "Mark it.": ["piece B"]}
    assert with_cures("They differ.", cures).endswith(
        "Seen in piece A: Harden A once more. Mark it. Seen in piece B: Mark it."
    )
    cures = {"Harden A. Mark it.": ["piece A"], "Harden B. Mark it.": ["piece B"]}
    assert with_cures("They differ.", cures) == (
        "They differ. Seen in piece A: Harden A. Seen in piece B: Harden B. Mark it."
    )


def test_a_remark_names_its_place_and_a_doubt_of_the_study_none():
    told = doubt("skin_differs", how="softer", where=Where(blade=ODD))
    assert with_places([told], [told])[0].endswith(f" Seen in: {ODD}.")
    assert with_places([told], []) == [told.text]
    other = replace(told, where=Where(blade="piece B"))
    both = with_places([told, other, told], [told, other])
    assert [one.endswith(f" Seen in: {ODD}; piece B.") for one in both] == [True]


def test_paper_says_of_which_coupon_the_skin_is_soft(tmp_path):
    coupon = (
        '[[evidence.heats]]\ncoupon = "D1"\nmedium = "oil"\nhardness_skin = "<40"\n'
        'hardness_below = "60-65"\ngrain = "fine"\n'
    )
    result = judge_steel(make_study(tmp_path / "s", evidence=PIECE + coupon), try_numbers=False)
    (page,) = build_steel_document(result, tmp_path / "out", kinds=("html",))
    said = " ".join(page.read_text(encoding="utf-8").split()).replace("\u00a0", " ")
    assert "Seen in: piece leaf, coupon D1, heat 1." in said
