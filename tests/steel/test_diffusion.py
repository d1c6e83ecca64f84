import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.steel.diffusion import (
    DIFFUSIVITIES,
    Hot,
    diffusivity,
    march,
    plate_centre_share,
    plate_grid,
    relax,
)
from tests.steel.closed_forms import plate_uptake_share, semi_infinite_carbon

ONE = np.ones(1)


def content(carbon, grid):
    return carbon @ grid.widths_mm


@st.composite
def plates(draw):
    nodes = draw(st.integers(20, 120))
    thickness = draw(st.floats(0.3, 8.0))
    seed = draw(st.integers(0, 10_000))
    carbon = np.random.default_rng(seed).uniform(0.05, 1.2, size=(3, nodes))
    faces = [
        draw(st.one_of(st.none(), st.floats(0.0, 1.4).map(lambda c: np.full(3, c))))
        for _ in range(2)
    ]
    return plate_grid(thickness, nodes), carbon, faces


@settings(max_examples=30, deadline=None)
@given(plates(), st.floats(1e-4, 2.0))
def test_exact_heat_conserves_carbon(plate, dt):
    grid, carbon, faces = plate
    after, gained = relax(carbon, np.full(3, dt), grid, *faces)
    # The content and the flow through the faces are worked out on separate ways.
    assert_allclose(content(after, grid), content(carbon, grid) + gained, rtol=1e-9, atol=1e-12)


@settings(max_examples=15, deadline=None)
@given(plates(), st.sampled_from(list(DIFFUSIVITIES)), st.floats(850, 1000))
def test_marched_heat_conserves_carbon(plate, name, temperature):
    grid, carbon, faces = plate
    after, gained = march(
        carbon, 3.0, grid, *faces, Hot(diffusivity(name), np.full(3, temperature)), steps=12
    )
    assert_allclose(content(after, grid), content(carbon, grid) + gained, rtol=1e-9, atol=1e-12)


@settings(max_examples=30, deadline=None)
@given(plates(), st.floats(1e-4, 2.0))
def test_carbon_stays_between_what_was_there_and_what_was_held(plate, dt):
    grid, carbon, faces = plate
    after, _ = relax(carbon, np.full(3, dt), grid, *faces)
    ends = [c for c in faces if c is not None]
    bounds = np.concatenate([carbon.ravel(), *ends]) if ends else carbon
    assert after.min() >= bounds.min() - 1e-9
    assert after.max() <= bounds.max() + 1e-9


@pytest.mark.parametrize("name", DIFFUSIVITIES)
def test_endless_pack_brings_the_surface_carbon_everywhere(name):
    grid = plate_grid(1.0, 50)
    law = diffusivity(name)
    after, _ = march(
        np.full((1, 50), 0.2), 2000.0, grid, ONE, ONE, Hot(law, np.array([950.0])), steps=40
    )
    assert_allclose(after, 1.0, atol=1e-6)


def test_sealed_plate_evens_out_to_its_mean():
    grid = plate_grid(1.0, 60)
    carbon = np.linspace(0.1, 1.0, 60)[None]
    after, _ = relax(carbon, np.array([100.0]), grid, None, None)
    assert_allclose(after, content(carbon, grid)[0] / 1.0, rtol=1e-9)


@pytest.mark.parametrize("fo", [0.01, 0.05, 0.1, 0.25, 0.5, 1.0])
def test_both_solvers_meet_the_plate_series(fo):
    grid = plate_grid(2.0, 200)  # half thickness 1 mm
    start = np.zeros((1, 200))
    exact, gained = relax(start, np.array([fo]), grid, ONE, ONE)
    middle = np.interp(1.0, grid.centres_mm, exact[0])
    # 200 graded cells: second order in a width of at most 0.02 mm.
    assert middle == pytest.approx(float(plate_centre_share(fo)), abs=1e-4)
    assert gained[0] / 2 == pytest.approx(float(plate_uptake_share(fo)), abs=1e-4)
    law = diffusivity("callister_later")
    hours = fo / law.mm2_h(925.0)
    marched, _ = march(start, hours, grid, ONE, ONE, Hot(law, np.array([925.0])))
    assert_allclose(marched, exact, atol=1e-4)


def test_error_falls_with_the_square_of_the_cell():
    errors = []
    for nodes in (25, 50, 100):
        grid = plate_grid(2.0, nodes)
        after, _ = relax(np.zeros((1, nodes)), np.array([0.2]), grid, ONE, ONE)
        mean = content(after, grid)[0] / 2
        errors.append(abs(mean - float(plate_uptake_share(0.2))))
    order = np.log2(np.array(errors[:-1]) / errors[1:])
    assert (order > 1.8).all()


def test_thin_case_follows_the_error_function():
    grid = plate_grid(6.0, 400)
    after, _ = relax(np.full((1, 400), 0.2), np.array([0.05]), grid, ONE, ONE)
    near = grid.centres_mm < 2.0
    closed = semi_infinite_carbon(grid.centres_mm[near], 0.05, 1.0, 0.2)
    assert_allclose(after[0, near], closed, atol=2e-4)


def test_one_sealed_face_is_half_of_a_plate_twice_as_thick():
    whole, half = plate_grid(2.0, 400), plate_grid(1.0, 200)
    both, _ = relax(np.zeros((1, 400)), np.array([0.2]), whole, ONE, ONE)
    single, _ = relax(np.zeros((1, 200)), np.array([0.2]), half, ONE, None)
    assert_allclose(np.interp(half.centres_mm, whole.centres_mm, both[0]), single[0], atol=2e-4)


def test_unequal_faces_settle_to_a_straight_line():
    grid = plate_grid(1.0, 40)
    after, _ = relax(np.zeros((1, 40)), np.array([50.0]), grid, ONE, 0.2 * ONE)
    assert_allclose(after[0], 1.0 - 0.8 * grid.centres_mm, atol=1e-9)


def test_time_stepping_is_second_order():
    grid, law = plate_grid(1.0, 60), diffusivity("agren")
    start, hot = np.full((1, 60), 0.2), np.array([900.0])
    fine, _ = march(start, 2.0, grid, ONE, ONE, Hot(law, hot), steps=640)
    errors = [
        np.abs(march(start, 2.0, grid, ONE, ONE, Hot(law, hot), steps=n)[0] - fine).max()
        for n in (20, 40, 80)
    ]
    # Two passes for the diffusivity leave a first-order rest, below 1e-4 % carbon here.
    assert errors[0] / errors[2] > 4**1.7
    assert errors[1] < 1e-4


def test_diffusivity_rises_with_carbon_where_the_law_says_so():
    law = diffusivity("agren")
    assert law.mm2_h(900.0, 1.0) > 2 * law.mm2_h(900.0, 0.0)


def test_samples_do_not_leak_into_each_other():
    grid, law = plate_grid(1.0, 40), diffusivity("agren")
    start = np.array([[0.1], [0.5], [0.9]]) * np.ones((3, 40))
    held, hot = np.array([1.0, 1.1, 1.2]), np.array([880.0, 900.0, 950.0])
    together, _ = march(start, 1.0, grid, held, held, Hot(law, hot), steps=10)
    for i in range(3):
        own = slice(i, i + 1)
        alone, _ = march(start[own], 1.0, grid, held[own], held[own], Hot(law, hot[own]), steps=10)
        assert_allclose(together[own], alone, rtol=1e-12)


def test_unknown_diffusivity_lists_the_known():
    with pytest.raises(UnusableInput, match="known: callister_later"):
        diffusivity("mine")
