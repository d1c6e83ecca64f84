"""What comes first where a hard edge gave out early?"""

import pytest

from edgetest.steel.cure_first import (
    chipped_again,
    short_life,
)
from tests.steel.hard_blades import AGAIN, GRIND, HARD, LOOSE, trial
from tests.steel.seen_steel import heat
from tests.steel.stands import stands, step


def short(*trials, done=(), **of):
    at = stands(heat(HARD, **of), trials=trials, done=done)
    return step(short_life(at))


def test_a_hard_edge_that_gave_out_is_looked_into_step_by_step():
    worse = trial("chipped", "worse")
    assert short(worse) == ("go_on", "break_coupon")
    assert short(worse, grain="fine") == (AGAIN, "temper_hotter")
    assert short(worse, fracture="snapped_clean") == (AGAIN, "temper_hotter")
    long = {"too_short": 0.2, "too_cold": 0.15}
    assert short(worse, grain="fine", done=long) == (AGAIN, "temper_hotter")
    assert short(worse, grain="fine", done={**long, "too_cold": 0.16}) == (AGAIN, "longer_soak")
    assert short(trial("rolled", "worse"), grain="fine") is None
    assert short(worse, trial("broke", "worse"), grain="fine") is None
    assert short(worse, trial("broke", "worse", "bend"), grain="fine") == (AGAIN, "temper_hotter")
    at = stands(heat(LOOSE, grain="fine"), trials=[worse])
    assert step(short_life(at)) == GRIND


def test_a_second_blade_that_chips_counts_and_a_bar_does_not():
    assert not chipped_again(stands(trials=[trial("chipped")]))
    assert chipped_again(stands(trials=[trial("chipped"), trial("broke", what="chop")]))
    assert not chipped_again(stands(trials=[trial("chipped"), trial("broke", what="bend")]))
    assert not chipped_again(stands(trials=[trial("chipped"), trial("rolled")]))


@pytest.mark.parametrize(
    ("coupon", "way"),
    [
        ({"colour": "bright_cherry", "grain": "coarse"}, (AGAIN, "normalise")),
        ({"colour": "bright_cherry", "grain": "fine"}, (AGAIN, "temper_hotter")),
        ({"colour": "cherry", "grain": "fine"}, ("go_on", "break_coupon")),
    ],
)
def test_a_coupon_tells_of_the_blade_where_it_was_quenched_alike(coupon, way):
    blade = heat(HARD, coupon="blade1", colour="bright_cherry")
    trials = [trial("chipped", "worse", "chop", heat=("blade1", 1))]
    at = stands(blade, heat(HARD, coupon="2", **coupon), trials=trials)
    assert step(short_life(at)) == way
