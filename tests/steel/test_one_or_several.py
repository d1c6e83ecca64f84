"""Whether a lot is one steel: what one odd piece, or one of another kind, makes of the chance."""

import numpy as np
import pytest
from scipy.special import logsumexp

from edgetest.steel.one_or_several import log_sum
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, files, heat, seen, temper

TABLES = load_steel_tables()


def lot_of(*sparks):
    """What is believed of the first of some tines of one lot."""
    pieces = tuple(PieceSeen(f"T{k}", "harrow_tine", "L", sparks=s) for k, s in enumerate(sparks))
    return weigh_steel(SteelSeen("chopper", pieces), TABLES)


@pytest.mark.parametrize("odd", ["fewer_than_low", "like_low"])
@pytest.mark.parametrize("alike", [2, 3, 4])
def test_one_that_sparks_apart_makes_the_others_less_sure(odd, alike):
    before, after = lot_of(*["like_high"] * alike), lot_of(*["like_high"] * alike, odd)
    assert after.explanations["mixed_lot"] > 0.5 > before.explanations["mixed_lot"]
    assert after.chance_fit < before.chance_fit - 0.01


def test_a_lot_may_hold_one_odd_piece_though_the_others_are_alike():
    # Were each of the pieces drawn anew, five alike would leave 1 % for a lot of several steels.
    assert lot_of(*["like_high"] * 5).explanations["mixed_lot"] > 0.04


@pytest.mark.parametrize("axis", [None, 0, -1])
@pytest.mark.parametrize("keepdims", [True, False])
def test_the_log_of_a_sum_is_scipy_s_to_the_last_bit(axis, keepdims):
    rng = np.random.default_rng(4)
    for spread in (0.1, 30.0, 2000.0):
        a = rng.normal(0, spread, (180, 5, 9))
        a[7] = a[7].max()  # several of them the greatest
        if spread > 1000:
            a[3] = -np.inf
            a[:, 1] = -np.inf
        found, known = (one(a, axis=axis, keepdims=keepdims) for one in (log_sum, logsumexp))
        assert np.shape(found) == np.shape(known)
        assert np.array_equal(found, known)


def believed(*heats):
    return weigh_steel(seen(*heats), TABLES)


@pytest.mark.parametrize("reading", [HARD, files(50, 55)])
def test_coupons_made_alike_that_came_out_alike_say_together_what_one_says(reading):
    one = believed(heat(reading, coupon="A1"))
    for count in (2, 3, 8):
        many = believed(*(heat(reading, coupon=f"A{k}") for k in range(count)))
        assert many.chance_fit == pytest.approx(one.chance_fit, abs=0.01)
        for code, chance in one.explanations.items():
            assert many.explanations[code] == pytest.approx(chance, abs=0.02)


def test_another_quench_or_a_temper_tells_more_than_the_same_again():
    first = heat(files(50, 55), coupon="A1", heat_c=800.0)
    same = believed(first, heat(files(50, 55), coupon="A2", heat_c=800.0))
    hotter = believed(first, heat(files(50, 55), coupon="A2", heat_c=860.0))
    assert abs(hotter.chance_fit - same.chance_fit) > 0.03
    tempered = heat(files(50, 55), coupon="A2", heat_c=800.0, tempers=(temper(SOFT, 200.0),))
    assert believed(first, tempered).chance_fit != pytest.approx(same.chance_fit, abs=1e-3)


def test_pieces_of_one_lot_that_harden_alike_are_no_fresh_proof_of_one_kind():
    """What parts two kinds that both harden so does not grow with every piece of the lot."""

    def odds(count):
        pieces = tuple(PieceSeen(f"D{k}", "plough_disc", "L") for k in range(count))
        heats = tuple(heat(HARD, piece=one.id) for one in pieces)
        found = weigh_steel(SteelSeen("chopper", pieces, heats, ()), TABLES).explanations
        return found["plain_high"] / found["low_alloy_high"]

    assert odds(4) == pytest.approx(odds(1), rel=0.15)
