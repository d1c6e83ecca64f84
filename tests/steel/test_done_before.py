"""Is a step that was taken, and changed nothing, ever asked for again?"""

from dataclasses import replace

import pytest

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.done_before import done_before
from edgetest.steel.situation import Situation
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import SOFT, files, heat, number, seen, temper
from tests.steel.stands import stands

TABLES = load_steel_tables()
PIECE = {"magnet": "strong", "sparks": "like_high", "coating": "none", "makes_blades": 20,
         "origin": "saw_blade"}  # fmt: skip
BELOW = files(60, 65, "below")
BELOW_LOWER = files(55, 60, "below")
BELOW_HEAT = heat(BELOW)
IN_RANGE = heat(BELOW, grain="fine", tempers=(temper(files(57, 62), 200),))


def told(*heats, trials=(), use="knife", **of):
    what = seen(*heats, trials=trials, use=use, **PIECE | of)
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())


def test_a_sound_coupon_from_a_slower_quench_ends_the_cracks():
    cracked = heat(BELOW, medium="water", grain="fine", cracked=1)
    assert told(cracked).way == "slower_quench"
    assert told(cracked, heat(BELOW, grain="fine", coupon="2")).way != "slower_quench"


def test_a_cooler_temper_that_made_it_no_harder_is_not_followed_by_a_cooler_one():
    hot = heat(BELOW, grain="fine", tempers=(temper(number(55), 260, for_use=True),))
    assert told(hot).way == "temper_cooler"
    cooler = heat(BELOW, grain="fine", coupon="2", tempers=(temper(number(54), 220),))
    assert told(hot, cooler).way != "temper_cooler"


def test_a_coupon_that_would_not_break_is_not_to_be_broken_again():
    worse = (TrialSeen("A", "rope", "worse", heat=("1", 1)),)
    blade = heat(BELOW, tempers=(temper(files(57, 62), 200),))
    assert told(blade, trials=worse).way == "break_coupon"
    tough = heat(BELOW, tempers=(temper(files(57, 62), 200),), fracture="did_not_break")
    assert told(tough, trials=worse).way != "break_coupon"


def test_a_long_soak_is_not_asked_for_twice():
    short = heat(BELOW, grain="fine", soak_min=0.5, tempers=(temper(files(57, 62), 200),))
    worse = (TrialSeen("A", "rope", "worse", "rolled", life_ratio=0.6, heat=("1", 1)),)
    first = told(short, trials=worse, origin="ball_bearing")
    again = replace(short, heat=2, soak_min=15.0)
    then = told(short, again, trials=worse, origin="ball_bearing")
    assert (first.way, then.way == "longer_soak") == ("longer_soak", False)


def test_a_long_soak_of_a_coupon_is_none_of_the_blade_that_gave_out():
    blade = heat(BELOW, coupon="blade1", soak_min=0.5)
    coupon, later = heat(BELOW, soak_min=15.0), heat(BELOW, coupon="2", soak_min=15.0)
    worse = (TrialSeen("A", "rope", "worse", "rolled", heat=("blade1", 1)),)
    assert not stood("longer_soak", coupon, blade, later, trials=worse)
    assert stood("longer_soak", coupon, replace(blade, soak_min=15.0), trials=worse)
    assert stood("longer_soak", blade, replace(blade, heat=2, soak_min=15.0), trials=worse)
    unnamed = (TrialSeen("A", "rope", "worse", "rolled"),)
    assert stood("longer_soak", coupon, trials=unnamed)


LADDER = tuple(temper(number(h), c) for h, c in ((63, 180), (61, 220), (58, 260)))
SHORT = tuple(replace(one, time_min=5.0) for one in LADDER)
LOOSE = heat(files(60, 65))
STOOD, FAILED = (TrialSeen("A", "rope", word) for word in ("same", "worse"))


@pytest.mark.parametrize(
    ("way", "before", "after"),
    [
        ("grind_and_file", (BELOW_HEAT, LOOSE), (LOOSE, BELOW_HEAT)),
        ("coupon_oil", (heat(BELOW, medium="air"),), (BELOW_HEAT,)),
        ("break_coupon", (BELOW_HEAT,), (heat(BELOW, fracture="did_not_break"),)),
        ("slower_quench", (heat(BELOW, cracked=1),), (heat(BELOW),)),
        ("slower_quench", (heat(BELOW, cracked=1),), (heat(BELOW, medium="air", cracked=1),)),
        ("temper_ladder", (IN_RANGE,), (heat(BELOW, tempers=LADDER),)),
        ("temper_ladder", (heat(BELOW, tempers=SHORT),), (heat(BELOW, tempers=LADDER),)),
        ("grind_skin", (BELOW_HEAT,), (heat(BELOW, BELOW_LOWER),)),
        ("grind_skin", (BELOW_HEAT, STOOD), (BELOW_HEAT, STOOD, FAILED)),
        ("trial_blade", (BELOW_HEAT, STOOD), (BELOW_HEAT, STOOD, FAILED)),
    ],
)
def test_what_shows_that_a_step_was_done(way, before, after):
    for what, expected in ((before, False), (after, True)):
        trials = tuple(one for one in what if isinstance(one, TrialSeen))
        heats = [one for one in what if one not in trials]
        told_apart = [replace(one, coupon=str(i)) for i, one in enumerate(heats)]
        found = seen(*told_apart, trials=trials, use="knife", **PIECE)
        at = Situation(found, found.pieces[0], weigh_steel(found, TABLES), TABLES)
        assert done_before(at, TradeStep("go_on", way, "")) is expected


def test_two_blades_are_enough():
    worse = tuple(TrialSeen("A", "rope", result, "sound") for result in ("same", "worse"))
    for use in ("knife", "chopper"):
        assert told(IN_RANGE, trials=worse, use=use).action != "reuse_trial"


def test_a_laboratory_that_has_spoken_is_not_asked_again():
    no_fire = SteelLosses(no_test=("coupon_oil", "coupon_air"))
    for carbon, expected in ((None, "laboratory"), (0.6, "leave")):
        what = seen(use="knife", **PIECE, carbon_pct=carbon)
        belief = weigh_steel(what, TABLES)
        assert decide(what, belief, TABLES, no_fire).action == expected
        at = Situation(what, what.pieces[0], belief, TABLES)
        assert done_before(at, TradeStep("laboratory", None, "")) is (carbon is not None)


def sister(name, reading):
    return HeatSeen(name, medium="oil", hardness=(reading,), grain="fine")


@pytest.mark.parametrize(
    ("quenched", "expected"),
    [((), ("go_on", "second_piece", "piece A")), ((BELOW,), ("reuse", None, "lot saws"))],
)
def test_a_lot_is_sampled_before_the_rest_of_it_is_made(quenched, expected):
    pieces = tuple(PieceSeen(name, lot="saws", **PIECE) for name in "AB")
    heats = (IN_RANGE, *(sister("B", one) for one in quenched))
    what = SteelSeen("knife", pieces, heats, (TrialSeen("A", "rope", "same", "sound"),))
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.action, found.way, found.about) == expected


def test_a_lot_is_not_spoken_for_by_two_of_three():
    pieces = tuple(PieceSeen(name, lot="saws", **PIECE) for name in "ABC")
    stood = (TrialSeen("A", "rope", "same", "sound"),)
    what = SteelSeen("knife", pieces, (IN_RANGE, sister("B", BELOW)), stood)
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.action, found.about) == ("reuse", "pieces A and B of lot saws")


def test_the_headline_of_reuse_names_the_piece_and_no_sister_that_nobody_quenched():
    stood = (TrialSeen("A", "rope", "same", "sound"),)
    found = told(IN_RANGE, trials=stood, lot="saws")
    assert (found.action, found.title) == ("reuse", "Reuse it (piece A)")
    assert found.reasons[0] == "The trial blade stood beside the known one: make the rest."


def test_a_step_names_the_coupon_and_the_heat_it_goes_on_with():
    hard = heat(number(65), grain="fine", coupon="7", heat=2, tempers=(temper(number(64), 160),))
    found = told(heat(coupon="6"), hard)
    assert found.way == "temper_hotter"
    assert "(coupon 7, heat 2)" in found.title
    assert found.to_dict() | {"coupon": "7", "heat": 2, "about": "piece A"} == found.to_dict()
    assert "coupon" not in told().title.replace("a coupon", "")


def stood(way, *heats, **of):
    return done_before(stands(*heats, **of), TradeStep("go_on", way, "why"))


@pytest.mark.parametrize(
    ("first", "second", "done"),
    [
        # (°C, HRC) of two tempers: a cooler one that was no harder, or as cool as tempers go.
        ((220, 58), (200, 58), True),
        ((220, 58), (200, 57), True),
        ((220, 58), (200, 59), False),
        ((220, 58), (175, 59), True),
        ((220, 58), (176, 59), False),
        ((200, 58), (200, 58), False),
        ((175, 58), (175, 59), False),
        ((200, 58), (220, 58), False),
    ],
)
def test_a_cooler_temper_was_tried_where_it_was_no_harder(first, second, done):
    one, two = (temper(number(hrc, "below"), at) for at, hrc in (first, second))
    heats = [heat(BELOW, tempers=(one,)), heat(BELOW, coupon="2", tempers=(two,))]
    assert stood("temper_cooler", *heats) == done
    assert not stood("temper_cooler", heats[1])


def test_of_a_coupon_its_last_temper_alone_counts():
    hot, cool = temper(number(58, "below"), 220), temper(number(58, "below"), 200)
    assert not stood("temper_cooler", heat(BELOW, tempers=(hot, cool)))
    untold = temper(number(58, "below"), None)
    assert not stood("temper_cooler", heat(BELOW, tempers=(hot,)), heat(BELOW, tempers=(untold,)))


def test_each_step_by_what_shows_that_it_was_taken():
    skin = files(60, 65, "skin")
    assert stood("grind_and_file", heat(BELOW))
    assert not stood("grind_and_file", heat(BELOW), heat(skin, coupon="2"))
    assert stood("grind_and_file", hardness=(BELOW,))
    assert not stood("grind_and_file", hardness=(skin,))
    assert stood("coupon_oil", heat(BELOW))
    assert not stood("coupon_oil", heat(BELOW, medium="water"))
    assert not stood("coupon_oil", heat())
    assert stood("break_coupon", heat(BELOW, grain="fine"))
    assert stood("break_coupon", heat(BELOW, fracture="fibrous"))
    assert not stood("break_coupon", heat(BELOW, grain="fine"), heat(BELOW, coupon="2"))
    assert stood("slower_quench", heat(BELOW))
    assert not stood("slower_quench", heat(BELOW, cracked=1))
    assert stood("slower_quench", heat(BELOW, cracked=1, medium="air"))
    assert not stood("slower_quench", heat(BELOW), heat(BELOW, coupon="2", cracked=1))
    assert stood("longer_soak", heat(BELOW, soak_min=10.0))
    assert not stood("longer_soak", heat(BELOW, soak_min=9.9))
    steps = tuple(temper(number(58, "below"), at) for at in (180, 200, 220))
    assert stood("temper_ladder", heat(BELOW, tempers=steps))
    assert not stood("temper_ladder", heat(BELOW, tempers=steps[:2]))
    assert stood("grind_skin", heat(BELOW, SOFT))
    assert not stood("grind_skin", heat(BELOW, skin))
    assert stood("laboratory", carbon_pct=0.5)
    assert not stood("laboratory")
    assert not stood("magnet", magnet="strong")


@pytest.mark.parametrize(("way", "blades"), [("trial_blade", 2), ("sharpen_again", 2)])
def test_so_many_blades_were_tried_and_bars_count_for_none(way, blades):
    blade, bar = TrialSeen("A", "rope", "worse"), TrialSeen("A", "bend", edge="broke")
    assert stood(way, trials=[blade] * blades)
    assert not stood(way, trials=[blade] * (blades - 1) + [bar] * 3)
    assert stood("grind_skin", trials=[blade] * 2)
    assert not stood("grind_skin", trials=[blade, bar])
