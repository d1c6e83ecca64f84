"""Who stands for a heat treatment, who is compared with whom, and by what weights."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.chop.treatment_pairs import (
    BladeValues,
    TreatmentPair,
    compared,
    method_between,
    pairs_of,
    treatment_groups,
)
from edgetest.stats.replicate_scatter import UsualScatter

OF = {"a1": "soft", "a2": "soft", "b1": "hard", "b2": "hard", "c1": "case"}
NO_SCATTER = UsualScatter(1e-9, 1e-3)


def test_the_reference_s_heat_treatment_stands_first_and_one_alone_is_none():
    assert treatment_groups(OF, OF, "b1") == {
        "hard": ("b1", "b2"), "soft": ("a1", "a2"), "case": ("c1",),
    }  # fmt: skip
    assert treatment_groups(["a1", "a2"], OF, "a1") == {}
    assert treatment_groups(["a1", "x"], {"a1": "soft"}, "a1") == {}
    pairs = pairs_of(treatment_groups(OF, OF, "b1"))
    assert [(pair.first, pair.second, pair.sizes, pair.pairs) for pair in pairs] == [
        ("soft", "hard", (2, 2), 2), ("case", "hard", (1, 2), 2),
    ]  # fmt: skip
    assert [pair.scope for pair in pairs] == ["heat_treatments", "tools"]
    assert pairs_of({}) == ()


def test_intervals_of_several_pairs_hold_together():
    pair = TreatmentPair("x", "y", ("x1",), ("y1",), pairs=3)
    assert pair.level(0.95) == pytest.approx(0.95 ** (1 / 3))
    assert pair.one_each
    assert pair.only == ("x1", "y1")
    two = TreatmentPair("x", "y", ("x1", "x2"), ("y1", "y2"))
    assert two.level(0.95) == 0.95
    assert two.among(["x1", "y2"]).sizes == (1, 1)
    assert two.among(["x1", "x2"]) is None
    assert "Šidák" not in method_between(two)
    assert "Šidák for 3 pairs" in method_between(pair)


def test_tools_weigh_as_means_of_what_there_is():
    """Variance of mean less mean: (v1 + v2) / 4 + v3, shared parts cancelling."""
    values = BladeValues(
        ("a1", "c1", "a2"), np.array([0.1, 0.7, 0.3]), np.diag([0.04, 0.01, 0.08]) + 0.5, 6.0
    )
    pair = TreatmentPair("soft", "case", ("a1", "a2"), ("c1",))
    found = compared(pair, values, NO_SCATTER, "chops", 0.9)
    half = student.ppf(0.95, 6) * (0.12 / 4 + 0.01) ** 0.5
    assert_allclose(np.log([found.ratio.low, found.ratio.high]), [-0.5 - half, -0.5 + half])
    assert found.ratio.value == pytest.approx(np.exp(-0.5))
    assert found.probability_less == pytest.approx(student.cdf(0.5 / 0.04**0.5, 6))
    assert (found.scope, found.blades, found.df) == ("tools", (2, 1), None)


def test_three_against_three_without_scatter_of_blades_is_the_plain_contrast():
    """With every variance v the difference of means has v (1/3 + 1/3)."""
    names = ("x1", "x2", "x3", "y1", "y2", "y3")
    values = BladeValues(names, np.repeat([0.4, 0.1], 3), 0.03 * np.eye(6), np.inf)
    pair = TreatmentPair("x", "y", names[:3], names[3:])
    found = compared(pair, values, NO_SCATTER, "chops", 0.95)
    half = 1.959964 * (0.03 * (1 / 3 + 1 / 3)) ** 0.5
    assert_allclose(
        np.log([found.ratio.low, found.ratio.high]), [0.3 - half, 0.3 + half], rtol=1e-5
    )
    assert found.df == 4
    assert found.scope == "heat_treatments"
    assert found.probability_less == pytest.approx(1 - 0.98305, abs=1e-4)
    # 3 v 3 known to scatter by 0.2: that variance adds to each blade's own.
    wide = compared(pair, values, UsualScatter(0.2, 1e-6), "chops", 0.95)
    half = 1.959964 * ((0.03 + 0.04) * 2 / 3) ** 0.5
    assert np.log(wide.ratio.high) == pytest.approx(0.3 + half, rel=1e-4)
    assert wide.scatter == pytest.approx(0.2, rel=1e-3)
