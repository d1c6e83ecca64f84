"""Against closed forms and published factors: rods, pendulums, beams, propagated uncertainty.

Uniform beam: roots of cos(x) cosh(x) = 1. Wedge: Kirchhoff (1879), factors 5.315 and 15.207
(from memory of tables of beam frequencies). Doubly tapered cantilever: Mabie & Rogers, J.
Acoust. Soc. Am. 51 (1972) 1771-1774, as given in code_aster's validation manual V2.02.009
(SDLL09). Propagation: JCGM 101:2008, section 9.2, and JCGM 100:2008.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from edgetest.chop.balance import Hold
from edgetest.chop.beam import bending_modes
from edgetest.chop.pendulum import GRAVITY_M_S2, SwingTest, measured_balance, period
from edgetest.chop.tool_outline import Grind, outline, rigid_body
from edgetest.stats.propagate import Input, draw_inputs, interval, linear_u

DENSITY, YOUNGS = 7850.0, 207e9
UNGROUND = Grind(share=0)


def bar(length_mm=600, **options):
    return outline([0, length_mm], [40, 40], [0], [5], grind=UNGROUND, **options)


def test_uniform_rod():
    mass, balance, inertia = rigid_body(bar())
    assert mass == pytest.approx(0.6 * 0.040 * 0.005 * DENSITY, rel=1e-12)
    assert balance == pytest.approx(0.3, rel=1e-12)
    assert inertia == pytest.approx(mass * 0.6**2 / 12, rel=1e-11)
    about_end = inertia + mass * balance**2
    assert about_end == pytest.approx(mass * 0.6**2 / 3, rel=1e-11)
    assert about_end / (mass * balance) == pytest.approx(2 / 3 * 0.6, rel=1e-11)


@pytest.mark.parametrize(("length_m", "seconds"), [(0.30, 0.89729), (1.00, 1.63823)])
def test_rod_as_pendulum(length_m, seconds):
    """T = 2 pi sqrt(2L / 3g) about the end gives percussion at 2L/3 and inertia m L²/3."""
    exact = 2 * np.pi * np.sqrt(2 * length_m / (3 * GRAVITY_M_S2))
    assert exact == pytest.approx(seconds, abs=6e-6)
    test = SwingTest(500, 500 * length_m, 0.0, [10 * exact] * 3, 10)
    swung = measured_balance(test, Hold(0.0, 700 * length_m), rng=np.random.default_rng(1))
    assert swung.percussion_mm.value == pytest.approx(2000 / 3 * length_m, rel=1e-9)
    assert swung.inertia_grip_kg_cm2.value == pytest.approx(1e4 * 0.5 * length_m**2 / 3, rel=1e-9)


def test_gravity_from_a_reference_pendulum():
    """A seconds pendulum (0.99362 m for T = 2 s) gives standard gravity back."""
    length = GRAVITY_M_S2 * (2 / (2 * np.pi)) ** 2
    assert length == pytest.approx(0.99362, abs=1e-5)
    here = GRAVITY_M_S2 * 1.000001
    test = SwingTest(1000, 1000 * length, 0.0, [40.0], 20, gravity_m_s2=here)
    swung = measured_balance(test, Hold(0.0, 900), rng=np.random.default_rng(1))
    # All mass at the bob: the inertia about the balance point is nil beside m L².
    ratio = swung.inertia_balance_kg_cm2.value / swung.inertia_grip_kg_cm2.value
    assert ratio == pytest.approx(1e-6, rel=1e-3)


def test_kater_reversibility():
    """Pivoting at the centre of oscillation gives the same period."""
    mass, balance, inertia = rigid_body(bar())
    centre = balance + inertia / (mass * balance)

    def seconds(pivot):
        arm = abs(balance - pivot)
        return 2 * np.pi * np.sqrt((inertia + mass * arm**2) / (mass * GRAVITY_M_S2 * arm))

    assert seconds(centre) == pytest.approx(seconds(0.0), rel=1e-12)


def test_wide_swing_series():
    # 2/pi K(sin(a/2)): 60 degrees slow the pendulum by 1.07318.
    from scipy.special import ellipk

    exact = 2 / np.pi * ellipk(np.sin(np.deg2rad(30)) ** 2)
    wide = period([10.0], 10, amplitude_deg=60)
    assert 1 / wide.seconds == pytest.approx(exact, abs=2e-3)
    narrow = period([10.0], 10, amplitude_deg=20)
    assert 1 / narrow.seconds == pytest.approx(
        2 / np.pi * ellipk(np.sin(np.deg2rad(10)) ** 2), abs=3e-6
    )


def test_uniform_beam_free_at_both_ends():
    modes = bending_modes(bar(), modes=3)
    roots = [
        brentq(lambda x: np.cos(x) * np.cosh(x) - 1, low, low + 0.2) for low in (4.65, 7.8, 10.95)
    ]
    speed = np.sqrt(YOUNGS * 0.005**2 / 12 / DENSITY)
    factors = [np.sqrt(2 * np.pi * mode.frequency_hz / speed) * 0.6 for mode in modes]
    assert_allclose(factors, roots, rtol=1e-6)
    assert factors[0] == pytest.approx(4.730, abs=5e-4)
    assert_allclose(np.array(modes[0].nodes_mm) / 600, [0.2242, 0.7758], atol=5e-5)
    assert_allclose(np.array(modes[1].nodes_mm) / 600, [0.1321, 0.5, 0.8679], atol=5e-5)


def test_uniform_beam_in_the_plane_of_the_blow():
    flat, edge = (bending_modes(bar(), plane=plane)[0] for plane in ("flat", "edge"))
    assert edge.frequency_hz / flat.frequency_hz == pytest.approx(40 / 5, rel=1e-6)


def test_kirchhoffs_wedge():
    wedge = outline([0, 1000], [40, 40], [0, 1000], [40, 0], grind=UNGROUND)
    modes = bending_modes(wedge, modes=2, ends="clamped-free")
    speed = np.sqrt(YOUNGS * 0.040**2 / 12 / DENSITY)
    factors = [2 * np.pi * mode.frequency_hz / speed for mode in modes]
    assert_allclose(factors, [5.315, 15.207], atol=6e-4)


@pytest.mark.parametrize(
    ("width_ratio", "published"),
    [(4, [23.289, 73.9, 165.23, 299.7, 478.1]), (5, [24.308, 75.56, 167.21, 301.9, 480.4])],
)
def test_mabie_and_rogers_double_taper(width_ratio, published):
    """Thickness 4 to 1, width 4 or 5 to 1. The published series itself stands 0.01 to 0.04 % off
    the converged value (60 to 240 elements agree to 4e-6 in all five).
    """
    shape = outline([0, 1000], [10 * width_ratio, 10], [0, 1000], [40, 10], grind=UNGROUND)
    modes = bending_modes(shape, modes=5, ends="clamped-free")
    unit = 0.010 * np.sqrt(YOUNGS / 12 / DENSITY)
    assert_allclose([2 * np.pi * m.frequency_hz / unit for m in modes], published, rtol=5e-4)


def sum_of_four(x1, x2, x3, x4):
    return x1 + x2 + x3 + x4


@pytest.mark.parametrize(
    ("shape", "last_u", "published_u", "half"),
    [
        ("normal", 1.0, 2.0, 3.92),
        ("uniform", 1.0, 2.0, 3.88),
        ("uniform", 10.0, 10.15, 17.0),
    ],
)
def test_jcgm_101_additive_model(shape, last_u, published_u, half):
    inputs = {f"x{i}": Input(0.0, last_u if i == 4 else 1.0) for i in (1, 2, 3, 4)}
    rng, n = np.random.default_rng(3), 400_000
    drawn = draw_inputs(inputs, rng, n)
    if shape == "uniform":
        drawn = {name: np.sqrt(3) * one.u * rng.uniform(-1, 1, n) for name, one in inputs.items()}
    draws = sum_of_four(**drawn)
    found = interval(draws, 0.0, "")
    assert draws.std() == pytest.approx(published_u, rel=0.005)
    # Two Monte Carlo standard errors of a 2.5 % quantile of 400 000 draws are 0.02 u.
    assert_allclose([found.low, found.high], [-half, half], atol=0.02 * published_u)
    assert linear_u(sum_of_four, inputs) == pytest.approx(np.sqrt(3 + last_u**2))


def test_jcgm_100_gauge_block():
    """GUM H.1: 32 nm (31.7 before rounding) from the six inputs."""

    def length(ls, d, da, theta, alpha, dtheta):
        return ls + d - ls * (da * theta + alpha * dtheta)

    inputs = {
        "ls": Input(50.000623e6, 25.0),
        "d": Input(215.0, 9.7),
        "da": Input(0.0, 0.58e-6),
        "theta": Input(-0.1, 0.41),
        "alpha": Input(11.5e-6, 1.2e-6),
        "dtheta": Input(0.0, 0.029),
    }
    assert linear_u(length, inputs) == pytest.approx(31.7, abs=0.1)


def test_linear_propagation_agrees_with_draws_for_the_pendulum():
    def inertia(mass_kg, arm_m, seconds):
        return mass_kg * GRAVITY_M_S2 * arm_m * seconds**2 / (4 * np.pi**2)

    inputs = {
        "mass_kg": Input(0.45, 0.001),
        "arm_m": Input(0.22, 0.0015),
        "seconds": Input(1.1, 0.004),
    }
    drawn = inertia(**draw_inputs(inputs, np.random.default_rng(2), 200_000))
    assert drawn.std() == pytest.approx(linear_u(inertia, inputs), rel=0.01)
