"""What does a study say against its curves, where curves and scatter are given?"""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.wear.curve.curve_doubts import SAME, study_doubts
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings

CUTS = np.array([0.0, 10, 20, 40, 80, 160])
PSI = np.array([np.log(0.05), np.log(2.0)])
WEDGE = LAWS["wedge"]
EVEN = 0.03 * np.array([1, -1, -1, 1, -1, 1])


def study(*off, sd=0.03, robust=True, step=None):
    """Doubts of blades that lie `off` a known curve; no place or stage has an effect.

    They are read on a scale of so fine a step, if any.
    """
    blades, parts = [], []
    for i, each in enumerate(off):
        n = len(each)
        cuts = CUTS[:n]
        value = np.exp(WEDGE.log_shape(cuts, PSI) + each)
        value = value if step is None else step * np.round(value / step)
        part = wear_readings([f"b{i}"] * n, cuts, value, row=np.arange(n) + 100 + 10 * i)
        parts.append(part)
        blades.append(stage_cells(part))
    nothing = SimpleNamespace(predicted_effects=lambda i, residuals: np.zeros(len(residuals)))
    fitted = SimpleNamespace(
        blades=blades, law=WEDGE, scatter=SimpleNamespace(residual_var=sd**2), weighing=nothing,
        log_scale=np.zeros(len(off)), psi=np.tile(PSI, (len(off), 1)), own=[0, 1],
    )  # fmt: skip
    return study_doubts(fitted, parts, robust)


def said(doubts):
    return {one.code for one in doubts}


def test_readings_that_scatter_evenly_say_nothing():
    of_study, of_blades, outlying = study(EVEN, -EVEN, EVEN)
    assert of_study == ()
    assert of_blades == [(), (), ()]
    assert outlying == [(), (), ()]


@pytest.mark.parametrize(("size", "even"), [(0.99, True), (1.01, False)])
def test_too_even_is_less_than_a_reading_s_third_figure(size, even):
    """Root mean square of 18 residuals over their nine degrees of freedom: sqrt(2) of each."""
    off = size * SAME / np.sqrt(2) * np.sign(EVEN)
    of_study, _, _ = study(off, -off, off)
    assert ("readings_too_even" in said(of_study)) == even


@pytest.mark.parametrize(("first", "far"), [(0.14, False), (1.1, True)])
def test_fresh_edges_read_by_eye_are_judged_by_their_own_scatter(first, far):
    """A fresh edge read to so many µm scatters by more per cent than a worn one."""
    off = [np.array([0.12 * way * share, *(0.3 * EVEN[1:])])
           for way, share in zip([1, -1] * 10, np.linspace(0.4, 1.2, 20), strict=True)]  # fmt: skip
    off[7][0] = first
    _, _, outlying = study(*off, sd=0.03)
    assert outlying[7] == ((0,) if far else ())
    assert all(rows == () for i, rows in enumerate(outlying) if i != 7)


def test_a_reading_far_off_is_named_where_it_is_and_what_was_expected():
    far = EVEN.copy()
    far[3] = 0.3
    _, of_blades, outlying = study(EVEN, far, -EVEN)
    assert outlying == [(), (3,), ()]
    (one,) = of_blades[1]
    assert one.code == "outlying_reading"
    assert (one.where.blade, one.where.row, one.where.stage) == ("b1", 113, 40.0)
    expected = float(np.exp(WEDGE.log_shape(CUTS[3:4], PSI)[0]))
    assert one.where.expected == pytest.approx(expected)
    assert one.where.value == pytest.approx(expected * np.exp(0.3))


@pytest.mark.parametrize(("steps", "far"), [(1, False), (2, True)])
def test_a_reading_a_step_of_its_scale_away_is_not_far_off(steps, far):
    """Of a small reading a step is a large share: 1 where 2 is expected is no slip."""
    fresh = np.exp(WEDGE.log_shape(CUTS[:1], PSI)[0])
    step = fresh / 4
    off = 0.3 * EVEN
    off[0] = np.log(1 + steps * step / fresh)
    _, _, outlying = study(off, EVEN, -EVEN, sd=0.02, step=step)
    assert outlying[0] == ((0,) if far else ())
    _, _, outlying = study(off, EVEN, -EVEN, sd=0.02)  # finely read, it is far off
    assert outlying[0] == (0,)


def test_a_reading_within_rounding_of_its_curve_is_not_far_off():
    off = np.zeros(6)
    off[2] = 0.99 * SAME
    assert study(off, EVEN, EVEN, sd=1e-4)[2][0] == ()
    off[2] = 1.01 * SAME
    assert study(off, EVEN, EVEN, sd=1e-4)[2][0] == (2,)


def test_a_blade_that_scatters_ten_times_as_much_is_noisy():
    _, of_blades, _ = study(EVEN, 10 * EVEN, -EVEN, EVEN, sd=0.2)
    assert ["noisy_blade" in said(each) for each in of_blades] == [False, True, False, False]
    _, of_blades, _ = study(EVEN, 2 * EVEN, -EVEN, EVEN, sd=0.2)
    assert not any("noisy_blade" in said(each) for each in of_blades)


def test_a_blade_that_comes_back_is_named():
    back = EVEN.copy()
    back[5] = -0.9
    _, of_blades, _ = study(EVEN, back, -EVEN, sd=0.5)
    assert ["reading_falls_back" in said(each) for each in of_blades] == [False, True, False]


def test_the_same_pattern_in_every_blade_is_the_law_s():
    bent = 0.05 * np.array([1.0, 1, -1, -1, 1, 1])
    slightly = 0.001 * np.array([1, -1, 1, -1, 1, -1])
    of_study, _, _ = study(bent + slightly, bent - slightly, bent, sd=0.05)
    assert "law_misfits" in said(of_study)
    (told,) = [one.text for one in of_study if one.code == "law_misfits"]
    assert "Try another (`--law saturating`)." in told
    of_study, _, _ = study(EVEN, -EVEN, np.roll(EVEN, 1))
    assert "law_misfits" not in said(of_study)


@pytest.mark.parametrize(("stages", "named"), [(5, False), (6, True)])
def test_fewer_than_three_degrees_of_freedom_call_no_blade_noisy(stages, named):
    """Six stages leave three of each blade, five leave two."""
    quiet, loud = 1e-3 * EVEN[:stages], 10 * EVEN[:stages]
    _, of_blades, _ = study(quiet, loud, sd=0.2)
    assert ["noisy_blade" in said(each) for each in of_blades] == [False, named]
