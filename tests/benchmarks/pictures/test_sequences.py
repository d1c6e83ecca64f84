"""The truth of surveys and stacks: frames laid by it agree, and the sharp frame is the told one."""

import cv2
import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from tests.benchmarks.pictures.framing import defocused, disc, focus_bank, placing, seen
from tests.benchmarks.pictures.sequences import (
    MARGIN,
    STACK_FRAME,
    STACKS,
    SURVEYS,
    StackPlan,
    SurveyPlan,
    scene_size,
    stack,
    survey,
)

pytestmark = pytest.mark.slow  # of the made-up world alone: .ci/deep runs them

SS = 2


def cloud(rows, columns, seed, grain=4.0):
    """Random light with grains of two pixels, in samples of half a pixel."""
    rng = np.random.default_rng(seed)
    raw = rng.normal(size=(rows * SS, columns * SS)).astype(np.float32)
    smooth = cv2.GaussianBlur(raw, (0, 0), grain)
    return 0.5 + 0.12 * smooth / smooth.std()


def shoot(light, _):
    """A camera without a flaw: means over pixels, 8 bit, no loss."""
    pixels = light.reshape(light.shape[0] // SS, SS, -1, SS).mean(axis=(1, 3))
    return cv2.imencode(".png", np.clip(255 * pixels, 0, 255).astype(np.uint8))[1].tobytes()


def opened(data):
    return cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE).astype(np.float32)


def astray(laid, after, both):
    """Shift (y, x) that is left between two pictures, by least squares on their slopes."""
    inner = cv2.erode(both.astype(np.uint8), np.ones((7, 7))) > 0
    slopes = np.array([slope[inner] for slope in np.gradient((laid + after) / 2)])
    return np.linalg.lstsq(slopes.T, (after - laid)[inner], rcond=None)[0]


@pytest.mark.parametrize("name", sorted(set(SURVEYS) - {"long"}))
def test_frames_of_a_survey_agree_where_the_truth_lays_them(name):
    plan = SURVEYS[name]
    rows, columns = scene_size(plan)
    found = survey(
        cloud(rows, columns, 1), cloud(700, 900, 2), SS, shoot, plan, np.random.default_rng(5)
    )
    pictures = [opened(data) for data in found.frames]
    for index in range(plan.frames - 1):
        before, after = pictures[index], pictures[index + 1]
        step = found.step(index)
        y, x = np.indices(after.shape)
        x, y, _ = np.tensordot(step, np.array([x, y, np.ones_like(x)]), axes=1)
        laid = map_coordinates(before, [y, x], order=3, cval=-1)
        both = laid > 1
        if index + 1 == plan.gap:
            assert both.mean() < 0.01
            assert found.cause == "gap"
            continue
        assert 0.25 < both.mean() < 0.8
        agreement = np.corrcoef(laid[both], after[both])[0, 1]
        if plan.foreign in (index, index + 1):
            assert agreement < 0.1
            assert found.cause == "foreign frame"
        else:
            assert agreement > 0.95
            assert np.hypot(*astray(laid, after, both)) < 0.02
        shift = found.shift_px(index)
        assert 0.28 * 560 < shift[0] < 0.75 * 560


def test_a_placing_leads_the_middle_to_the_middle_and_zoom_spreads():
    matrix = placing((100.0, 50.0), 90.0, 2.0, (41, 61))
    np.testing.assert_allclose(matrix @ [30, 20, 1], [100, 50, 1], atol=1e-12)
    np.testing.assert_allclose(matrix @ [32, 20, 1], [100, 51, 1], atol=1e-12)
    ramp = np.tile(np.arange(200, dtype=np.float32), (60, 1))
    frame = seen(ramp, SS, placing((50.0, 15.0), 0.0, 1.0, (11, 21)), (11, 21))
    # The middle pixel (50) holds samples 100 and 101.
    np.testing.assert_allclose(frame[10, 20:22], [100, 101], atol=1e-3)


def test_a_disc_holds_its_light_and_its_radius():
    for radius in (3.0, 5.3, 11.0):
        kernel = disc(radius)
        assert kernel.sum() == pytest.approx(1, abs=1e-5)
        places = np.arange(len(kernel)) - len(kernel) // 2
        spread = (kernel.sum(axis=0) * places**2).sum()
        # Of a uniform disc, and of the square sample that it is shared out to.
        assert spread == pytest.approx(radius**2 / 4 + 1 / 12, rel=0.03)


@pytest.mark.slow
def test_the_frame_told_to_be_sharp_is_the_sharpest():
    rows, columns = (size + 2 * MARGIN for size in STACK_FRAME)
    depth = np.tile(np.linspace(0, 1, columns * SS, dtype=np.float32), (rows * SS, 1))
    for name in ("steady", "few"):
        found = stack(
            cloud(rows, columns, 3), None, depth, SS, shoot, STACKS[name], np.random.default_rng(8)
        )
        detail = []
        for data in found.frames:
            fine = cv2.Laplacian(opened(data), cv2.CV_32F)
            detail.append((fine**2).reshape(STACK_FRAME[0], 14, -1).mean(axis=(0, 2)))
        sharpest = np.argmax(detail, axis=0)
        told = np.argmin(found.radius_px.reshape(len(found.frames), 14, -1).mean(axis=2), axis=0)
        assert np.abs(sharpest - told).max() <= 1
        assert (sharpest == told).mean() > 0.7


def test_a_bank_gives_the_blur_that_is_asked_for():
    light = cloud(60, 60, 4)
    bank = focus_bank(light, 6.0, steps=13)
    half = defocused(bank, 6.0, np.full(light.shape, 3.0, np.float32))
    np.testing.assert_allclose(half, cv2.filter2D(light, -1, disc(3.0)), atol=1e-5)


def test_plans_say_what_is_wrong():
    assert SurveyPlan().foreign is None
    assert StackPlan().foreign is None
    assert SURVEYS["foreign"].foreign is not None
    assert SURVEYS["gap"].gap is not None
