"""How likely is what was seen, by the tables' own numbers worked out?"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.steel.piece_likelihood import (
    LIFE_W,
    LIFE_Z,
    carbon_log_likelihood,
    found_log_likelihood,
    heat_chances,
    trial_likelihood,
)
from edgetest.steel.steel_nodes import DONE, done_chances, steel_nodes
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.steel_tables import STEELS
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, number, temper

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)
HARD = np.zeros((len(DONE), NODES.steel.size))  # no chance of a soft edge
RIGHT, COLD, HOT = (DONE.index(name) for name in ("right", "too_cold", "too_hot"))


def found(**of):
    return np.exp(found_log_likelihood(PieceSeen("A", **of), TABLES))


def test_magnet_and_break_count_in_full():
    assert_allclose(found(), 1)
    assert_allclose(found(magnet="weak"), TABLES.of_steels("magnet", "weak"))
    both = TABLES.of_steels("magnet", "weak") * TABLES.of_steels("fracture", "fibrous")
    assert_allclose(found(magnet="weak", fracture="fibrous"), both)


def test_sparks_beside_one_known_steel_leave_its_grades_open():
    for word, grades in (
        ("more_than_low", ("between", "like_high", "more_than_high")),
        ("fewer_than_high", ("fewer_than_low", "like_low", "between")),
    ):
        each = [TABLES.of_steels("sparks", grade) for grade in grades]
        assert_allclose(found(sparks=word), sum(each))


def test_sparks_stream_and_forging_together_count_by_a_share():
    sparks, forging = TABLES.of_steels("sparks", "between"), TABLES.of_steels("forging", "stiff")
    share = TABLES.row("soft_evidence", "share")["new"]
    assert_allclose(found(sparks="between"), sparks)
    assert_allclose(found(sparks="between", forging="stiff"), (sparks * forging) ** share)
    assert_allclose(found(sparks="between", forging="stiff", carbon_pct=0.5), forging)


def test_hardness_as_found_by_the_bins_that_it_overlaps():
    """Files from 31 to 44, each end a degree wider: all of the bin from 30 to 45 HRC."""
    bins = [TABLES.of_steels("found_below", word) for word in ("under_30", "to_45", "to_57")]
    assert_allclose(found(hardness=(files(31, 44, "below"),)), bins[1])
    assert_allclose(found(hardness=(files(31, 50, "below"),)), bins[1] + bins[2] * 6 / 12)
    assert_allclose(found(hardness=(files(25, 44, "below"),)), bins[0] * 6 / 15 + bins[1])


def test_no_place_told_is_skin_by_the_share_of_the_tables():
    inner = found(hardness=(files(31, 44, "below"),))
    outer = found(hardness=(files(31, 44, "skin"),))
    share = TABLES.row("skin", "not_stated")["of_skin"]
    assert_allclose(outer, TABLES.of_steels("found_skin", "to_45"))
    loose = found(hardness=(files(31, 44),))
    assert_allclose(loose, share * outer + (1 - share) * inner)


def test_an_analysis_is_normal_about_the_carbon_or_wrong():
    piece = PieceSeen("A", carbon_pct=0.5, carbon_u_pct=0.03)
    u = np.hypot(0.03, 0.5 * NODES.spread(TABLES.of_steels("steels", "carbon_sd_pct")))
    wrong = TABLES.row("reading", "wrong")["chance"]
    z = (0.5 - NODES.carbon_pct) / u
    expected = np.log((1 - wrong) * np.exp(-(z**2) / 2) / u + wrong)
    assert_allclose(carbon_log_likelihood(piece, NODES, TABLES), expected)
    assert_allclose(carbon_log_likelihood(PieceSeen("A"), NODES, TABLES), 0)


def by_done(*trials, **of):
    return heat_chances(heat(**of), trials, NODES, TABLES).by_done[:, :, 0, 0]


def test_a_heat_without_a_reading_is_the_chance_of_what_was_done():
    chance = done_chances(heat(heat_c=800.0), TABLES)[:, NODES.steel]
    assert_allclose(by_done(heat_c=800.0), chance)
    grain = np.array([TABLES.chances("grain", done)["coarse"] for done in DONE])
    assert_allclose(by_done(heat_c=800.0, grain="coarse"), chance * grain[:, None])


def test_a_crack_by_medium_heat_and_steel():
    times = TABLES.row("crack", "times")
    water, oil = (TABLES.row("crack", name)["chance"] for name in ("water", "oil"))
    plain = NODES.steel == STEELS.index("plain_high")
    low = NODES.steel == STEELS.index("plain_low")
    bare = by_done(medium="water")
    cracks = by_done(medium="water", cracked=1) / bare
    assert_allclose(cracks[RIGHT][plain], min(water, 0.9))
    assert_allclose(cracks[HOT][plain], min(water * times["too_hot"], 0.9))
    assert_allclose(cracks[RIGHT][low], min(water * times["low_carbon"], 0.9))
    sound = by_done(medium="water", cracked=0) / bare
    assert_allclose(sound + cracks, 1)
    untold = by_done(medium=None, cracked=1) / by_done(medium=None)
    assert_allclose(untold[RIGHT][plain], oil)


def lived(**of):
    return trial_likelihood(TrialSeen("A", **of), HARD, NODES, TABLES)[:, :, 0, :]


def test_results_of_a_trial_add_up_to_one_with_its_share_that_says_nothing():
    results = [lived(trial="rope", result=word) for word in ("worse", "same", "better")]
    assert_allclose(sum(results), 1, atol=1e-12)
    assert_allclose(lived(trial="rope"), 1)  # nothing was told of it
    assert_allclose(lived(trial="bend", result="worse"), 1)  # no edge was worn


def test_a_ratio_of_lives_is_lognormal_about_the_steel_s_life():
    plain = int(np.flatnonzero(NODES.steel == STEELS.index("plain_high"))[0])
    ratio = TABLES.of_steels("life", "ratio")[STEELS.index("plain_high")]
    spread = TABLES.of_steels("life", "spread")[STEELS.index("plain_high")]
    once = TABLES.row("life_heat", "trial")["spread"]
    factor = TABLES.row("life_heat", "too_cold")["ratio"]
    for seen, wrongly in ((0.7, 0.8), (0.86, 0.15), (1.14, 0.15), (1.2, 0.05)):
        got = lived(trial="chop", life_ratio=seen, life_ratio_log_u=0.1)[COLD, plain]
        mean = np.log(factor * ratio) + spread * LIFE_Z
        z = (np.log(seen) - mean) / np.hypot(once, 0.1)
        assert_allclose(got, 0.92 * np.exp(-(z**2) / 2) + 0.08 * wrongly)


def test_an_edge_counts_by_what_was_done_in_the_heat():
    edges = np.array([TABLES.chances("edge", done)["chipped"] for done in DONE])
    assert_allclose(lived(trial="bend", edge="chipped"), np.broadcast_to(
        edges[:, None, None], (len(DONE), NODES.steel.size, LIFE_Z.size)))  # fmt: skip
    assert LIFE_W.sum() == pytest.approx(1)
    assert pytest.approx(0, abs=1e-12) == LIFE_W @ LIFE_Z


def test_a_trial_counts_in_its_own_heat():
    alone = heat_chances(heat(), (), NODES, TABLES).by_done
    trial = TrialSeen("A", "rope", "worse")
    both = heat_chances(heat(), (trial,), NODES, TABLES).by_done
    assert_allclose(both, alone * trial_likelihood(trial, HARD, NODES, TABLES))


def test_a_soft_edge_gives_out_as_after_a_cold_heat_whatever_was_done():
    right, cold = (TABLES.chances("edge", done)["rolled"] for done in ("right", "too_cold"))
    trial = TrialSeen("A", "bend", edge="rolled")
    half = trial_likelihood(trial, HARD + 0.5, NODES, TABLES)[:, :, 0, :]
    assert_allclose(half[RIGHT], (right + cold) / 2)
    assert_allclose(half[COLD], cold)


def rolled_in_a_right_heat(kind, carbon_pct, **of):
    """Chance of a rolled edge after a right heat in a thin plate and water, of a kind's mean."""
    trial = TrialSeen("A", "bend", edge="rolled")
    of = {"medium": "water", "section_mm": 4.0, **of}
    at = np.flatnonzero(NODES.steel == STEELS.index(kind))
    at = at[
        np.argmin(np.abs(NODES.carbon_pct[at] - carbon_pct) + abs(NODES.oil_mm[at] - OIL[kind]))
    ]
    return (by_done(trial, **of) / by_done(**of))[RIGHT][at]


OIL = dict(zip(STEELS, TABLES.of_steels("steels", "oil_mm"), strict=True))


def test_little_carbon_rolls_in_a_right_heat_and_so_does_much_that_was_tempered_away():
    right, cold = (TABLES.chances("edge", done)["rolled"] for done in ("right", "too_cold"))
    assert rolled_in_a_right_heat("plain_low", 0.15) == pytest.approx(cold, abs=0.01)
    assert rolled_in_a_right_heat("plain_high", 0.82) == pytest.approx(right, abs=0.01)
    soft = (temper(number(40), 650),)
    assert rolled_in_a_right_heat("plain_high", 0.82, tempers=soft) == pytest.approx(cold, abs=0.01)
    # Of a case that goes deeper than the grinding, the edge is the case.
    deeper = TABLES.row("skin", "case")["deeper"]
    cased = (1 - deeper) * cold + deeper * right
    assert rolled_in_a_right_heat("surface_hardened", 0.1) == pytest.approx(cased, abs=0.02)


def test_a_rolled_edge_speaks_for_a_steel_that_stays_soft_and_not_for_one_that_hardens():
    rolled = heat_chances(heat(), (TrialSeen("A", "brass_rod", edge="rolled"),), NODES, TABLES)
    likely = rolled.total[:, 0, :].mean(axis=-1)
    low, high = (NODES.steel == STEELS.index(name) for name in ("plain_low", "plain_high"))
    assert likely[low].min() > 2 * np.median(likely[high])


def test_a_rolled_edge_does_not_clear_a_steel_that_stayed_soft():
    """A coupon of 30 to 40 HRC: a rolled edge says no more than that, a sound one a little less."""
    piece = PieceSeen("A", magnet="strong")
    soft = heat(files(30, 40, "below"), medium="water", section_mm=4.0, magnet="lets_go")
    of_blade = ("1", 1)

    def fit(*trials):
        seen = SteelSeen("chopper", (piece,), (soft,), trials)
        return weigh_steel(seen, TABLES, piece="A").chance_fit

    rolled = fit(TrialSeen("A", "brass_rod", edge="rolled", heat=of_blade))
    assert rolled == pytest.approx(fit(), abs=0.005)
