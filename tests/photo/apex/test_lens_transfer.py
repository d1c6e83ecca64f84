"""A bright band behind a lens: sums of cosines against plain integrals in space."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import j0, ndtr

from edgetest.photo.apex.lens_transfer import (
    AIRY_OVER_SD,
    band_columns,
    best_lenses,
    blur_sd,
    transfer,
    waves,
)

PLACES = np.linspace(-12, 12, 49)
SHARP = 1e-3


def test_a_smoothing_lens_is_a_gaussian():
    """Band of width w behind a Gaussian: the difference of two of its distribution functions."""
    lens, width, sd = np.array([[SHARP, SHARP, 1.5]]), 5.0, 1.5
    band, slope, after = band_columns(waves(PLACES, along=0.0), [width], lens)[0]
    assert_allclose(band, ndtr((PLACES + 2.5) / sd) - ndtr((PLACES - 2.5) / sd), atol=2e-4)
    assert_allclose(after, ndtr((PLACES - 2.5) / sd), atol=2e-4)
    assert_allclose(slope, np.gradient(band, PLACES), atol=0.01)


def test_a_lens_out_of_focus_is_a_disc_and_a_pixel_a_box():
    """Transfer of a uniform disc: the mean over it of a plane wave, summed by rings."""
    f = np.array([0.02, 0.1, 0.21])
    radius = (np.arange(4000) + 0.5) / 4000 * 3.0
    rings = [(radius * j0(2 * np.pi * x * radius)).sum() / radius.sum() for x in f]
    assert_allclose(transfer(f, [[SHARP, 3.0, SHARP]])[0], rings, atol=1e-4)
    wave = waves(PLACES, along=1.0, across=0.5)
    x = (np.arange(2000) + 0.5) / 2000 - 0.5
    for number in (3, 40):
        boxes = [np.cos(2 * np.pi * wave.frequency[number] * side * x).mean() for side in (1, 0.5)]
        assert wave.pixel[number] == pytest.approx(boxes[0] * boxes[1], abs=1e-6)


def test_diffraction_passes_nothing_beyond_its_cutoff_and_all_at_rest():
    """Overlap of two equal discs (Goodman); three wavelengths, the shortest reaching furthest."""
    ring = 4.0
    cut = 1.22 / ring
    assert transfer(np.array([1e-9]), [[ring, SHARP, SHARP]])[0, 0] == pytest.approx(1.0, abs=1e-6)
    found = transfer(np.array([0.5 * cut, cut, 1.25 * cut]), [[ring, SHARP, SHARP]])[0]

    def overlap(v):
        return 2 / np.pi * (np.arccos(v) - v * np.sqrt(1 - v**2)) if v < 1 else 0.0

    shares = ((0.82, 0.25), (1.0, 0.5), (1.18, 0.25))
    expected = [sum(s * overlap(v * length) for length, s in shares) for v in (0.5, 1.0, 1.25)]
    assert_allclose(found, expected, atol=1e-4)


def test_the_blur_of_a_lens_adds_its_parts_in_squares():
    assert_allclose(
        blur_sd([[AIRY_OVER_SD, 0, 0], [0, 2.0, 0], [0, 0, 1.5], [AIRY_OVER_SD, 2.0, 1.0]]),
        [1.0, 1.0, 1.5, 3**0.5],
    )


def test_the_best_lens_is_the_one_that_made_the_picture():
    wave, truth = waves(PLACES), np.array([[2.0, 1.5, 0.6]])
    seen = band_columns(wave, [6.0], truth)[0, 0]

    def misses(lens):
        return (band_columns(wave, np.full(len(lens), 6.0), lens)[:, 0] - seen) / 0.01

    start = np.array([[2.0, 0.6, 0.6], [2.0, 3.0, 0.6]])
    found, chi2 = best_lenses(misses, start, 25, free=(1,))
    assert_allclose(found, np.repeat(truth, 2, axis=0), atol=0.02)
    assert (chi2 < 0.1).all()
