"""How are cells of blades laid into tables, and what do their sums come to?"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.curve.cell_tables import by_stage, each, tables_of
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings

CUTS = [0, 0, 10, 10, 30, 30]


def cells(cuts=CUTS, values=None, station="ababab", **more):
    values = [2.0, 3, 4, 5, 6, 7] if values is None else values
    return stage_cells(
        wear_readings(["x"] * len(cuts), cuts, values, station=list(station), **more)
    )


def test_blades_read_alike_stand_in_one_chunk():
    one, two = cells(), cells(values=[1.0, 1, 2, 2, 3, 3])
    other = cells([0, 0, 20, 20], [2.0, 3, 4, 5], "abab")
    tables = tables_of([one, other, two])
    assert (tables.places, tables.depth) == (2, 2)
    assert tables.slot.tolist() == [0, 2, 1]
    assert tables.filled.tolist() == [[True, True], [True, False]]
    assert_allclose(tables.stages, [[0, 10, 30], [0, 20, 0]])
    assert tables.group.tolist() == [0, 0]
    assert tables_of([one]).depth == 1


@pytest.mark.parametrize(("bounds", "weight"), [(False, 0.0), (True, 1.0)])
def test_bounds_count_only_where_asked(bounds, weight):
    low = [np.nan, np.nan, np.nan, np.nan, np.nan, 6.0]
    bound = cells(values=[2.0, 3, 4, 5, 6, np.nan], lower=low)
    tables = tables_of([bound], bounds=bounds)
    assert sorted(tables.weight.tolist()) == sorted([1.0] * 5 + [weight])


def test_sums_of_weights_by_place_and_by_stage():
    tables = tables_of([cells()])
    d = np.arange(1.0, 7.0)  # cells in the order of stages, two places each
    inner = tables.inner(d)[0]
    assert_allclose(np.diag(inner), [1 + 3 + 5, 2 + 4 + 6, 3, 7, 11])
    assert_allclose(inner[:2, 2:], [[1, 3, 5], [2, 4, 6]])
    assert_allclose(inner, inner.T)
    assert_allclose(inner[:2, :2], np.diag([9, 12]))
    u = np.zeros((6, 5))
    u[np.arange(6), [0, 1, 0, 1, 0, 1]] = 1
    u[np.arange(6), [2, 2, 3, 3, 4, 4]] = 1
    assert_allclose(inner, u.T @ np.diag(d) @ u)


def test_what_stands_at_stages_is_padded_with_nothing():
    one, other = cells(), cells([0, 0, 20, 20], [2.0, 3, 4, 5], "abab")
    tables = tables_of([one, other])
    assert tables.depth == 1
    laid = tables.at_stages([np.array([1.0, 2, 3]), np.array([4.0, 5])])
    assert_allclose(laid, [[[1, 2, 3]], [[4, 5, 0]]])
    values = by_stage([one], [np.array([7.0, 7, 8, 8, 9, 9])])
    assert_allclose(values[0], [7, 8, 9])


def test_each_is_the_product_of_every_slot():
    rng = np.random.default_rng(1)
    matrix, columns = rng.normal(size=(2, 4, 3)), rng.normal(size=(2, 5, 3, 2))
    assert_allclose(each(matrix, columns), np.einsum("cij,cmjn->cmin", matrix, columns))
