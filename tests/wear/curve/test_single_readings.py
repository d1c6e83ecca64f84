"""A reading's scatter from one reading a stage."""

import numpy as np
import pytest

from edgetest.wear.curve.single_readings import off_neighbours, one_reading_a_stage
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings


def cells(cuts, **more):
    return stage_cells(wear_readings(["A"] * len(cuts), cuts, np.full(len(cuts), 5.0), **more))


@pytest.mark.parametrize("stages", [3, 5, 9, 10, 12])
def test_of_white_scatter_it_is_the_variance_without_bias(stages):
    rng, blade = np.random.default_rng(1), cells(np.cumsum(np.arange(stages) + 1.0))
    found = [off_neighbours([blade], [0.03 * rng.standard_normal(stages)]) for _ in range(4000)]
    error = np.std(found) / np.sqrt(len(found))
    assert np.mean(found) == pytest.approx(0.03**2, abs=4 * error)


def test_a_bend_is_no_scatter_where_neighbours_tell_it():
    cuts = np.array([0, 10, 25, 50, 75, 100, 125, 150, 175, 200.0])
    assert off_neighbours([cells(cuts[:5])], [2e-3 * cuts[:5]]) == pytest.approx(0, abs=1e-25)
    assert off_neighbours([cells(cuts)], [1e-6 * cuts**3]) == pytest.approx(0, abs=1e-20)
    assert off_neighbours([cells(cuts[:9])], [1e-6 * cuts[:9] ** 3]) > 1e-6


def test_two_readings_have_no_neighbours_on_both_sides():
    assert off_neighbours([cells([0.0, 50.0])], [np.zeros(2)]) == np.inf


def test_a_place_read_twice_or_a_stated_doubt_tells_of_scatter_itself():
    cuts = [0.0, 50.0, 100.0]
    assert one_reading_a_stage([cells(cuts)])
    assert not one_reading_a_stage([cells(cuts), cells([*cuts, 100.0])])
    assert not one_reading_a_stage([cells([*cuts, 100.0], station=list("1112"))])
    assert not one_reading_a_stage([cells(cuts, relative_u=[0.02] * 3)])
