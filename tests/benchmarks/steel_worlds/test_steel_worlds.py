"""The physics of the five worlds holds where a textbook can be asked, and a seed brings it back."""

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest

from tests.benchmarks.steel_worlds.articles import drawn_piece
from tests.benchmarks.steel_worlds.austenite import austenite, grain_before
from tests.benchmarks.steel_worlds.blades_of_steel import USES, fitness
from tests.benchmarks.steel_worlds.hardening import BATH_C, SEVERITY, crack_chance, hardened
from tests.benchmarks.steel_worlds.salvage import WORLDS, case
from tests.benchmarks.steel_worlds.seeing import drawn_person, file_reading, sparks_seen
from tests.benchmarks.steel_worlds.softening import tempered_hrc
from tests.benchmarks.steel_worlds.steels import GRADES, Steel, drawn_steel

PLAIN = Steel("plain", "plain_high", c=0.8, mn=0.7, si=0.2)


def quenched(steel, t_c, medium, section=4.0, soak=8.0, grain=18.0, bath_c=None):
    bath = BATH_C[medium] if bath_c is None else bath_c
    return hardened(steel, steel.c, (t_c, soak, SEVERITY[medium], bath), section, grain)


def test_more_carbon_is_harder_up_to_0_6_pct():
    hrc = [quenched(replace(PLAIN, c=c), 880, "brine", 1.0).hrc for c in np.arange(0.1, 0.61, 0.05)]
    assert np.all(np.diff(hrc) > 0)
    # ASTM A255, initial hardness at 0.20, 0.40 and 0.60 % C: 44, 56 and 64 HRC; from memory.
    for c, said in ((0.2, 44), (0.4, 56), (0.6, 64)):
        assert quenched(replace(PLAIN, c=c), 880, "brine", 0.5).hrc == pytest.approx(said, abs=2.5)


@pytest.mark.parametrize("name", sorted(GRADES))
def test_oil_is_never_harder_than_water_in_one_sound_heat_without_retained_austenite(name):
    rng = np.random.default_rng(3)
    for _ in range(12):
        steel = drawn_steel(rng, name)
        for t_c in (780, 820, 900):
            oil, water = (quenched(steel, t_c, m, bath_c=20.0) for m in ("oil", "water"))
            if water.retained < 0.05:
                assert water.hrc >= oil.hrc - 1e-9


def test_below_the_lower_critical_nothing_hardens_and_between_the_two_it_hardens_partly():
    steel = replace(PLAIN, c=0.4)
    cold, part, whole = (quenched(steel, t, "brine", 1.5) for t in (700, 755, 850))
    assert cold.martensite == 0
    assert cold.hrc < 20
    assert cold.hrc < part.hrc < whole.hrc
    assert 0 < austenite(steel, 0.4, 755, 8, 18).share < 1


def test_tempering_softens_plain_steel_more_the_hotter_and_the_longer():
    for c in (0.3, 0.5, 0.65, 0.8):
        steel = replace(PLAIN, c=c)
        state = quenched(steel, 820, "water")
        hrc = [tempered_hrc(steel, state, t, 1.0) for t in range(150, 651, 25)]
        assert hrc[0] <= state.hrc + 0.5
        assert np.all(np.diff(hrc) <= 0.3)
        assert tempered_hrc(steel, state, 300, 10) < tempered_hrc(steel, state, 300, 1)
    # Plain 0.8 % C after 1 h at 200, 300 and 400 °C: 62, 55 and 47 HRC; tables, from memory.
    state = quenched(PLAIN, 790, "water", 2.0)
    for t_c, said in ((200, 62), (300, 55), (400, 47)):
        assert tempered_hrc(PLAIN, state, t_c, 1.0) == pytest.approx(said, abs=3)


def test_high_speed_steel_hardens_again_at_the_secondary_temper():
    steel = drawn_steel(np.random.default_rng(1), "high_speed")
    state = quenched(steel, 1180, "oil")
    assert tempered_hrc(steel, state, 540, 1) > tempered_hrc(steel, state, 400, 1) + 2
    assert tempered_hrc(PLAIN, quenched(PLAIN, 820, "oil"), 540, 1) < 40


def test_hardenability_section_and_medium_go_the_way_of_grossmann():
    chrome = replace(PLAIN, c=0.6, cr=0.8, mn=0.9)
    assert quenched(chrome, 840, "oil", 8).hrc > quenched(replace(chrome, cr=0), 840, "oil", 8).hrc
    assert quenched(PLAIN, 820, "oil", 4).hrc > quenched(PLAIN, 820, "oil", 12).hrc
    air = drawn_steel(np.random.default_rng(2), "cold_work_5")
    assert quenched(air, 950, "air", 10).hrc > 58
    assert quenched(PLAIN, 820, "air", 4).hrc < 42


def test_overheating_coarsens_normalising_refines_and_high_carbon_keeps_austenite():
    assert quenched(PLAIN, 1000, "oil").grain_um > 2 * quenched(PLAIN, 820, "oil").grain_um
    assert grain_before(True, 3, 30.0) < 0.5 * grain_before(True, 0, 30.0)
    rich = replace(PLAIN, c=1.2, mn=0.3)
    hot, right = quenched(rich, 950, "water"), quenched(rich, 780, "water")
    assert hot.retained > right.retained + 0.1
    assert hot.hrc < right.hrc


def test_cracks_come_with_carbon_alloy_and_a_faster_bath():
    def crack(steel, medium):
        return crack_chance(quenched(steel, 830, medium), SEVERITY[medium], 4.0)

    spring = replace(PLAIN, c=0.6, cr=0.8)
    assert crack(spring, "oil") < 0.02 < 0.1 < crack(spring, "water")
    assert crack(replace(PLAIN, c=0.4), "water") < crack(PLAIN, "water")


def test_fit_is_what_a_smith_expects_of_the_known_steels():
    rng = np.random.default_rng(5)
    for origin, use, grade, fit in (
        ("rail", "chopper", "rail", True),
        ("saw_blade", "knife", "saw_nickel", True),
        ("structural", "knife", "mild", False),
        ("gear", "chisel", "case_alloy", False),
        ("old_wrought", "hedging_tool", "wrought", False),
        ("casting", "knife", "grey_iron", False),
        ("casting", "knife", "white_iron", False),
        ("planer_or_die", "chopper", "high_speed", False),
    ):
        piece = drawn_piece(rng, origin)
        while piece.steel.name != grade:
            piece = drawn_piece(rng, origin)
        truth = fitness(use, piece)
        assert truth.fit == fit, (grade, use, truth)
        if fit:
            assert USES[use].low_hrc <= truth.hrc <= USES[use].high_hrc
            assert truth.life >= 0.8


def test_pores_make_a_blade_brittle_however_hard_it_gets():
    piece = drawn_piece(np.random.default_rng(5), "rail")
    assert fitness("chopper", piece).fit
    pressed = replace(piece, steel=replace(piece.steel, c=0.85, mn=1.0, body="sintered"))
    assert fitness("chopper", pressed).why_not == "brittle"


def test_a_case_is_hard_on_the_skin_and_soft_below_as_found_and_after_a_heat():
    rng = np.random.default_rng(7)
    piece = drawn_piece(rng, "gear")
    while piece.steel.name != "case_alloy" or piece.skin_hrc < 50:
        piece = drawn_piece(rng, "gear")
    assert piece.found_hrc(0.2) > 55 > piece.found_hrc(3.0)
    heat = (820.0, 8.0, SEVERITY["oil"], 60.0)
    skin, core = (hardened(piece.steel, piece.carbon_at(d), heat, 5, 18).hrc for d in (0.2, 3.0))
    assert skin > 58 > 48 > core


def test_files_and_sparks_are_mostly_right_and_wrong_as_often_as_is_said():
    rng = np.random.default_rng(8)
    people = [drawn_person(rng) for _ in range(400)]
    grade = [
        [sparks_seen(rng, p, drawn_steel(rng, n), c) for p in people]
        for n, c in (("mild", 0.12), ("file", 1.0))
    ]
    for seen, said in zip(grade, ("like_low", "like_high"), strict=True):
        assert 0.64 < np.mean([g == said for g in seen]) < 0.87
    seen = [file_reading(rng, p, 57.5, "below") for p in people]
    held = np.mean([(r.low_hrc or 0) <= 57.5 <= (r.high_hrc or 70) for r in seen])
    assert 0.75 < held < 0.95


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("hand_work", 0.4, 0.65),
        ("poor_lots", 0.13, 0.27),
        ("hard_skins", 0.2, 0.5),
        ("mixed_lots", 0.4, 0.65),
        ("odd_steels", 0.4, 0.65),
    ],
)
def test_share_of_fit_pieces_and_what_a_world_is_named_for(name, low, high):
    made = [case(name, 2, i) for i in range(250)]
    assert low < np.mean([c.fit for c in made]) < high
    assert np.mean([c.blade_fit for c in made]) < np.mean([c.fit for c in made])
    codes = [c.explanation for c in made]
    assert len(set(codes)) >= 8
    mixed = np.mean([len(set(c.lot_fit)) > 1 for c in made])
    assert (mixed > 0.2) == (name == "mixed_lots")
    skins = np.mean([c.piece.skin_mm > 0 for c in made])
    assert (skins > 0.5) == (name == "hard_skins")
    if name == "hand_work":
        assert all(r.by_files for c in made for h in c.seen.heats for r in h.hardness)
        assert not any(h.heat_c for c in made for h in c.seen.heats)


def test_same_seed_same_world_and_another_seed_another():
    for name in WORLDS:
        first, again = case(name, 3, 17), case(name, 3, 17)
        assert first.seen == again.seen
        assert (first.truth, first.piece) == (again.truth, again.piece)
        assert case(name, 5, 17).seen != first.seen


def test_a_test_more_keeps_what_was_seen_before():
    made = case("odd_steels", 2, 4)
    before = made.bench.seen()
    made.bench.quench("A", "water")
    made.bench.trial_blade("A")
    after = made.bench.seen()
    assert after.heats[: len(before.heats)] == before.heats
    assert len(after.heats) == len(before.heats) + 2
    assert after.trials[-1].heat == (after.heats[-1].coupon, 1)


def test_pieces_are_shown_in_plain_words():
    run = [sys.executable, "-m", "tests.benchmarks.steel_worlds.show", "hard_skins"]
    done = subprocess.run(
        [*run, "--count", "2", "--shares", "20"], capture_output=True, text=True, check=True
    )
    assert done.stdout.count("hidden:") == 2
    assert all(f"{name}: " in done.stdout for name in WORLDS)
