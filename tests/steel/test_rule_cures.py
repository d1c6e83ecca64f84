"""Does a contradiction ask for nothing that was done already?"""

from dataclasses import replace

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.rule_cures import ALL_DONE, RULE_CURES
from edgetest.steel.steel_seen import PieceSeen, TrialSeen
from tests.steel.seen_steel import files, heat, number, seen, temper

HARD, SOFT = files(60, 65, "below"), files(None, 40, "below")


def cure(code, *heats, **of):
    return next(one.cure for one in contradictions(seen(*heats, **of)) if one.code == code)


def test_still_air_is_not_asked_for_where_the_coupon_cooled_in_air():
    hot = (temper(number(61, "below"), 520),)
    in_oil, in_air = heat(HARD, tempers=hot), heat(HARD, medium="air", tempers=hot)
    assert "still air" in cure("hard_after_high_temper", in_oil)
    assert "still air" not in cure("hard_after_high_temper", in_air)
    assert "never cooler" in cure("hard_after_high_temper", in_air)
    assert "still air" not in cure("few_sparks_hard", in_air, sparks="like_low")


def test_what_was_filed_below_the_skin_is_not_to_be_ground_again():
    loose = heat(files(60, 65), files(None, 40))
    assert "Grind" in cure("one_heat_hard_and_soft", loose)
    below = cure("one_heat_hard_and_soft", heat(HARD, SOFT))
    assert "Grind" not in below
    assert "once more" in below


def test_where_all_was_done_the_cure_says_so():
    first = heat(HARD, SOFT)
    more = [heat(HARD, coupon=name, grain="fine") for name in ("2", "3")]
    line = "edgetest enter STUDY --evidence heats piece=A coupon=1 heat=1 exclude=WHY-LEFT-OUT"
    assert cure("one_heat_hard_and_soft", first, *more) == ALL_DONE.format(line=line)


def test_a_reading_of_the_piece_or_its_sparks_is_left_out_by_a_line_of_the_piece():
    hard = [heat(HARD, coupon=name) for name in ("1", "2", "3")]
    hard[0] = replace(hard[0], medium="air")
    assert cure("few_sparks_hard", *hard, sparks="like_low").endswith(
        "`edgetest enter STUDY --evidence pieces id=A --replace sparks=`."
    )


def test_a_piece_that_is_sorted_by_itself_is_named_in_the_line():
    one, other = heat(HARD), heat(SOFT, piece="disc 2")
    what = seen(one, other, lot="discs")
    what = replace(what, pieces=(*what.pieces, PieceSeen("disc 2", lot="discs")))
    found = next(c for c in contradictions(what) if c.code == "alike_differ")
    assert "pieces id='disc 2' --replace lot='disc 2'`." in found.cure
    assert "comes out the same way takes the same `lot='disc 2'`." in found.cure
    assert "A lot of its own has fewer blades at stake" in found.cure
    assert "Harden a coupon of 'disc 2' once more as the harder one was" in found.cure
    still = replace(what, heats=(*what.heats, replace(other, coupon="2")))
    left = next(c for c in contradictions(still) if c.code == "alike_differ")
    assert left.cure.startswith("Where they still differ sort each piece by itself")


def test_the_piece_whose_sparks_alone_are_unlike_is_the_one_to_be_sorted():
    what = seen(heat(HARD), heat(SOFT, piece="B"), lot="discs", sparks="like_high")
    rest = [PieceSeen(name, lot="discs", sparks="between") for name in "BC"]
    found = contradictions(replace(what, pieces=(*what.pieces, *rest)))
    cured = next(c for c in found if c.code == "alike_differ").cure
    assert "Harden a coupon of B once more" in cured
    assert "pieces id=A --replace lot=A`." in cured


def test_a_coupon_that_cracked_is_not_to_be_quenched_hotter():
    loose = files(None, 40)
    assert "hotter" in cure("many_sparks_soft", heat(loose), sparks="like_high")
    assert "hotter" not in cure("many_sparks_soft", heat(loose, cracked=1), sparks="like_high")
    assert "file below the skin" in cure("cracked", heat(loose, cracked=1))
    assert "file below the skin" not in cure("cracked", heat(HARD, cracked=1))


def test_a_coarse_coupon_that_was_cycled_since_is_not_to_be_cycled_again():
    coarse = heat(HARD, grain="coarse")
    assert "Normalise" in cure("coarse_and_hard", coarse)
    again = replace(coarse, coupon="2", cycles=3, grain="fine")
    assert "Normalise" not in cure("coarse_and_hard", coarse, again)


def test_no_quench_is_slower_than_air():
    in_oil = cure("cracked", heat(HARD, cracked=1))
    assert "and quench a fresh one slower. Slower than oil is warm oil, or air. Where" in in_oil
    assert "than oil" not in cure("cracked", heat(HARD, medium="water", cracked=1))
    in_air = cure("cracked", heat(HARD, medium="air", cracked=1))
    assert "slower than air" in in_air
    assert "quench a fresh one slower" not in in_air


def test_a_short_life_leaves_out_what_was_looked_at():
    worse = (TrialSeen("A", "rope", "worse", heat=("1", 1)),)
    tempered = (temper(files(60, 65), 200),)
    first = cure("hard_short_life", heat(files(60, 65), tempers=tempered), trials=worse)
    assert "Break a coupon" in first
    assert "edge angle" in first
    seen_all = heat(HARD, grain="fine", tempers=tempered)
    then = cure("hard_short_life", seen_all, trials=worse)
    assert "Break a coupon" not in then
    assert "File" not in then
    assert "edge angle" in then
    twice = (*worse, TrialSeen("A", "rope", "worse", "rolled", heat=("1", 1)))
    assert "edge angle" not in cure("hard_short_life", seen_all, trials=twice)


@pytest.mark.parametrize("named", [("1", 1), None])
def test_a_blade_that_broke_gets_no_cure_of_a_dull_edge(named):
    trial = TrialSeen("A", "chop", "worse", "broke", heat=named)
    tempered = (temper(files(60, 65), 200),)
    first = cure("hard_short_life", heat(files(60, 65), tempers=tempered), trials=(trial,))
    assert first.startswith("Look at the break: sugar is coarse grain")
    assert first.endswith("Use no blade of this heat treatment: harden a new one, its grain fine, "
                          "and temper it hotter.")  # fmt: skip
    looked = cure("hard_short_life", heat(HARD, grain="fine", tempers=tempered), trials=(trial,))
    assert looked.startswith("Use no blade of this heat treatment")
    for told in (first, looked):
        assert "edge angle" not in told
        assert "run it once more" not in told
    (found,) = contradictions(seen(heat(HARD, tempers=tempered), trials=(trial,)))
    assert found.doubt.text.startswith("Hard, yet the blade broke: suspect too cool a temper, ")
    chipped = replace(trial, edge="chipped")
    (found,) = contradictions(seen(heat(HARD, tempers=tempered), trials=(chipped,)))
    assert found.doubt.text.startswith("Hard, yet the edge gave out early: suspect too cool")
    assert "edge angle" in found.cure


@pytest.mark.parametrize("coating", ["painted", "hard_chrome"])
def test_nothing_coated_is_to_be_ground(coating):
    found = contradictions(seen(heat(HARD, SOFT), coating=coating))
    assert all("Neither grind nor heat" in one.doubt.text for one in found)


@pytest.mark.parametrize("code", RULE_CURES)
def test_every_cure_is_whole_while_nothing_was_done(code):
    assert all(text.endswith(".") for text, _ in RULE_CURES[code])


def test_a_piece_that_sparks_unlike_is_named_for_its_own_difference_alone():
    hard, soft, other = heat(HARD), heat(SOFT, piece="B"), heat(SOFT, piece="C")
    what = seen(hard, soft, other, lot="tines", sparks="between")
    rest = [PieceSeen("B", lot="tines", sparks="between"),
            PieceSeen("C", lot="tines", sparks="like_low")]  # fmt: skip
    found = contradictions(replace(what, pieces=(*what.pieces, *rest)))
    cures = {one.piece: one.cure for one in found if one.code == "alike_differ"}
    for name in "BC":
        assert f"Harden a coupon of {name} once more" in cures[name]
        assert f"pieces id={name} --replace lot={name}`." in cures[name]


def test_coupons_that_differ_still_are_settled_by_one_more_beside_them():
    again = cure("one_heat_hard_and_soft", heat(HARD), heat(SOFT, coupon="2"),
                 heat(files(60, 65, "below"), coupon="3"))  # fmt: skip
    assert "One more coupon, quenched as those that came out alike" in again
    assert "coupon=2 heat=1 exclude=WHY-LEFT-OUT`" in again
    other = cure("one_heat_hard_and_soft", heat(HARD), heat(SOFT, coupon="2"),
                 heat(files(60, 65, "below"), coupon="3", medium="air"))  # fmt: skip
    assert "quenched once more" not in other
