"""Which cure does each contradiction lead to, on both sides of what decides it?"""

from dataclasses import replace

import pytest

from edgetest.steel.cure_first import (
    coarse,
    cracked,
    drawn_too_far,
    faster_softer,
    few_sparks,
    hot_enough,
    loose,
    not_magnetic,
    odd_temper,
    one_heat,
    skin,
    soft_step,
    temper_read_apart,
    water_allowed,
)
from edgetest.steel.done_before import done_before
from edgetest.steel.steel_nodes import A1_C
from edgetest.steel.steel_seen import TemperSeen
from edgetest.steel.surely import is_true_soft
from edgetest.units import Typed
from tests.steel.hard_blades import AGAIN, GRIND, HARD, INSTRUMENT_U_C, LOOSE, SOFT, trial
from tests.steel.seen_steel import files, heat, number, temper
from tests.steel.stands import stands, step


def test_no_pull_and_many_sparks():
    rule = {"magnet": "none", "sparks": "like_high"}
    assert step(not_magnetic(stands(heat(HARD), **rule))) == ("go_on", "magnet")
    assert step(not_magnetic(stands(heat(SOFT), **rule))) == ("leave", None)
    assert not_magnetic(stands(heat(HARD), magnet="strong", sparks="like_high")) is None


def test_coarse_in_the_break_of_the_best_hard_heat():
    assert step(coarse(stands(heat(HARD, grain="coarse")))) == (AGAIN, "normalise")
    assert coarse(stands(heat(HARD, grain="medium"))) is None
    assert coarse(stands(heat(SOFT, grain="coarse"))) is None
    assert coarse(stands()) is None
    assert coarse(stands(heat(HARD, grain="coarse"), heat(HARD, coupon="2", grain="fine"))) is None


def test_a_crack_asks_for_a_slower_quench_until_a_sound_heat_is_tempered():
    bad = heat(HARD, cracked=1, medium="water")
    assert step(cracked(stands(bad))) == (AGAIN, "slower_quench")
    assert cracked(stands(heat(HARD, cracked=1, medium="air"))) is None
    assert cracked(stands(bad, heat(HARD, coupon="2"))) is None  # its cure, already
    assert cracked(stands(heat(HARD))) is None
    sound = heat(HARD, tempers=(temper(number(60), 200),))
    later = heat(HARD, coupon="2", cracked=1, medium="water")
    assert cracked(stands(sound, later)) is None
    assert step(cracked(stands(heat(HARD, medium="water"), later))) == (AGAIN, "slower_quench")
    assert cracked(stands(heat(HARD), later)) is None  # oil left one whole: no slower one is asked


def pair(soft=(), hard=(), **of):
    return stands(
        heat(HARD, **{"heat_c": 820.0, **dict(hard)}),
        heat(SOFT, coupon="2", **{"heat_c": 820.0, **dict(soft)}),
        **of,
    )


def test_of_one_coupon_read_hard_and_soft_a_mistyped_number_is_asked_about_and_no_other_quenched():
    first, *more = (number(each, "below") for each in (40.4, 60.8, 60.7))
    own = heat(first)
    reason = one_heat(stands(replace(own, hardness=(*own.hardness, *more)))).reason
    assert "where no number of it was mistyped, quench it once more" in reason
    assert "both" not in reason
    assert "quench both once more, alike" in one_heat(pair()).reason


def test_hard_and_soft_from_one_heat():
    assert step(one_heat(pair())) == (AGAIN, "repeat")
    assert one_heat(pair(soft={"heat_c": 819.0})) is None  # plainly the colder
    assert one_heat(pair(soft={"heat_c": None, "magnet": "holds"})) is None
    assert step(one_heat(pair(soft={"heat_c": None}))) == (AGAIN, "repeat")
    assert step(one_heat(stands(heat(LOOSE), heat(files(None, 40), coupon="2")))) == GRIND
    three = [heat(HARD), heat(HARD, coupon="2"), heat(SOFT, coupon="3")]
    assert one_heat(stands(*three)) is None  # two of three decide
    assert one_heat(stands(heat(HARD))) is None


def test_a_colour_tells_the_colder_heat_beyond_its_doubt():
    def told(soft, hard):
        return one_heat(pair({"heat_c": None, "colour": soft}, {"heat_c": None, "colour": hard}))

    assert told("dull_red", "orange") is None
    assert step(told("cherry", "cherry")) == (AGAIN, "repeat")
    assert step(told("orange", "dull_red")) == (AGAIN, "repeat")


def test_as_found_hard_and_soft_is_ground_first():
    found = stands(hardness=(files(60, 65), files(None, 40)))
    assert step(one_heat(found)) == GRIND
    deep = stands(hardness=(files(60, 65, "below"), files(None, 40, "below")))
    assert one_heat(deep) is None


@pytest.mark.parametrize(("chance", "way"), [(0.35, "slower_quench"), (0.36, "cooler")])
def test_the_faster_quench_softer(chance, way):
    quenches = (heat(HARD, medium="oil"), heat(SOFT, coupon="2", medium="water"))
    at = stands(*quenches, chances={"air_hardening": chance / 2, "stainless_hardening": chance / 2})
    assert step(faster_softer(at)) == (AGAIN, way)


def test_the_faster_quench_softer_and_nothing_hard():
    low, high = files(30, 35, "below"), files(42, 45, "below")
    at = stands(heat(high, medium="oil"), heat(low, coupon="2", medium="water"))
    assert step(faster_softer(at)) == (AGAIN, "repeat")
    skins = stands(
        heat(files(42, 45), medium="oil"), heat(files(30, 35), coupon="2", medium="water")
    )
    assert step(faster_softer(skins)) == GRIND
    sound = heat(HARD, medium="oil", tempers=(temper(number(60), 200),))
    assert faster_softer(stands(sound, heat(SOFT, coupon="2", medium="water"))) is None


@pytest.mark.parametrize(("chance", "found"), [(0.35, (AGAIN, "repeat")), (0.36, None)])
def test_harder_after_the_temper(chance, found):
    odd = heat(files(50, 55, "below"), tempers=(temper(files(60, 65, "below"), 200),))
    assert step(odd_temper(stands(odd, chances={"air_hardening": chance}))) == found


def test_hard_after_a_temper_typed_without_its_unit_is_looked_up_before_a_coupon_is_spent():
    bare, told = Typed(400.0, 400), Typed(400.0, "400 °C")
    for reading in (HARD, LOOSE):
        slip, sure = (heat(reading, tempers=(temper(reading, at),)) for at in (bare, told))
        assert step(odd_temper(stands(slip))) == ("go_on", "look_up_degrees")
        assert step(odd_temper(stands(sure))) != ("go_on", "look_up_degrees")
    (broken,) = stands(heat(HARD, tempers=(temper(HARD, bare),))).contradictions
    assert broken.cure.startswith("Look up first whether that temper was in °F or in °C")
    (broken,) = stands(heat(HARD, tempers=(temper(HARD, told),))).contradictions
    assert broken.cure.startswith("Check the oven")


def test_readings_that_disagree_below_the_skin_ask_for_another_heat_and_are_not_in_the_range():
    low, high = files(50, 55, "below"), files(60, 65, "below")
    uneven = heat(HARD, tempers=(TemperSeen(205, hardness=(low, high)),))
    found = temper_read_apart(stands(uneven))
    assert step(found) == (AGAIN, "repeat")
    assert "disagree below the skin too" in found.reason
    stood = trial("sound", "same", heat=("1", 1))
    assert temper_read_apart(stands(uneven, trials=(stood,))) is None
    even = heat(HARD, tempers=(TemperSeen(205, hardness=(low, low)),))
    assert temper_read_apart(stands(even)) is None


def test_hard_after_a_hot_temper():
    hot = heat(HARD, tempers=(temper(files(60, 65, "below"), 500),))
    assert step(odd_temper(stands(hot))) == (AGAIN, "repeat")
    loose_one = heat(LOOSE, tempers=(temper(files(60, 65), 500),))
    assert step(odd_temper(stands(loose_one))) == GRIND
    others = [heat(HARD, coupon=name) for name in "12"]
    assert odd_temper(stands(*others, heat(HARD, coupon="3", tempers=hot.tempers))) is None
    assert step(odd_temper(stands(others[0], heat(HARD, coupon="3", tempers=hot.tempers)))) == (
        AGAIN, "repeat",
    )  # fmt: skip


SKIN_SOFT = (files(None, 40, "skin"), HARD)
SKIN_HARD = (files(60, 65, "skin"), SOFT)


def test_a_soft_skin_is_ground_off_where_the_edge_gave_out():
    at = stands(heat(*SKIN_SOFT), trials=[trial(result="worse")])
    assert step(skin(at)) == (AGAIN, "grind_skin")
    assert skin(stands(heat(*SKIN_SOFT), trials=[trial(result="same")])) is None
    assert skin(stands(heat(*SKIN_SOFT))) is None


def test_the_soft_skin_of_a_coupon_is_not_the_edge_of_a_blade_filed_below_its_own():
    coupon, worse = heat(*SKIN_SOFT, coupon="B1"), trial(result="worse", heat=("blade1", 1))
    filed, unread = heat(HARD, coupon="blade1"), heat(coupon="blade1")
    assert skin(stands(coupon, filed, trials=[worse])) is None
    assert step(skin(stands(coupon, unread, trials=[worse]))) == (AGAIN, "grind_skin")
    chipped = trial("chipped", "worse", heat=("blade1", 1))
    assert skin(stands(coupon, unread, trials=[chipped])) is None  # a soft skin rolls or dulls
    own = heat(*SKIN_SOFT, coupon="blade1")
    assert "may have stood" in skin(stands(own, trials=[worse])).reason


def test_a_hard_skin_over_a_soft_inside_is_a_case_once_it_was_hot_and_fast():
    hot = A1_C + 30 + INSTRUMENT_U_C

    def told(heat_c, medium="water", missed=0.0):
        return step(skin(stands(heat(*SKIN_HARD, heat_c=heat_c, medium=medium), missed=missed)))

    assert told(hot + 1) == ("leave", None)
    assert told(hot - 1) is None
    assert told(hot + 1, medium="oil") is None
    assert told(hot + 1, medium="warm_water") == ("leave", None)
    assert told(hot + 1, medium=None) is None
    assert told(hot + 1, missed=0.35) == ("leave", None)
    assert told(hot + 1, missed=0.36) is None


def test_a_skin_that_is_harder_and_not_hard_is_no_case():
    half_hard = files(50, 55, "skin"), files(None, 40, "below")
    at = stands(heat(*half_hard, heat_c=850.0, medium="water"))
    assert at.broken("skin_differs")
    assert skin(at) is None


def test_skin_and_inside_that_differ_as_found_want_a_coupon():
    assert step(skin(stands(hardness=SKIN_HARD))) == ("go_on", "coupon_oil")
    assert skin(stands(heat(HARD), hardness=SKIN_HARD)) is None


def test_few_sparks_yet_hard():
    few = {"sparks": "like_low"}
    assert step(few_sparks(stands(heat(HARD), **few))) == ("go_on", "coupon_air")
    assert few_sparks(stands(heat(HARD, medium="air"), **few)) is None
    assert step(few_sparks(stands(heat(LOOSE), **few))) == GRIND
    assert step(few_sparks(stands(hardness=(LOOSE,), **few))) == GRIND
    assert few_sparks(stands(hardness=(HARD,), **few)) is None
    alloy = {"chances": {"air_hardening": 0.36}}
    assert few_sparks(stands(heat(HARD), **few, **alloy)) is None
    assert few_sparks(stands(heat(HARD), sparks="between")) is None


@pytest.mark.parametrize(
    ("above_c", "enough"), [(30.0 + INSTRUMENT_U_C, False), (30.1 + INSTRUMENT_U_C, True)]
)
def test_hot_enough_is_past_the_change_by_what_the_thermometer_is_unsure_of(above_c, enough):
    one = heat(SOFT, heat_c=A1_C + above_c)
    assert hot_enough(stands(one), one) == enough


def test_a_heat_that_nothing_told_is_not_known_to_be_hot_enough():
    assert not hot_enough(stands(), heat(SOFT))
    assert hot_enough(stands(), heat(SOFT, colour="orange"))
    assert not hot_enough(stands(), heat(SOFT, magnet="holds"))


def test_a_soft_coupon_is_ground_then_quenched_hotter():
    hot = {"heat_c": 850.0}

    def told(*heats, missed=0.0):
        return step(soft_step(stands(*heats, missed=missed), heats[-1]))

    assert told(heat(SOFT, magnet="holds")) == (AGAIN, "hotter")
    assert told(heat(files(None, 40), **hot)) == GRIND
    assert told(heat(SOFT)) == (AGAIN, "hotter")
    assert told(heat(SOFT, **hot)) is None
    assert told(heat(SOFT, **hot), missed=0.35) is None
    assert told(heat(SOFT, **hot), missed=0.36) == (AGAIN, "hotter")
    two = [heat(SOFT, coupon=name, **hot) for name in "12"]
    assert told(*two, heat(SOFT, coupon="3")) == (AGAIN, "hotter")
    three = [heat(SOFT, coupon=name, **hot) for name in "123"]
    assert told(*three, missed=0.9) is None  # three hot heats tell it
    cold = [heat(SOFT, coupon=name) for name in "1234"]
    assert told(*cold[:3]) == (AGAIN, "hotter")
    assert told(*cold) is None


@pytest.mark.parametrize(
    ("medium", "chance", "allowed"),
    [
        ("water", 0.2, True), ("water", 0.21, False), ("oil", 0.0, False), ("air", 0.0, False),
        ("warm_water", 0.2, True),
    ],
)  # fmt: skip
def test_water_only_where_it_did_not_harden_slower(medium, chance, allowed):
    at = stands(heat(HARD, medium=medium), chances={"air_hardening": chance})
    assert water_allowed(at, 0.2) == allowed


def test_what_was_read_below_the_skin_alone_is_truly_soft():
    assert is_true_soft(heat(SOFT))
    assert not is_true_soft(heat(files(None, 40)))
    assert not is_true_soft(heat(SOFT, HARD))
    assert not is_true_soft(heat())
    assert not loose(heat())
    assert loose(heat(LOOSE))
    assert not loose(heat(LOOSE, HARD))


def test_readings_apart_after_one_temper_are_made_again_below_the_skin_before_it_is_judged():
    def after(*readings, then=()):
        drawn = replace(temper(readings[0], 204), hardness=readings)
        below = files(60, 65, "below")  # as quenched, which does not stand for the temper
        return stands(heat(below, tempers=(drawn, *then)))

    apart = files(45, 50), files(60, 65)
    assert step(temper_read_apart(after(*apart))) == GRIND
    assert not done_before(after(*apart), temper_read_apart(after(*apart)))
    assert "below the skin" in after(*apart).broken("temper_read_apart").cure
    assert temper_read_apart(after(files(55, 60), files(60, 65))) is None
    below = after(*(replace(one, where="below") for one in apart))
    later = after(*apart, then=(temper(files(55, 60), 220),))
    assert step(temper_read_apart(below)) == (AGAIN, "repeat")
    assert temper_read_apart(later) is None
    for told in (below, later):  # nothing is left to grind
        assert told.broken("temper_read_apart").cure.startswith("Where they still differ")
        assert done_before(told, temper_read_apart(after(*apart)))


def test_a_drop_that_no_temper_makes_is_read_again_also_on_clean_steel_before_any_new_temper():
    def after(*readings):
        drawn = temper(readings[0], 204)
        return stands(heat(HARD, tempers=(replace(drawn, hardness=readings),)))

    soft, below = files(45, 50), files(45, 50, "below")
    assert step(drawn_too_far(after(soft))) == step(drawn_too_far(after(below))) == GRIND
    assert "read it once more" in drawn_too_far(after(below)).reason
    assert "once more below the skin" in after(below).broken("drawn_too_far").cure
    assert drawn_too_far(after(below, below)) is None
    assert "once more" not in after(below, below).broken("drawn_too_far").cure
    assert drawn_too_far(after(files(55, 60))) is None
