"""The slowest vibrations equal those of the whole matrices, and of a beam known in closed form."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import eigh

from edgetest.chop.beam import _assemble, _mesh
from edgetest.chop.lowest_modes import BAND, GUARDS, banded, lowest_modes, smooth_start, times
from tests.chop.tools import camp_knife


def whole(bands):
    """The full symmetric matrix of upper bands."""
    count = bands.shape[1]
    out = np.zeros((count, count))
    for off in range(BAND + 1):
        row = np.arange(count - off)
        out[row, row + off] = out[row + off, row] = bands[BAND - off, off:]
    return out


@pytest.mark.parametrize("plane", ["flat", "edge"])
def test_squares_and_vectors_are_those_of_the_whole_matrices(plane):
    shape = camp_knife()
    x = _mesh(shape, 40)
    stiffness, mass = _assemble(shape, x, plane)
    start = smooth_start(x, 2 + 2 + GUARDS)
    squares, vectors = lowest_modes(stiffness, mass, start, skip=2, modes=2)
    known, shapes = eigh(whole(stiffness), whole(mass), subset_by_index=[2, 3])
    assert_allclose(squares, known, rtol=3e-6)  # the whole matrices lose that much
    for found, other in zip(vectors.T, shapes.T, strict=True):
        other = other * np.sign(found @ whole(mass) @ other)
        assert_allclose(found, other, atol=1e-4 * np.abs(other).max())
    left = times(stiffness, vectors) - times(mass, vectors) * squares
    assert np.abs(left).max() < 1e-6 * np.abs(times(mass, vectors) * squares).max()


def test_an_even_free_bar_rings_as_the_closed_form_says():
    """L. Meirovitch, Analytical Methods in Vibrations (1967): cos b cosh b = 1."""
    count, length = 40, 1.0
    h = length / count
    bend = [[12, 6, -12, 6], [6, 4, -6, 2], [-12, -6, 12, -6], [6, 2, -6, 4]]
    swing = [[156, 22, 54, -13], [22, 4, 13, -3], [54, 13, 156, -22], [-13, -3, -22, 4]]
    sized = np.outer([1, h, 1, h], [1, h, 1, h])
    k, m = np.array(bend) * sized / h**3, np.array(swing) * sized * h / 420
    x = np.linspace(0, length, count + 1)
    squares, _ = lowest_modes(
        banded(np.tile(k, (count, 1, 1))), banded(np.tile(m, (count, 1, 1))),
        smooth_start(x, 9), skip=2, modes=3,
    )  # fmt: skip
    assert_allclose(squares**0.25, [4.730041, 7.853205, 10.995608], rtol=2e-6)


def test_a_body_without_stiffness_or_mass_somewhere_is_refused():
    blocks = np.ones((6, 4, 4)) + np.eye(4)
    blocks[2:4] = 0.0
    with pytest.raises(np.linalg.LinAlgError):
        lowest_modes(
            banded(blocks), banded(blocks), smooth_start(np.arange(7.0), 6), skip=2, modes=1
        )


def test_the_start_s_slopes_are_those_of_legendre_s_polynomials():
    x = np.array([2.0, 2.5, 3.5, 4.0])
    at = x - 3.0  # -1 to 1
    start = smooth_start(x, 4)
    assert_allclose(start[::2].T, [np.ones(4), at, (3 * at**2 - 1) / 2, (5 * at**3 - 3 * at) / 2])
    slopes = [0 * at, np.ones(4), 3 * at, (15 * at**2 - 3) / 2]
    assert_allclose(start[1::2].T, slopes, atol=1e-12)
    assert_allclose(smooth_start(2 * x, 3)[1::2, 1], 0.5)


def test_a_body_that_nothing_resists_is_refused():
    blocks = np.tile(np.eye(4), (6, 1, 1))
    with pytest.raises(np.linalg.LinAlgError):
        lowest_modes(
            banded(0 * blocks), banded(blocks), smooth_start(np.arange(7.0), 6), skip=2, modes=1
        )
