"""Are the invented shops what they say? Held to closed forms, to drawing, and to their own logs."""

import csv
from dataclasses import replace
from math import log2, pi, radians, sqrt, tan

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tests.benchmarks.chop_worlds import answers, chop_folder, scores, swings
from tests.benchmarks.chop_worlds.bites_to_strokes import draw_hits, mean_hits
from tests.benchmarks.chop_worlds.long_run import worked
from tests.benchmarks.chop_worlds.notch import Section, Ways, bites, notch_mm3
from tests.benchmarks.chop_worlds.shop_kinds import KINDS, shop


def slices(section, opening, depth, count=200_000):
    """Volume of the notch added up from slices: chord of the section times width of the V."""
    height = (np.arange(count) + 0.5) * section.depth_mm / count
    chord = np.full(count, section.width_mm)
    if section.round:
        chord = 2 * np.sqrt(height * (section.depth_mm - height))
    from_point = height - (section.depth_mm - depth)
    wide = 2 * tan(radians(opening) / 2) * np.clip(from_point, 0, None)
    return float((chord * wide).sum() * section.depth_mm / count)


@pytest.mark.parametrize("opening", [40, 60, 90])
def test_volume_of_a_v_notch(opening):
    """W T² tan(A/2) through a square piece; (pi/4) D³ tan(A/2) through a round one."""
    flat, stick = Section(60.0, 40.0), Section(50.0, 50.0, True)
    assert_allclose(notch_mm3(flat, opening, 40.0), slices(flat, opening, 40.0), rtol=1e-4)
    assert_allclose(notch_mm3(stick, opening, 50.0), slices(stick, opening, 50.0), rtol=1e-4)
    # By hand: 60 x 40² x tan 45° = 96 000 mm³.
    assert_allclose(notch_mm3(flat, 90, 40.0), 96_000)


def test_two_notches_of_half_the_depth_hold_half_the_wood():
    """A turned piece needs about half the bites of one that is notched from one face."""
    ways = Ways(chip_growth=0.0, ligament_mm=0.0)
    both = replace(ways, turns_above_mm=50.0)
    one, two = bites(Section(90.0, 90.0), ways), bites(Section(90.0, 90.0), both)
    assert_allclose((two - 1.0) / (one - 0.5), 0.5)


def test_hits_of_exponential_bites_are_a_poisson_process():
    """Bites of gamma shape 1 are exponential: x mean bites take 1 + x hits."""
    x = np.array([0.3, 2.0, 17.0, 55.0, 90.0])
    assert_allclose(mean_hits(x, 1.0), 1 + x, rtol=1e-3)


@pytest.mark.parametrize("shape", [0.5, 3.0, 10.0])
def test_hits_drawn_come_to_the_mean_worked_out(shape):
    """Six standard errors of 4000 draws."""
    rng = np.random.default_rng(4)
    for needed in (0.6, 6.0, 30.0):
        hits = [draw_hits(needed, shape, rng) for _ in range(4000)]
        error = np.std(hits) / sqrt(len(hits)) + 1e-9
        assert abs(np.mean(hits) - mean_hits(needed, shape)) < 6 * error


@pytest.mark.parametrize("kind", KINDS)
def test_strokes_written_come_to_the_long_run(kind):
    """Over forty shops the strokes of a piece are, on the average, the truth that is judged by."""
    shares = []
    for seed in range(1000, 1040):
        made = shop(kind, seed)
        for cell in worked(made).cells:
            if not any(w.startswith(">") for w in cell.written):
                shares.append(np.mean([int(w) for w in cell.written]) / cell.mean)
    error = np.std(shares) / sqrt(40)
    assert abs(np.mean(shares) - 1) < 4 * error


def test_strokes_go_with_depth_to_a_power_between_one_and_two_and_a_third():
    """At a face of 60 mm, from 40 to 80 mm deep, in a hundred shops; no two smiths alike."""
    powers = []
    for seed in range(100):
        ways = shop("notch", seed).ways
        thin, thick = (bites(Section(60.0, depth), ways) for depth in (40.0, 80.0))
        powers.append(log2(thick / thin))
    assert 1.1 < min(powers) < 1.4
    assert 1.9 < max(powers) < 2.4


def test_same_seed_same_shop_and_another_seed_another():
    """A shop can be drawn again; rows and truth are equal."""
    assert worked(shop("mixed", 5)) == worked(shop("mixed", 5))
    assert worked(shop("mixed", 5)).rows != worked(shop("mixed", 7)).rows


def test_log_holds_what_was_done(tmp_path):
    """chops.csv has one row a piece, a look and a touch-up, with the strokes and damage written."""
    made = shop("dulling", next(s for s in range(99) if logs_touch_up(shop("dulling", s))))
    truth = worked(made)
    chop_folder.write(made, truth.rows, tmp_path)
    with open(tmp_path / "chops.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == len(truth.rows)
    for row, done in zip(rows, truth.rows, strict=True):
        assert (row["blade"], row["kind"], row["chops"]) == (done.tool, done.kind, done.written)
        seen = "" if done.seen is None else str(done.seen[0])
        assert row["chips_count"] == seen
    assert {"touch-up", "billet", "inspection"} == {r["kind"] for r in rows}


def logs_touch_up(made):
    """Whether this shop touches up and writes so."""
    return made.habits.touch_up_after is not None and made.habits.logs_touch_up


def test_an_answer_equal_to_the_truth_scores_full_and_another_does_not():
    """The judge reads as_chopped by its fields; a wrong interval, count or stroke list shows."""
    made = shop("knots", 3)
    truth = worked(made)
    section = made.lots[0].section
    cells = [
        {
            "blade": cell.tool,
            "width_mm": section.width_mm,
            "thickness_mm": section.depth_mm,
            "pieces": len(cell.written),
            "standing": 0,
            "strokes": [int(w) for w in cell.written],
            "strokes_per_piece": {
                "value": cell.mean,
                "low": 0.9 * cell.mean,
                "high": 1.1 * cell.mean,
            },
        }
        for cell in truth.cells
    ]
    good = scores.Tally()
    scores.strokes(good, made, truth, answers.Answer({"as_chopped": cells}, "", 0.0))
    assert all(good.hits["as chopped"])
    assert len(good.hits["as chopped"]) == 2
    assert all(good.hits["pieces and standing"] + good.hits["strokes listed as logged"])
    cells[0]["strokes_per_piece"]["high"] = 0.95 * truth.cells[0].mean
    cells[1]["strokes"][0] += 1
    cells[0]["standing"] = 1
    bad = scores.Tally()
    scores.strokes(bad, made, truth, answers.Answer({"as_chopped": cells}, "", 0.0))
    assert bad.hits["as chopped"] == [False, True]
    assert bad.hits["strokes listed as logged"] == [True, False]
    assert bad.hits["pieces and standing"] == [False]


def test_contrasts_are_read_in_either_direction():
    """high to low is turned into low to high: 2 (1 to 4) becomes 0.5 (0.25 to 1)."""
    span = {"value": 2.0, "low": 1.0, "high": 4.0}
    told = {"treatments": [{"first": "high", "second": "low", "quantity": "chips", "ratio": span}]}
    form, found, _ = answers.contrasts_of(answers.Answer(told, "", 0.0), "low", "high")["chip"]
    assert (form, found.value, found.low, found.high) == ("ratio", 0.5, 0.25, 1.0)


def test_bodies_swing_as_the_textbook_says():
    """A rod hung at its end: T = 2 pi sqrt(2 L / (3 g)); struck there, it rests at 2 L / 3.

    At 90° the period is 1.1803 times that of a small swing (the complete elliptic integral).
    """
    rod = swings.Body("rod", 0.6, 0.4, 0.2, 0.6 * 0.4**2 / 12)
    assert_allclose(rod.period(0.0), 2 * pi * sqrt(2 * 0.4 / (3 * swings.STANDARD_GRAVITY)))
    assert_allclose(rod.percussion(0.0), 2 * 0.4 / 3)
    assert_allclose(rod.period(0.0, 90.0) / rod.period(0.0), 1.18034, rtol=1e-5)


@pytest.mark.parametrize("kind", swings.BODIES)
def test_exact_bodies_break_no_bound_and_ten_for_twenty_swings_does(kind):
    """A body measured without error is possible; with half its swings counted it is not."""
    told = swings.timed(kind, 3, exact=True)
    assert not swings.impossible(told.handling)
    assert swings.impossible(told.handling | {"swings": told.handling["swings"] // 2})
