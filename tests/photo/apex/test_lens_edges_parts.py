"""Edges behind lenses, part by part: each against a sum or an integral made another way."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import j1, ndtr

from edgetest.photo.apex.lens_edges import (
    CELLS,
    CORNER_SHARES,
    CORNER_STEPS,
    HALF_FALL,
    MIDDLES,
    NODE_SHARES,
    NODES,
    PLACES,
    _diffracted,
    _diffracted_edges,
    disc_edge,
    edge_of,
    round_side,
    spread_shares,
)
from edgetest.photo.apex.lens_transfer import transfer

NO_FORM = np.zeros((1, 1))


def column(*values):
    return np.array(values, dtype=float)[:, None]


def summed(name, x, blur, extra, form=0.0, fine=4000):
    """A step behind an aperture's chords in thousands of steps, each behind a Gaussian."""
    middles = (np.arange(fine) + 0.5) * 2 / fine - 1
    shares = spread_shares(name, column(form), fine)[0]
    return ndtr((x[:, None] - extra * middles) / blur) @ shares


def diffracted(x, blur, ring):
    """A step through the transfer function of a round aperture and a Gaussian."""
    f = (np.arange(1500) + 0.5) * (2.0 / ring / 1500)
    passed = transfer(f, np.array([[ring, 0.0, 0.0]]))[0] * np.exp(-2 * (np.pi * f * blur) ** 2)
    waves = np.sin(2 * np.pi * f * np.asarray(x)[:, None]) / (np.pi * f)
    return 0.5 + (waves * passed).sum(axis=1) * (f[1] - f[0])


def test_the_nodes_have_the_moments_of_a_gaussian():
    assert NODE_SHARES.sum() == pytest.approx(1)
    assert pytest.approx(0, abs=1e-12) == NODE_SHARES @ NODES
    assert pytest.approx(1, abs=0.02) == NODE_SHARES @ NODES**2
    assert NODE_SHARES @ np.cos(1.5 * NODES) == pytest.approx(np.exp(-1.125), abs=2e-3)


def test_the_steps_of_a_corner_have_the_moments_of_rayleighs_law():
    assert CORNER_SHARES.sum() == pytest.approx(1)
    assert pytest.approx(np.sqrt(np.pi / 2), abs=0.02) == CORNER_SHARES @ CORNER_STEPS
    assert pytest.approx(2) == CORNER_SHARES @ CORNER_STEPS**2
    assert pytest.approx(8) == CORNER_SHARES @ CORNER_STEPS**4
    assert np.exp(-0.5 * HALF_FALL**2) == pytest.approx(0.5)


def test_middles_are_even_and_of_half_length_one():
    assert MIDDLES.size == CELLS
    assert_allclose(np.diff(MIDDLES), 2 / CELLS)
    assert_allclose(MIDDLES, -MIDDLES[::-1])


@pytest.mark.parametrize(
    ("blur", "ring", "within"),
    [(0, 1, 3e-4), (0.7, 1.5, 3e-4), (1, 1, 3e-4), (1.3, 0.9, 3e-4), (2, 0.3, 2e-3)],
)
def test_a_diffracted_step_is_its_integral(blur, ring, within):
    """A ring that is finer than 0.4 blurs is told as hypot(ring, 0.4 blur)."""
    x = np.array([-5.0, -1.7, -0.6, -0.1, 0.0, 0.25, 0.9, 2.3])
    told = np.hypot(ring, 0.4 * blur)
    found = _diffracted(x[None], column(blur), column(ring))[0]
    assert_allclose(found, diffracted(x, blur, told), atol=within)


def test_diffracted_steps_of_several_lenses_stand_in_rows():
    x = np.array([[-1.0, 0.4], [-1.0, 0.4], [0.7, 3.0]])
    blur, ring = column(0.5, 1.5, 1.0), column(2.0, 1.0, 3.0)
    found = _diffracted(x, blur, ring)
    for row in range(3):
        alone = _diffracted(x[row : row + 1], blur[row : row + 1], ring[row : row + 1])
        assert_allclose(found[row], alone[0])


def test_far_off_a_diffracted_step_stays_what_it_is_at_thirty_rings():
    ends = _diffracted(np.array([[-1e4, -30.0, 30.0, 1e4]]), column(0.0), column(1.0))[0]
    assert ends[0] == pytest.approx(ends[1], abs=1e-6)
    assert ends[3] == pytest.approx(ends[2], abs=1e-6)
    assert ends[0] == pytest.approx(1 - ends[3], abs=1e-8)
    # A slit of rings fades slowly: 1 / (pi² x) of the light or so is beyond x rings of 1.22.
    assert 1e-4 < ends[0] < 1e-2
    table = _diffracted_edges()
    assert table.shape == (51, PLACES.size)
    assert_allclose(table + table[:, ::-1], 1, atol=1e-12)


@pytest.mark.parametrize("half_over_blur", [0.3, 2.0, 9.0])
def test_a_movement_is_the_mean_of_its_edges_to_many_digits(half_over_blur):
    blur, x = 0.8, np.linspace(-9, 9, 13)
    half = half_over_blur * blur
    nodes, shares = np.polynomial.legendre.leggauss(60)
    plain = ndtr((x[:, None] + half * nodes) / blur) @ shares / 2
    found = edge_of("moved", x[None], column(blur), column(2 * half), NO_FORM)
    assert_allclose(found[0], plain, atol=1e-9)


def test_no_movement_is_a_gaussian():
    x = np.linspace(-3, 3, 9)[None]
    for length in (0.0, 1e-6):
        found = edge_of("moved", x, column(0.8), column(length), NO_FORM)
        assert_allclose(found, ndtr(x / 0.8), atol=1e-6)


@pytest.mark.parametrize(("name", "form"), [("disc", 0.0), ("annular", 0.5), ("hexagon", 0.2)])
@pytest.mark.parametrize("blur", [0.3, 0.9, 1.3, 1.7, 4.0])
def test_an_aperture_behind_a_gaussian_to_a_thousandth(name, form, blur):
    """Radius 5 px: with these blurs it is summed in 48, 16, 12 or as few steps as are needed."""
    x = np.array([-9.0, -5.1, -4.2, -2.0, -0.3, 0.0, 1.1, 3.3, 4.9, 8.0])
    found = edge_of(name, x[None], column(blur), column(5.0), column(form))
    assert_allclose(found[0], summed(name, x, blur, 5.0, form), atol=2e-3)


@pytest.mark.parametrize("cells", [12, 16, 24, 48])
def test_fewer_steps_do_where_they_are_finer_than_seven_tenths_of_a_blur(cells):
    """Steps of 2 r / n: told apart from one step more at their limit by what they leave over."""
    blur = 1.0
    at = np.array([[-2.0, 1.0, 2.5]])
    limit = cells * 0.7 * blur / 2
    extra = column(limit * 0.999)
    wide = np.hypot(blur, 2 * extra / cells / np.sqrt(12))
    middles = (np.arange(cells) + 0.5) * 2 / cells - 1
    shares = spread_shares("disc", NO_FORM, cells)[0]
    plain = ndtr((at[0][:, None] - extra[0, 0] * middles) / wide[0, 0]) @ shares
    found = edge_of("disc", at, column(blur), extra, NO_FORM)
    assert_allclose(found[0], plain, atol=1e-12)


def test_far_from_an_aperture_a_step_is_nothing_or_all():
    x = np.array([[-40.0, -11.5, 11.5, 40.0]])
    found = edge_of("disc", x, column(1.0), column(5.0), NO_FORM)[0]
    assert found[0] == 0
    assert found[3] == 1
    assert_allclose(found[1:3], [0, 1], atol=1e-8)
    near = edge_of("disc", np.array([[-9.0, 9.0]]), column(1.0), column(5.0), NO_FORM)[0]
    assert 1e-7 < near[0] < 1e-4
    assert near[0] == pytest.approx(1 - near[1], rel=1e-6)
    assert near[0] == pytest.approx(summed("disc", np.array([-9.0]), 1.0, 5.0)[0], rel=0.5)


def test_a_name_that_is_no_lens_of_a_form_is_a_gaussian():
    x = np.linspace(-2, 2, 5)[None]
    for name in ("plain", "sloped", "rolled"):
        assert_allclose(edge_of(name, x, column(0.7), column(3.0), NO_FORM), ndtr(x / 0.7))


def test_a_disc_is_as_wide_as_its_radius_and_no_wider():
    u = np.array([-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0]) * 2 * 1.3
    # On this side of a chord at half the radius lies 1/3 - sqrt(3) / 4 pi of a disc.
    less = 1 / 3 - np.sqrt(3) / (4 * np.pi)
    assert_allclose(disc_edge(u, 1.3), [0, 0, less, 0.5, 1 - less, 1, 1], atol=1e-12)


def test_shares_of_a_movement_are_even_and_of_a_hexagon_its_chords():
    assert_allclose(spread_shares("moved", column(0, 0), 5), np.full((2, 5), 0.2))
    # A corner on the normal of the edge: from corner to corner 2 wide, half of it full height.
    shares = spread_shares("hexagon", column(0.0), 8)[0]
    rising = np.array([0.25, 0.75])
    full = np.r_[rising, 1, 1, 1, 1, rising[::-1]]
    assert_allclose(shares, full / full.sum(), atol=1e-9)
    # Turned by thirty degrees: sides across, at the apothem sqrt(3) / 2 = 0.866.
    shares = spread_shares("hexagon", column(np.pi / 6), 200)[0]
    at = np.abs((np.arange(200) + 0.5) / 100 - 1)
    chord = np.where(at < np.sqrt(3) / 2, 2 - 2 * at / np.sqrt(3), 0)
    assert_allclose(shares, chord / chord.sum(), atol=1e-9)
    again = spread_shares("hexagon", column(np.pi / 6 + np.pi / 3), 200)[0]
    assert_allclose(shares, again, atol=1e-9)


def test_shares_have_the_spread_of_their_aperture():
    """Second moments across: of a disc a quarter, of a ring (1 + s²) / 4, of a hexagon 5 / 24."""
    for name, form, second in (
        ("disc", 0.3, 1 / 4),
        ("annular", 0.5, 1.25 / 4),
        ("hexagon", 0.1, 5 / 24),
    ):
        shares = spread_shares(name, column(form), 2000)[0]
        middles = (np.arange(2000) + 0.5) / 1000 - 1
        assert shares @ middles == pytest.approx(0, abs=1e-9)
        assert shares @ middles**2 == pytest.approx(second, abs=1e-5)
    z = 3.0
    ring = spread_shares("annular", column(0.5), 2000)[0] @ np.cos(z * middles)
    outer, inner = 2 * j1(z) / z, 2 * j1(z / 2) / (z / 2)
    assert ring == pytest.approx((outer - inner / 4) / 0.75, abs=1e-5)


def test_a_round_corner_is_the_mean_over_rayleighs_law():
    """∫ step(x + r) r / c² exp(-r² / 2c²) dr, the step behind the same lens."""
    x, reach, blur, ring = np.array([-6.0, -2.4, 0.0, 1.5]), 1.2, 1.5, 1.0
    r = (np.arange(900) + 0.5) * 8 * reach / 900
    law = r / reach**2 * np.exp(-0.5 * (r / reach) ** 2) * (r[1] - r[0])
    places = (x[:, None] + r).reshape(1, -1)
    plain = _diffracted(places, column(blur), column(ring)).reshape(x.size, -1) @ law
    found = round_side(x[None], column(blur), column(ring), column(reach))
    assert_allclose(found[0], plain, atol=4e-3)
    half = round_side(np.array([[-3.0 * HALF_FALL]]), column(0.01), column(0.01), column(3.0))
    assert half[0, 0] == pytest.approx(0.5, abs=0.15)


def test_round_corners_of_several_lenses_stand_in_rows():
    x = np.array([[-2.0, 0.0, 1.0], [-1.0, 0.5, 2.0]])
    blur, ring, reach = column(1.0, 0.7), column(1.0, 2.0), column(1.5, 0.2)
    found = round_side(x, blur, ring, reach)
    for row in (0, 1):
        one = slice(row, row + 1)
        assert_allclose(found[row], round_side(x[one], blur[one], ring[one], reach[one])[0])
