"""Against NIST StRD, nonlinear regression: nine sets, both starts, through the wear fits' core.

The routine and the settings are those with which `edgetest fit` fits wear curves.

The data files are the Statistical Reference Datasets of the National Institute of Standards
and Technology (https://www.itl.nist.gov/div898/strd/), unaltered; certified to 11 digits.
Where a file's own degrees of freedom are wrong (Rat43 prints 9 for 15 - 4), n - p holds.
"""

from pathlib import Path

import numpy as np
import pytest

from edgetest.wear.curve.batch_fit import WEAR_FIT
from tests.stats.one_curve import fit_curve

HERE = Path(__file__).parent / "nist"

MODELS = {
    "Misra1a": lambda x, b1, b2: b1 * (1 - np.exp(-b2 * x)),
    "DanWood": lambda x, b1, b2: b1 * x**b2,
    "Chwirut2": lambda x, b1, b2, b3: np.exp(-b1 * x) / (b2 + b3 * x),
    "BoxBOD": lambda x, b1, b2: b1 * (1 - np.exp(-b2 * x)),
    "Thurber": lambda x, b1, b2, b3, b4, b5, b6, b7: (
        (b1 + x * (b2 + x * (b3 + x * b4))) / (1 + x * (b5 + x * (b6 + x * b7)))
    ),
    "Rat43": lambda x, b1, b2, b3, b4: b1 / (1 + np.exp(b2 - b3 * x)) ** (1 / b4),
    "Eckerle4": lambda x, b1, b2, b3: b1 / b2 * np.exp(-0.5 * ((x - b3) / b2) ** 2),
    "MGH09": lambda x, b1, b2, b3, b4: b1 * (x**2 + b2 * x) / (x**2 + b3 * x + b4),
    "Bennett5": lambda x, b1, b2, b3: b1 * (b2 + x) ** (-1 / b3),
}


def read_strd(name):
    """Both starts, certified parameters and deviations, residual SD and the readings."""
    lines = (HERE / f"{name}.dat").read_text().splitlines()
    rows = [line.split("=")[1].split() for line in lines[40:] if line.lstrip().startswith("b")]
    starts, certified = np.array(rows, dtype=float)[:, :2].T, np.array(rows, dtype=float)[:, 2:].T
    sd = next(float(line.split(":")[1]) for line in lines if "Residual Standard Dev" in line)
    first = next(i for i, line in enumerate(lines) if line.startswith("Data:") and i > 50) + 1
    y, x = np.loadtxt(lines[first:], unpack=True)
    return starts, certified, sd, x, y


def digits(found, certified):
    """Least number of digits in which the found values agree with the certified ones."""
    error = np.abs(np.asarray(found) / certified - 1)
    return float(-np.log10(np.maximum(error, 1e-16)).min())


@pytest.mark.parametrize("start", [0, 1], ids=["start1", "start2"])
@pytest.mark.parametrize("name", MODELS)
def test_certified_values_under_the_settings_of_the_wear_fits(name, start):
    starts, (params, deviations), residual_sd, x, y = read_strd(name)
    with np.errstate(all="ignore"):  # differences about a trial far out
        fit = fit_curve(MODELS[name], x, y, start=starts[start], **WEAR_FIT)
    assert fit.converged
    assert fit.df == len(y) - len(params)
    assert digits(fit.params, params) > 6
    assert digits(fit.stderr, deviations) > 6
    assert digits([fit.residual_sd], residual_sd) > 8


def test_a_start_given_up_early_says_so():
    starts, _, _, x, y = read_strd("MGH09")
    with np.errstate(all="ignore"):
        fit = fit_curve(MODELS["MGH09"], x, y, start=starts[0], offset=1e-6, max_evaluations=50)
    assert not fit.converged
