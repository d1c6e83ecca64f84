"""Odd logs of every kind: whatever the readings, a fit ends with an answer or with a reason."""

import json

import numpy as np
import pytest

from edgetest.doubts import catalogue
from edgetest.wear.curve.laws import LAWS
from tests.wear.columns import codes, fit_study

CUTS = np.array([0, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 5000.0])


def messy_log(rng):
    """Growing, standing, falling, zero and wild readings, with gaps, bounds and repeats."""
    rows = []
    for blade in "ABCD"[: rng.integers(1, 5)]:
        stages = np.sort(rng.choice(CUTS, rng.integers(1, 9), replace=bool(rng.random() < 0.2)))
        curves = (
            lambda n: 2 + 0.01 * n,
            lambda n: np.sqrt(4 + 0.3 * n),
            lambda n: 3.0,
            lambda n: 10 / (1 + n / 50),
            lambda n: 0.1 * np.sqrt(n),
            lambda n: rng.lognormal(1, 2),
        )
        curve, scatter = curves[rng.integers(6)], rng.choice([0, 1e-9, 0.05, 0.5])
        for n in stages:
            for place in "123"[: rng.integers(1, 4)]:
                value, low, high = (
                    curve(n) * np.exp(scatter * rng.standard_normal()),
                    np.nan,
                    np.nan,
                )
                kind = rng.random()
                if kind < 0.2:
                    low = value * 0.8 if kind < 0.13 else np.nan
                    high = max(value * 1.2, 1e-3) if kind > 0.08 else np.nan
                    value = np.nan
                elif kind < 0.25:
                    value = np.nan
                rows.append((blade, n, value, low, high, place))
    return [np.array(column) for column in zip(*rows, strict=True)]


@pytest.mark.parametrize(
    "seed", [*range(10), *(pytest.param(n, marks=pytest.mark.slow) for n in range(10, 20))]
)
def test_ends_with_an_answer_or_a_reason(seed):
    rng = np.random.default_rng(seed)
    blade, cuts, value, lower, upper, place = messy_log(rng)
    law = rng.choice(["wedge", *LAWS])
    fit = fit_study(
        blade, cuts, value, lower=lower, upper=upper, station=place if seed % 3 else None,
        limit=float(rng.choice([1, 5, 10, 100])), law=str(law), robust=seed % 5 == 0,
        power=2.0 if seed % 7 == 0 else None, shared_scale_u=0.01,
    )  # fmt: skip
    json.dumps(fit.to_dict(), allow_nan=False)
    assert fit.summary()
    for one in fit.blades:
        assert {x.code for x in one.doubts + one.study_doubts} <= set(catalogue())
        if one.life is None:
            assert one.doubts
            continue
        life = one.life
        assert life.low <= life.cuts * (1 + 1e-9)
        assert life.cuts <= life.high * (1 + 1e-9)
        assert life.log_life_se >= 0
        if life.cuts == np.inf:
            assert {"no_wear_seen", "never_reaches_limit"} & set(codes(one))
