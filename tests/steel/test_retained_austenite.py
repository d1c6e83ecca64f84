import numpy as np
import pytest

from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.retained_austenite import (
    MANGANESE_PCT,
    MS_SD_C,
    after_quench,
    martensite_start_c,
    retained_share,
)

HOT = np.array([1140.0])  # all of the carbon dissolves


def test_start_of_martensite_meets_andrews_where_his_line_holds():
    # K. W. Andrews 1965: Ms = 539 - 423 C - 30.4 Mn, for less than 0.6 % carbon.
    for carbon in (0.2, 0.4, 0.6):
        line = 539 - 423 * carbon - 30.4 * MANGANESE_PCT
        assert martensite_start_c(carbon) == pytest.approx(line, abs=1.2 * MS_SD_C)


def test_share_of_koistinen_and_marburger():
    # Their law, as metallurgyzone.com prints it: 15 % at 25 °C for a start at 200 °C.
    carbon = np.interp(-200, -martensite_start_c(np.linspace(0.5, 1.3, 801)),
                       np.linspace(0.5, 1.3, 801))  # fmt: skip
    assert retained_share(carbon) == pytest.approx(np.exp(-0.011 * 180))
    assert retained_share(carbon) == pytest.approx(0.15, abs=0.015)


def test_band_holds_what_was_measured():
    # steel-guide.info: 28 to 45 % measured in plain steels of 1.4 % carbon, next to none below 0.6.
    low, high = (float(retained_share(1.4, shift * 1.96 * MS_SD_C)) for shift in (1, -1))
    assert low < 0.28 < 0.45 < high
    assert retained_share(0.3) < 0.02


def test_hardness_is_the_published_relation_up_to_its_end_and_falls_beyond():
    carbon = np.linspace(0.1, 0.66, 30)
    hrc, _austenite, bare = after_quench(carbon, HOT)
    np.testing.assert_allclose(hrc, as_quenched_hrc(carbon), atol=0.1)
    np.testing.assert_allclose(bare, hrc)
    more, stays, bare = after_quench(np.array([0.8, 1.0, 1.2, 1.4]), HOT)
    assert np.all(np.diff(more) < 0)
    assert np.all(np.diff(stays) > 0)
    np.testing.assert_allclose(bare, as_quenched_hrc(1.0))
    assert 61 < more[1] < 64.5


def test_carbon_above_acm_stays_in_carbides_and_ferrite_below_a3_is_soft():
    cold, hot = (after_quench(np.array([1.2]), np.array([c])) for c in (780.0, 1000.0))
    assert cold[1] < 0.6 * hot[1]
    assert cold[0] > hot[0]
    # 0.20 % at 800 °C: austenite of 0.341 %, 0.59 of the steel (lever rule).
    part, stays, _ = after_quench(np.array([0.20]), np.array([800.0]))
    assert as_quenched_hrc(0.20) - 10 < part[0] < as_quenched_hrc(0.20) - 3
    assert stays[0] == pytest.approx(0.20 / 0.341 * retained_share(0.341), rel=1e-6)
