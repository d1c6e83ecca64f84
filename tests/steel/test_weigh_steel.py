"""What a piece may be, by what was seen: the way each piece of evidence points, and its weight."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, files, heat, number, seen, temper

TABLES = load_steel_tables()


def weigh(*args, **of):
    return weigh_steel(seen(*args, **of), TABLES)


def test_nothing_seen_has_no_number():
    assert weigh_steel(SteelSeen(), TABLES).chance_fit is None
    assert weigh(origin="leaf_spring").chance_fit is None


def test_chances_sum_to_one():
    found = weigh(heat(HARD), sparks="between")
    assert sum(found.explanations.values()) == pytest.approx(1)
    assert sum(found.families.values()) == pytest.approx(1)
    assert sum(found.heats[0].chances.values()) == pytest.approx(1)


def test_hard_in_oil_and_many_sparks_is_a_steel_for_hard_edges():
    found = weigh(heat(HARD, section_mm=3), sparks="like_high", stream="bright_forked")
    assert found.family == "hard_edge"
    assert found.chance_fit > 0.5


def test_soft_below_the_skin_from_a_hot_heat_in_water_wants_a_case():
    found = weigh(heat(SOFT, medium="water", heat_c=900), sparks="like_low")
    assert found.family == "case_only"
    assert found.chance_fit < 0.05


def test_a_soft_coupon_is_a_cold_heat_before_it_is_a_poor_steel():
    cold = weigh(heat(SOFT, heat_c=700), sparks="like_high")
    hot = weigh(heat(SOFT, heat_c=830), sparks="like_high")
    assert cold.heats[0].chances["too_cold"] > 0.9
    assert cold.families["hard_edge"] > hot.families["hard_edge"]


def test_the_magnet_at_heat_tells_a_cold_quench():
    assert weigh(heat(SOFT, magnet="holds")).heats[0].chances["too_cold"] > 0.8


def test_coarse_grain_is_a_hot_heat():
    assert weigh(heat(HARD, grain="coarse")).heats[0].chances["too_hot"] > 0.5
    assert weigh(heat(HARD, grain="fine")).heats[0].chances["too_hot"] < 0.05


def test_a_soft_skin_says_less_than_a_soft_inside():
    skin = weigh(heat(files(None, 40, "skin"), magnet="lets_go"), sparks="like_high")
    below = weigh(heat(SOFT, magnet="lets_go"), sparks="like_high")
    assert skin.families["hard_edge"] > below.families["hard_edge"] + 0.05


def test_one_coupon_entered_twice_counts_once():
    one = heat(files(55, 60))
    assert weigh(one, one).explanations == pytest.approx(weigh(one).explanations)
    twice = heat(files(55, 60), files(55, 60))
    assert weigh(twice).explanations == pytest.approx(weigh(one).explanations)


def test_one_file_set_is_off_together():
    """Many coupons in one bracket do not make the hardness as sure as many sets would."""
    many = [heat(files(60, 65), coupon=str(i)) for i in range(8)]
    assert weigh(*many).chance_fit < 0.97


def test_a_laboratory_replaces_the_sparks():
    known = weigh(carbon_pct=0.85, sparks="like_low")
    assert known.explanations == pytest.approx(weigh(carbon_pct=0.85).explanations)
    assert known.families["hard_edge"] > 0.6
    assert weigh(carbon_pct=0.15).family == "case_only"


def test_hard_after_a_hot_temper_is_high_alloy():
    hot = heat(number(62), tempers=(temper(number(61), 520),))
    plain = heat(number(62), tempers=(temper(number(44), 520),))
    assert weigh(hot).families["special_heat"] > 0.2 > 0.05 > weigh(plain).families["special_heat"]


def test_signs_that_decide_alone():
    assert weigh(origin="casting", fracture="grey_crumbly").explanations["cast_iron"] > 0.9
    assert weigh(fracture="fibrous", forging="splits_along_fibres").family == "case_only"
    assert weigh(magnet="none").explanations["stainless_not_hardening"] > 0.5


def test_the_trial_comes_back_into_the_mixture():
    blade = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    bare = weigh(blade, sparks="like_high").chance_fit
    good, bad = (
        weigh(blade, sparks="like_high", trials=(TrialSeen("A", "rope", r),)).chance_fit
        for r in ("better", "worse")
    )
    assert bad < bare < good
    ratio = TrialSeen("A", "rope", life_ratio=0.4, life_ratio_log_u=0.05)
    assert weigh(blade, sparks="like_high", trials=(ratio,)).chance_fit < bad


def test_sister_pieces_that_differ_are_a_mixed_lot():
    pair = PieceSeen("A", lot="x", sparks="like_high"), PieceSeen("B", lot="x", sparks="like_low")
    found = weigh_steel(SteelSeen(None, pair, (heat(HARD),)), TABLES)
    alike = (pair[0], PieceSeen("B", lot="x", sparks="like_high"))
    same = weigh_steel(SteelSeen(None, alike, (heat(HARD),)), TABLES)
    assert found.explanations["mixed_lot"] > 0.3 > same.explanations["mixed_lot"]


def test_the_piece_asked_about_must_be_known():
    with pytest.raises(UnusableInput, match='piece "Z"'):
        weigh_steel(seen(sparks="between"), TABLES, piece="Z")


def test_a_coupon_that_skated_every_file_was_not_too_cold_because_its_blade_gave_out():
    trial = TrialSeen("A", "rope", "worse", "rolled", heat=("1", 1))
    told = heat(files(65, None), medium=None)
    belief = weigh_steel(seen(told, trials=(trial,), use="knife"), TABLES)
    done = belief.heats[0].chances
    assert done["right"] > 0.6
    assert done["too_cold"] < 0.2
    assert belief.explanations["plain_low"] < 0.05


def test_a_case_loses_its_hardness_at_520_and_does_not_harden_in_air():
    hot = heat(number(60), tempers=(temper(number(60), 520),))
    air = heat(number(60, "skin"), medium="air")
    as_quenched = weigh(heat(number(60, "skin")), origin="gear").explanations["surface_hardened"]
    for told in (hot, air):
        found = weigh(told, origin="gear").explanations["surface_hardened"]
        assert found < as_quenched / 2


def test_a_reading_that_came_up_at_a_hotter_temper_raises_no_chance():
    bitten, skated = files(55, 60), files(60, 65)
    once = weigh(heat(files(55, 60, "below"), tempers=(temper(bitten, 175),)))
    slip = weigh(heat(files(55, 60, "below"), tempers=(temper(bitten, 175), temper(skated, 215))))
    assert slip.chance_fit <= once.chance_fit
