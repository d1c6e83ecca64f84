"""One line laid on another by correlation."""

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.photo.side.laying import LEAST_INDEPENDENT, chance_of, search, stretches
from edgetest.photo.side.sound_line import SoundLine

STEP = 2.0


def line(value, start_um=0.0):
    value = np.asarray(value, float)
    return SoundLine(start_um, STEP, value, np.ones(value.size, bool))


def noise(seed, size=900):
    return np.random.default_rng(seed).standard_normal(size)


@pytest.mark.parametrize("shift", [-150, 0, 37, 300])
def test_a_line_is_found_where_it_lies_on_a_longer_one(shift):
    whole = noise(1, 1500)
    first, second = line(whole[400:1000]), line(whole[400 - shift : 1000 - shift])
    best = search(first, [(1.0, second)]).candidates[0]
    assert best.shift_um == pytest.approx(shift * STEP, abs=0.5)
    assert best.likeness > 0.99
    assert best.on_second(best.middle_um) == pytest.approx(best.middle_um + shift * STEP, abs=0.5)


def test_places_are_on_each_lines_own_scale():
    whole = noise(2)
    first, second = line(whole[:600], 5000.0), line(whole[100:700], 300.0)
    best = search(first, [(1.0, second)]).candidates[0]
    assert best.on_second(5200.0) == pytest.approx(300.0, abs=0.5)  # sample 100 is its first


def test_a_place_between_two_samples_is_found_between_them():
    smooth = np.convolve(noise(3, 4000), np.hanning(25), mode="same")
    smooth /= smooth.std()
    first, second = line(smooth[100:3700:4]), line(smooth[102:3702:4])  # half a step further
    best = search(first, [(1.0, second)]).candidates[0]
    assert best.shift_um == pytest.approx(-0.5 * STEP, abs=0.1 * STEP)


def test_likeness_is_the_correlation_of_the_samples_both_have():
    shared, own, other = noise(4), noise(5), noise(6)
    first, second = line(shared + own), line(shared + other)
    best = search(first, [(1.0, second)]).candidates[0]
    expected = np.corrcoef(first.value, second.value)[0, 1]
    assert best.likeness == pytest.approx(expected, abs=0.01)


def test_lines_alike_over_many_samples_have_fewer_independent_places():
    def tried(width):
        smooth = np.convolve(noise(7, 2000), np.ones(width), mode="valid")[:1500]
        both = line(smooth / smooth.std())
        return search(both, [(1.0, both)]).tried

    # Bartlett: of moving averages over w the sum of the squared triangle is (2 w² + 1) / 3 w.
    assert tried(1) / tried(10) == pytest.approx(201 / 30, rel=0.35)


def test_unrelated_lines_give_no_evidence_after_all_places_tried():
    odds = []
    for seed in range(40):
        found = search(line(noise(100 + seed)), [(1.0, line(noise(900 + seed)))])
        odds.append(found.candidates[0].evidence - np.log(found.tried))
        assert found.tried > 1000  # nearly every lag of two lines of 900 independent samples
    assert max(odds) < 3


def test_too_short_an_overlap_is_not_tried():
    whole = noise(8, 1000)
    few = int(LEAST_INDEPENDENT) - 5
    found = search(line(whole[: 500 + few]), [(1.0, line(whole[500:]))])
    assert all(one.shift_um != pytest.approx(-500 * STEP, abs=1) for one in found.candidates)
    found = search(line(whole[:700]), [(1.0, line(whole[500:]))])
    assert found.candidates[0].shift_um == pytest.approx(-500 * STEP, abs=0.5)


def test_a_line_without_sound_edge_has_no_place():
    nothing = SoundLine(0.0, STEP, np.zeros(900), np.zeros(900, bool))
    found = search(nothing, [(1.0, line(noise(9)))])
    assert found.candidates == ()
    assert found.tried == 1.0


def test_chance_is_students_for_one_place_and_bonferronis_for_many():
    r, n = 0.5, 30
    t = r * np.sqrt((n - 2) / (1 - r**2))
    assert chance_of(r, n, 1) == pytest.approx(student.sf(t, n - 2))
    assert chance_of(r, n, 100) == pytest.approx(100 * student.sf(t, n - 2))
    assert chance_of(0.0, n, 1000) == 1.0


def test_stretches_hold_one_and_are_so_close_that_the_ends_slip_by_less_than_a_peak():
    tried = stretches(1000.0, 6.0)
    assert np.diff(tried).max() * 1000.0 == pytest.approx(6.0)
    assert 1.0 in tried
    assert tried[0] <= 0.97
    assert tried[-1] >= 1.03
    np.testing.assert_allclose(tried - 1, (1 - tried)[::-1], atol=1e-12)  # as far either way
