"""Lives of simulated studies: scale and copies of readings leave the ratio as it is."""

import numpy as np
from numpy.testing import assert_allclose

from tests.wear.columns import compare_lives, fit_study


def numbers(found):
    ratio = found.ratio
    longer = float(found.chances.longer) if found.chances else 0.5
    return [ratio.estimate, ratio.low, ratio.high, longer]


def study(scale=1.0, copies=1):
    """Six blades read at two stations, fitted and compared; copies of readings as stations."""
    rng = np.random.default_rng(12)
    cuts = np.array([0, 5, 10, 20, 40, 80, 160, 320])
    rows = []
    for i, life in enumerate([250, 290, 270, 330, 390, 350]):
        for station in range(2):
            width = np.sqrt(1 + 99 * cuts / life) * np.exp(0.05 * rng.standard_normal(len(cuts)))
            for copy in range(copies):
                name = f"{station}.{copy}"
                rows += [(str(i), c, scale * w, name) for c, w in zip(cuts, width, strict=True)]
    blade, at, value, station = zip(*rows, strict=True)
    fit = fit_study(blade, at, value, station=station, limit=10.0 * scale, power=2.0)
    lives = [c.life for c in fit.blades]
    return compare_lives(
        [c.blade for c in fit.blades],
        list("AAABBB"),
        [x.log_life for x in lives],
        [x.log_life_se for x in lives],
    )


def test_doubling_the_scale_of_all_photographs_leaves_the_ratio():
    assert_allclose(numbers(study(scale=2.0)), numbers(study()), rtol=1e-6)


def test_readings_copied_as_stations_do_not_narrow_the_ratio():
    once, thrice = study(), study(copies=3)
    width = [np.log(x.ratio.high / x.ratio.low) for x in (once, thrice)]
    assert_allclose(width[1], width[0], rtol=0.02)
