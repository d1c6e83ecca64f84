"""Advice is followed test by test and its hours counted; a true claim has no calibration error."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from tests.benchmarks.steel_calibration import calibration, claims_of
from tests.benchmarks.steel_worlds.advice import (
    HOURS,
    do_again,
    do_test,
    follow,
    lot_costs,
    rule_of_thumb,
)
from tests.benchmarks.steel_worlds.blades_of_steel import LEAST_LIFE
from tests.benchmarks.steel_worlds.salvage import case

TESTS = sorted((HOURS.keys() - {"again", "strip"}) | {"trial_blade"})
WAYS = (
    "hotter", "cooler", "normalise", "longer_soak", "faster_quench", "slower_quench",
    "temper_hotter", "temper_cooler", "grind_skin", "repeat",
)  # fmt: skip


def says(*actions):
    """A judge that says one action after the other; each a word, or (word, way, hours)."""
    left = list(actions)

    def judge(seen):
        word, way, hours = left.pop(0) if len(left) > 1 else left[0]
        test = SimpleNamespace(code=way, hours=hours) if hours is not None else None
        return 0.5, SimpleNamespace(action=word, way=way, next_test=test)

    return judge


def drawn(fit, number=0):
    """A case of one steel whose lot is all fit, or all unfit."""
    while True:
        made = case("odd_steels", 2, number, blank=True)
        if set(made.lot_fit) == {fit}:
            return made
        number += 1


def test_hours_of_leaving_using_and_of_a_trial_before():
    for size in (4, 40):
        good, bad = drawn(True), drawn(False)
        assert lot_costs(good.lot_fit, size) == (2 * size, 0)
        assert lot_costs(bad.lot_fit, size) == (2 * size, 10 * size)
        assert follow(good, size, says(("leave", None, None))).hours == 2 * size
        assert follow(bad, size, says(("reuse", None, None))).hours == 10 * size
        went = follow(good, size, says(("go_on", "temper_ladder", 2.5), ("reuse", None, None)))
        assert went.hours == pytest.approx(2.5)
        went = follow(bad, size, says(("go_on", "coupon_oil", 0.5), ("buy_known", None, None)))
        assert went.hours == pytest.approx(2 * size + 0.5)
        assert len(bad.bench.made) == 1


def test_a_trial_blade_that_stood_is_one_of_the_lot_and_one_that_failed_is_lost():
    seen_both = set()
    for number in range(0, 40, 2):
        for size in (4, 40):
            good = drawn(True, number)
            went = follow(
                good, size, says(("reuse_trial", "trial_blade", 8.0), ("reuse", None, None))
            )
            blade = next(one for one in good.bench.trials if one.trial in ("rope", "chop"))
            stood = (blade.life_ratio or 1) >= LEAST_LIFE and blade.result != "worse"
            if stood and blade.edge in (None, "sound", "rolled"):
                assert went.hours == pytest.approx(0.0)
            elif blade.life_ratio is not None and blade.life_ratio < LEAST_LIFE:
                assert went.hours == pytest.approx(8.0)
            seen_both.add(round(went.hours))
    assert seen_both == {0, 8}
    bad = drawn(False)
    went = follow(bad, 4, says(("reuse_trial", "trial_blade", 8.0), ("leave", None, None)))
    assert went.hours == pytest.approx(2 * 4 + 8)


def test_advice_without_an_end_stops_after_six_tests_and_buys_known_steel():
    went = follow(drawn(True), 40, says(("go_on", "sparks", 0.1)))
    assert len(went.steps) == 6
    assert went.hours == pytest.approx(80.6)
    assert not went.made


def test_a_smith_with_a_plain_rule_saves_hours_over_leaving_all_of_forty():
    spent = leave = 0
    for number in range(60):
        made = case("odd_steels", 2, number)
        leave += lot_costs(made.lot_fit, 40)[0]
        spent += follow(made, 40, rule_of_thumb).hours
    assert spent < 0.95 * leave
    assert follow(case("odd_steels", 2, 0), 4, rule_of_thumb).end == "buy_known"


def test_grinding_again_goes_deeper_until_a_case_is_through():
    bench = case("hard_skins", 2, 0, blank=True).bench
    bench.lot["A"] = replace(bench.lot["A"], skin_mm=1.5, skin_hrc=62.0, core_hrc=25.0)
    for _ in range(4):
        do_test(bench, "grind_and_file")
    readings = bench.seen().pieces[0].hardness
    assert readings[0].low_hrc is not None
    assert readings[-1].low_hrc is None or readings[-1].low_hrc < 40


@pytest.mark.parametrize("code", TESTS)
def test_every_named_test_adds_what_it_shows(code):
    bench = case("mixed_lots", 2, 3, blank=True).bench
    before = bench.seen()
    bench.rng = np.random.default_rng(1)
    do_test(bench, code)
    if code != "sparks":  # these were looked at before
        assert bench.seen() != before
    with pytest.raises(ValueError, match="no test"):
        do_test(bench, "horoscope")


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_heating_again_is_done(way):
    bench = case("mixed_lots", 2, 3, blank=True).bench
    do_test(bench, "coupon_oil")
    first = bench.made[0]
    do_again(bench, way)
    last = bench.made[-1]
    readings = len(first.seen.hardness)
    if way == "grind_skin":
        assert (len(bench.made), readings) == (1, 2)
        assert first.seen.hardness[-1].where == "below"
    elif way == "temper_hotter":
        assert len(first.seen.tempers) == 1
    else:
        assert len(bench.made) == 2
    if way in ("hotter", "cooler"):
        assert (last.aim_c > first.aim_c) == (way == "hotter")
    if way in ("faster_quench", "slower_quench"):
        assert last.seen.medium == {"faster_quench": "warm_water", "slower_quench": "air"}[way]


def test_true_claims_have_no_error_and_timid_ones_have():
    rng = np.random.default_rng(4)
    chances = rng.beta(1, 1, 40000)
    fits = rng.random(40000) < chances
    assert calibration(chances, fits).error < 0.01
    assert calibration(0.5 + 0.5 * (chances - 0.5), fits).error == pytest.approx(0.125, abs=0.01)
    assert calibration(np.full(1000, 0.3), np.arange(1000) < 300).error < 0.05


def test_the_program_claims_more_of_a_fit_piece_than_of_an_unfit_one():
    claims = claims_of("odd_steels", 120, 2)
    assert claims.silent == 0
    assert claims.chances[claims.fits].mean() > claims.chances[~claims.fits].mean() + 0.1
