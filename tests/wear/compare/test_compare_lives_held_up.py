"""No interval of a comparison is narrower than its readings alone make it."""

import numpy as np
from numpy.testing import assert_allclose

from edgetest.wear.compare.shop_history import learn_scatter
from tests.wear.columns import codes, compare_lives
from tests.wear.compare.six_blades import compare


def test_interval_is_the_readings_own_where_the_blades_agree_by_luck():
    close = np.log([400.0, 400.5, 401.0, 420.0, 420.5, 421.0])
    found = compare(close, np.full(6, 0.1))
    assert "measurement_floor" in codes(found)
    ratio, other = found.ratio, found.other_interval
    assert ratio.method == "reading uncertainty alone"
    assert_allclose(np.log(ratio.high / ratio.estimate), 1.959964 * 0.1 * np.sqrt(2 / 3), rtol=1e-6)
    assert_allclose(other.estimate, ratio.estimate)
    assert other.method == "pooled t"
    assert ratio.low < other.low < other.high < ratio.high
    assert found.practical.verdict == "cannot_tell"
    assert compare(close).practical.verdict == "no_relevant_difference"
    assert compare(close).other_interval is None


def test_lucky_agreement_makes_nothing_surer():
    close = np.log([400.0, 401.0, 402.0, 520.0, 521.0, 522.0])
    lucky = compare(close, np.full(6, 0.1))
    spread = np.log([400.0, 401.0, 402.0, 520.0, 521.0, 522.0])
    spread[[0, 3]] -= 0.1
    spread[[2, 5]] += 0.1
    fair = compare(spread, np.full(6, 0.1))
    assert fair.ratio.method == "pooled t"
    assert lucky.chances.next_outlasts <= fair.chances.next_outlasts + 0.02
    assert lucky.chances.longer < 0.95
    life = lucky.groups[0].life
    assert_allclose(np.log(life.high / life.value), 1.959964 * 0.1 / np.sqrt(3), rtol=1e-6)


def test_a_history_of_even_blades_does_not_undo_it():
    even = learn_scatter([0.005] * 6, [7] * 6)
    lives = np.log([380.0, 400.0, 420.0, 520.0, 540.0, 560.0])
    found = compare(lives, np.full(6, 0.2), history=even)
    least = np.exp(1.959964 * 0.2 * np.sqrt(2 / 3))
    ratio = found.with_history
    assert ratio.high / ratio.estimate > 0.999 * least
    assert found.chances.longer < 0.99 < compare(lives, history=even).chances.longer


def test_of_six_heat_treatments_each_interval_is_held_up_in_its_family():
    """Few degrees of freedom widen a family's interval more than many do."""
    names = [f"T{k}" for k in range(6) for _ in range(3)]
    rng = np.random.default_rng(5)
    lives = 6 + np.repeat(np.arange(6) * 0.1, 3) + rng.normal(0, 0.002, 18)
    blades = [f"blade {k}" for k in range(18)]
    bare = compare_lives(blades, names, lives, None)
    read = compare_lives(blades, names, lives, np.full(18, 0.1))
    for alone, held in zip(bare.pairs, read.pairs, strict=True):
        assert held.ratio.high >= alone.ratio.high * (1 - 1e-12)
        assert held.ratio.high / held.ratio.estimate > np.exp(1.96 * 0.1 * np.sqrt(2 / 3))


def test_each_end_is_held_up_by_whichever_reaches_farther():
    names, lives = list("AABBCC"), np.array([0.0, 0.02, 0.5, 0.52, 1.0, 1.02])
    read = compare_lives([f"b{k}" for k in range(6)], names, lives, np.full(6, 0.2))
    for pair in read.pairs:
        quantile = 3.3145 / np.sqrt(2) if pair.family == "all pairs" else 2.2121
        half = quantile * 0.2
        assert_allclose(np.log(pair.ratio.high / pair.ratio.estimate), half, rtol=1e-3)
        assert_allclose(np.log(pair.ratio.estimate / pair.ratio.low), half, rtol=1e-3)
