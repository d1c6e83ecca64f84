"""A batch that is left blank never buys an answer that a noted one would not give."""

from itertools import product

import numpy as np
import pytest

from edgetest.wear.compare.blank_batches import filled
from tests.wear.columns import compare_lives

A, B = ["a"] * 4, ["b"] * 4
NAMES = ["a1", "a2", "a3", "a4", "b1", "b2", "b3", "b4"]
LIVES = np.log([200.0, 260.0, 310.0, 240.0, 330.0, 410.0, 350.0, 460.0])


def compared(batch, lives=LIVES):
    return compare_lives(NAMES, A + B, lives, batch=batch)


def told(found):
    return {one.code for one in found.doubts}


def half(found):
    return np.log(found.ratio.high / found.ratio.low)


def test_where_the_noted_blades_are_of_one_batch_a_blank_one_is_too():
    found = compared(["x", "x", "x", "", "y", "y", "y", ""])
    assert found.scope == "batches"
    assert {"batch_may_be_confounded", "batches_partly_noted"} <= told(found)
    (said,) = [one.text for one in found.doubts if one.code == "batches_partly_noted"]
    assert said.startswith("No batch is noted for a4, b4. ")
    one_side = compared(["x", "x", "x", "x", "y", "z", "w", ""])
    assert one_side.scope == "batches"
    assert "batch_confounded" in told(one_side)  # all noted: it is no mere may-be


def test_beside_a_heat_treatment_of_one_blade_a_blank_makes_it_a_may_be_too():
    found = compare_lives(NAMES[:3], ["a", "b", "b"], LIVES[:3], batch=["x", "y", ""])
    assert "batch_may_be_confounded" in told(found)
    assert "batch_confounded" not in told(found)
    noted = compare_lives(NAMES[:3], ["a", "b", "b"], LIVES[:3], batch=["x", "y", "y"])
    assert "batch_confounded" in told(noted)


def test_a_heat_treatment_without_any_batch_is_of_one_where_the_other_has_some():
    found = compared(["x", "y", "z", "w", "", "", "", ""])
    assert found.scope == "batches"
    assert "batch_may_be_confounded" in told(found)
    nothing = compared([""] * 8)
    assert nothing.scope == "heat_treatments"
    assert "batches_unknown" in told(nothing)


@pytest.mark.parametrize("seed", range(3))
def test_a_blank_is_never_narrower_than_any_of_the_batches_that_are_noted(seed):
    lives = LIVES + 0.2 * np.random.default_rng(seed).standard_normal(8)
    blank = half(compared(["p", "q", "r", "", "u", "v", "w", ""], lives))
    noted = [half(compared(["p", "q", "r", a, "u", "v", "w", b], lives))
             for a, b in product("pqr", "uvw")]  # fmt: skip
    alone = half(compared(list("pqrsuvwx"), lives))
    assert blank == pytest.approx(max(noted))
    assert blank > alone


def test_beside_a_batch_that_all_share_a_blank_blade_stands_alone():
    batch = np.array(["x", "y", "", "x", "y", ""])
    out = filled(np.array(["a1", "a2", "a3", "b1", "b2", "b3"]), np.array(list("aaabbb")), batch)
    assert out.tolist() == ["x", "y", "none noted of a3", "x", "y", "none noted of b3"]
