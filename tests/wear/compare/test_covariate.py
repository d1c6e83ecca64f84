"""A ratio with a covariate taken out: against plain least squares, and where it is not told."""

import numpy as np
import pytest
from scipy.stats import t as student

from tests.wear.columns import without_covariate

BLADES = [f"a{i}" for i in range(4)] + [f"b{i}" for i in range(4)]
TREATMENT = ["A"] * 4 + ["B"] * 4
X = np.array([0.0, 0.2, 0.4, 0.5, 0.3, 0.5, 0.8, 0.9])
NOISE = np.array([0.03, -0.02, -0.04, 0.03, 0.02, -0.03, 0.03, -0.02])
Y = 6 + 0.3 * (np.arange(8) >= 4) + 0.7 * X + NOISE


def told(y=Y, x=X, u=0.0, **options):
    columns = {"covariate": x, "covariate_u": np.full(len(x), u)}
    return without_covariate(
        BLADES[: len(x)], TREATMENT[: len(x)], y, first="A", second="B", **columns, **options
    )


@pytest.mark.parametrize("level", [0.9, 0.95])
def test_the_ratio_is_that_of_least_squares_on_treatment_and_covariate(level):
    design = np.column_stack([np.ones(8), np.arange(8) >= 4, X])
    inverse = np.linalg.inv(design.T @ design)
    found = inverse @ design.T @ Y
    left = Y - design @ found
    se = (left @ left / 5 * inverse[1, 1]) ** 0.5
    ratio = told(level=level)
    assert np.log(ratio.estimate) == pytest.approx(found[1])
    half = student.ppf(0.5 + level / 2, 5) * se
    assert np.log(ratio.high / ratio.estimate) == pytest.approx(half, rel=1e-9)
    assert ratio.df == 5


def test_errors_of_the_covariate_steepen_the_slope_by_the_share_that_is_error():
    """Slope times spread / (spread - error), error the mean square doubt of each free value."""
    group = np.repeat([0, 4], 4)
    x_left = X - np.array([X[k : k + 4].mean() for k in group])
    y_left = Y - np.array([Y[k : k + 4].mean() for k in group])
    spread, error = x_left @ x_left, 0.05**2 * 6
    slope = x_left @ y_left / (spread - error)
    apart = X[4:].mean() - X[:4].mean()
    difference = Y[4:].mean() - Y[:4].mean() - slope * apart
    ratio = told(u=0.05)
    assert np.log(ratio.estimate) == pytest.approx(difference)
    left = y_left - slope * x_left
    scatter = left @ left / 5
    variance = scatter * (1 / 2 + apart**2 * spread / (spread - error) ** 2)
    half = student.ppf(0.975, 5) * variance**0.5
    assert np.log(ratio.high / ratio.estimate) == pytest.approx(half, rel=1e-9)
    least_u = (0.1 * spread / 6) ** 0.5
    assert told(u=0.99 * least_u) is not None
    assert told(u=1.01 * least_u) is None


def test_it_is_not_told_where_the_blades_do_not_tell():
    assert told(x=np.repeat([0.1, 0.5], 4)) is None
    assert told(x=np.where(np.arange(8) == 3, np.nan, X)) is None
    assert told(censored=[True] + [False] * 7) is None
    short = without_covariate(
        BLADES[:3] + BLADES[4:7], TREATMENT[:3] + TREATMENT[4:7], np.r_[Y[:3], Y[4:7]],
        first="A", second="B", covariate=np.r_[X[:3], X[4:7]],
    )  # fmt: skip
    assert short is None  # three degrees of freedom
