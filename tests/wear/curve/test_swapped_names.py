"""Two blades of one stage noted under each other's name: found, and told from other slips."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.wear.curve.swapped_names import StageMeans, swapped_names

CUTS = np.array([0.0, 10, 20, 40, 80, 160, 320])
NOISE = 0.01 * np.array(
    [
        [1, -2, 1, 0, 2, -1, -1],
        [-1, 1, 1, -2, 0, 2, -1],
        [0, 1, -2, 1, 1, -1, 0],
        [2, -1, 0, -1, -1, 0, 1],
    ]
)


def blades(pace=(1.0, 1.6, 1.05, 1.55), noise=NOISE):
    """Log widths that grow with the log of (1 + pace x cuts / 20); fitted by scale and pace."""
    out = []
    for i, (each, off) in enumerate(zip(pace, noise, strict=True)):
        grown = 1 + each * CUTS / 20
        design = np.column_stack([np.ones(len(CUTS)), (grown - 1) / grown])
        left = off - design @ np.linalg.lstsq(design, off)[0]
        out.append(StageMeans(f"B{i}", CUTS, np.log(grown) + off, left, design))
    return out


def shifted(these, *moves):
    """With the log means of (blade, stage) moved, and the residuals as a fit would leave them."""
    out = list(these)
    for i, k, by in moves:
        off = np.zeros(len(CUTS))
        off[k] = by
        b = out[i]
        left = b.residual + off - b.slopes @ np.linalg.lstsq(b.slopes, off)[0]
        out[i] = replace(b, log_mean=b.log_mean + off, residual=left)
    return out


def swap(these, i, j, k):
    by = these[j].log_mean[k] - these[i].log_mean[k]
    return shifted(these, (i, k, by), (j, k, -by))


def test_sound_readings_say_nothing():
    assert swapped_names(blades()) == []


@pytest.mark.parametrize("stage", [2, 3, 4, 5])
def test_a_swap_is_found_where_it_is(stage):
    assert swapped_names(swap(blades(), 0, 1, stage)) == [(0, 1, (CUTS[stage],))]


def test_two_swaps_are_both_found():
    found = swapped_names(swap(swap(blades(), 0, 1, 4), 2, 3, 3))
    assert set(found) == {(0, 1, (80.0,)), (2, 3, (40.0,))}


def test_blades_whose_readings_lie_together_are_not_suspected():
    alike = blades(pace=(1.0, 1.01, 1.0, 1.0))
    assert swapped_names(swap(alike, 0, 1, 4)) == []


@pytest.mark.parametrize("by", [0.3, -0.3, 1.0])
def test_one_wrong_reading_is_no_swap(by):
    assert swapped_names(shifted(blades(), (0, 4, by))) == []


def test_a_stage_that_reads_high_on_both_blades_is_no_swap():
    assert swapped_names(shifted(blades(), (0, 4, 0.3), (1, 4, 0.3))) == []


def test_a_move_of_another_size_than_the_exchange_is_no_swap():
    these = blades()
    apart = these[1].log_mean[4] - these[0].log_mean[4]
    assert swapped_names(shifted(these, (0, 4, 2 * apart), (1, 4, -2 * apart))) == []


def test_stages_of_different_cuts_are_no_pair():
    these = swap(blades(), 0, 1, 4)
    apart = replace(these[1], cuts=CUTS + 1)
    assert swapped_names([these[0], apart, *these[2:]]) == []


def test_too_few_stages_to_judge_by():
    short = [replace(b, cuts=CUTS[:2], log_mean=b.log_mean[:2], residual=b.residual[:2] * 0,
                     slopes=b.slopes[:2]) for b in blades()]  # fmt: skip
    assert swapped_names(short) == []
    assert swapped_names([]) == []


def swap_run(these, i, j, stages):
    for k in stages:
        by = these[j].log_mean[k] - these[i].log_mean[k]
        these = shifted(these, (i, k, by), (j, k, -by))
    return these


@pytest.mark.parametrize("stages", [(2, 3), (3, 4, 5), (4, 5, 6)])
def test_a_swap_over_several_stages_is_found_with_its_ends(stages):
    found = swapped_names(swap_run(blades(), 0, 1, stages))
    assert found == [(0, 1, tuple(CUTS[list(stages)]))]


def test_the_smaller_part_of_the_stages_is_the_one_told():
    found = swapped_names(swap_run(blades(), 0, 1, (3, 4, 5, 6)))
    assert found == [(0, 1, (10.0, 20.0))]  # fresh, both read the same
    assert swapped_names(swap_run(blades(), 0, 1, range(7))) == []  # then nothing is out of place


def test_a_run_is_sought_between_blades_of_the_same_stages_alone():
    these = swap_run(blades(), 0, 1, (3, 4, 5))
    apart = replace(these[1], cuts=CUTS + np.array([1.0, 0, 0, 0, 0, 0, 0]))
    assert all(len(cuts) == 1 for _, _, cuts in swapped_names([these[0], apart, *these[2:]]))


def test_blades_that_jump_apart_at_one_stage_are_no_swap():
    jumped = shifted(blades(), *((0, k, 0.3) for k in (4, 5, 6)))
    assert swapped_names(jumped) == []
