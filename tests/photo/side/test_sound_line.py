"""The sound edge's roughness."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from edgetest.photo.side.sound_line import CLIP, FEWEST_SOUND, sound_roughness

PLACE = np.arange(0.0, 1600.0)


def grinding(seed, spread=0.5):
    rough = gaussian_filter1d(np.random.default_rng(seed).standard_normal(PLACE.size), 2.0)
    return spread * rough / rough.std()


def chip(at, length, depth):
    return -depth * np.clip(1 - (2 * (PLACE - at) / length) ** 2, 0, None)


def alike(one, other):
    both = one.sound & other.sound
    return np.corrcoef(one.value[both], other.value[both])[0, 1]


def test_damage_is_masked_with_its_slopes_and_the_rest_kept():
    line = sound_roughness(PLACE, grinding(1) + chip(800, 100, 20), [(800.0, 100.0)], 1.0)
    assert not line.sound[750:851].any()
    assert (line.value[~line.sound] == 0).all()
    assert line.sound[:690].mean() > 0.97
    assert line.sound[910:].mean() > 0.97


def test_the_same_grinding_is_alike_with_and_without_damage():
    before = sound_roughness(PLACE, grinding(1), [], 1.0)
    places = (200.0, 500.0, 800.0, 1100.0, 1400.0)
    damaged = grinding(1) + sum(chip(at, 80, 300) for at in places)
    after = sound_roughness(PLACE, damaged, [(at, 80.0) for at in places], 1.0)
    assert alike(before, after) > 0.9


def test_the_same_chip_on_two_edges_is_not_alike_even_where_it_was_not_found():
    for damage in ([(800.0, 100.0)], []):
        one, other = (
            sound_roughness(PLACE, grinding(seed) + chip(800, 100, 20), damage, 1.0)
            for seed in (1, 2)
        )
        assert abs(alike(one, other)) < 0.15


def test_a_bend_of_the_line_does_not_count():
    bent = 8 * np.sin(2 * np.pi * PLACE / 1500)
    straight = sound_roughness(PLACE, grinding(1), [], 1.0)
    assert alike(straight, sound_roughness(PLACE, grinding(1) + bent, [], 1.0)) > 0.9


def test_no_sample_counts_more_than_the_clip_and_height_does_not_matter():
    one = sound_roughness(PLACE, grinding(1), [], 1.0)
    assert np.abs(one.value).max() == CLIP
    assert np.std(one.value[one.sound]) == pytest.approx(1.0, abs=0.1)
    tenfold = sound_roughness(PLACE, grinding(1, spread=5.0), [], 1.0)
    assert tenfold.value == pytest.approx(one.value, abs=1e-6)


def test_a_stretch_divides_the_places():
    line = sound_roughness(PLACE + 3000, grinding(1), [], 1.0, stretch=1.02)
    assert line.start_um == pytest.approx(3000 / 1.02)
    assert line.value.size == pytest.approx(PLACE.size / 1.02, abs=2)


def test_an_edge_nearly_all_damaged_is_not_enough():
    sound = FEWEST_SOUND // 2
    damage = [((PLACE[-1] + sound) / 2, PLACE[-1] - sound)]
    line = sound_roughness(PLACE, grinding(1), damage, 1.0)
    assert not line.enough
    assert sound_roughness(PLACE, grinding(1), [], 1.0).enough
