"""Settled pieces of any origin teach how good the heap is; with none the chance says how wide."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from edgetest.steel.heap_share import HEAP_SD, HeapShare, heap_share
from edgetest.steel.own_pieces import OwnPieces
from edgetest.steel.steel_tables import STEELS
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import seen

TABLES = load_steel_tables()
FIT_OF_STEEL = np.linspace(0.05, 0.95, len(STEELS))
TINE = {"origin": "harrow_tine", "magnet": "strong", "sparks": "between"}


def chance(*own):
    belief = weigh_steel(seen(use="chopper", **TINE), replace(TABLES, own=own))
    return belief.chance_fit, belief.fit_between


def pieces(fit, unfit, origin="rail"):
    return (OwnPieces(origin, "fit", fit), OwnPieces(origin, "unfit", unfit))


def test_with_nothing_settled_the_chance_stands_and_its_interval_is_wide():
    middle, (low, high) = chance()
    assert low < middle - 0.15
    assert high > middle + 0.15


def test_a_poor_heap_takes_from_the_chance_and_a_good_one_gives():
    (poor, poor_ends), (none, wide), (good, good_ends) = (
        chance(*pieces(2, 18)), chance(), chance(*pieces(19, 1)),
    )  # fmt: skip
    assert poor < none - 0.1
    assert good > none + 0.05
    for low, high in (poor_ends, good_ends):
        assert high - low < 0.7 * (wide[1] - wide[0])


def test_the_steels_of_the_piece_follow_the_heap_and_sum_to_one():
    usual, poor = (
        weigh_steel(seen(use="chopper", **TINE), replace(TABLES, own=own)).explanations
        for own in ((), pieces(1, 19))
    )
    assert poor["plain_low"] > usual["plain_low"]
    assert sum(poor.values()) == pytest.approx(1.0)


def test_the_posterior_is_that_of_bayes_rule_on_the_log_odds():
    own = pieces(3, 9)
    share = heap_share(replace(TABLES, own=own), "plough_disc", FIT_OF_STEEL)
    usual = TABLES.prior("rail") @ FIT_OF_STEEL
    each = 0.5
    found = share.posterior(np.array([each, 1 - each]), np.array([1.0, 0.0]), each).chance

    def weight(shift):
        p = 1 / (1 + np.exp(-(np.log(usual / (1 - usual)) + shift)))
        return np.exp(-0.5 * (shift / HEAP_SD) ** 2) * p**3 * (1 - p) ** 9

    # The piece's own evidence is as likely in every heap: its chance before and behind is 0.5.
    top = quad(lambda s: weight(s) / (1 + np.exp(-s)), -4, 4)[0]
    assert found == pytest.approx(top / quad(weight, -4, 4)[0], abs=0.005)


def test_pieces_of_the_same_origin_stand_in_its_prior_and_are_not_counted_again():
    assert heap_share(replace(TABLES, own=pieces(3, 9)), "rail", FIT_OF_STEEL).pieces == 0
    assert heap_share(replace(TABLES, own=pieces(3, 9)), "gear", FIT_OF_STEEL).pieces == 12


def test_a_chance_of_nothing_or_all_stays_told():
    share = HeapShare(np.ones(41) / 41, 5.0)
    for fit in (0.0, 1.0):
        found = share.posterior(np.array([1.0]), np.array([fit]), 0.5)
        assert found.chance == pytest.approx(fit, abs=0.01)
        assert np.isfinite(found.nodes).all()
