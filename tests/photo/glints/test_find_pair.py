"""Two bright lines side by side: summits, widths and their path, of profiles known by formula."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.glints.find_pair import find_pair, line_deviation, prominences, two_summits

X = np.arange(-60.0, 61)


def bell(at, sd, height=1.0):
    return height * np.exp(-0.5 * ((X - at) / sd) ** 2)


def test_a_summit_stands_above_the_higher_of_its_valleys():
    light = np.array([0.0, 3, 1, 5, 2, 2.5, 0.5, 4, 4, 1])
    rise = prominences(light)
    # 3 over 1; 5, the highest, over 0.5 to its right; 2.5 over 2; 4 over 0.5 and its end, 1.
    expected = np.zeros(10)
    expected[[1, 3, 5, 7]] = [2, 4.5, 0.5, 3]
    assert_allclose(rise, expected)


@pytest.mark.parametrize("sd", [1.5, 4.0, 9.0])
def test_the_deviation_is_that_of_a_bell_of_the_same_width(sd):
    light = bell(0, sd, 2.0)
    assert line_deviation(light, 60, 2.0) == pytest.approx(sd, rel=0.03)
    uneven = np.where(X < 0, bell(0, 2 * sd), bell(0, sd))
    assert line_deviation(uneven, 60, 1.0) == pytest.approx(sd, rel=0.03)
    if sd < 9:
        assert line_deviation(uneven, 60, 1.0, max) == pytest.approx(2 * sd, rel=0.03)


@pytest.mark.parametrize("apart", [12, 30])
@pytest.mark.parametrize("second", [1.0, 0.2, 0.06])
def test_two_lines_are_told_with_their_places(apart, second):
    profile = 0.1 + bell(-apart / 2, 2.0) + bell(apart / 2, 2.0, second)
    lines, sd = two_summits(X, profile, 0.001)
    assert_allclose(lines, (-apart / 2, apart / 2), atol=0.5)
    assert sd == pytest.approx(np.hypot(2.0, 0.7), rel=0.1)  # smoothed by 0.7 px beforehand
    partly = profile.copy()
    partly[:10] = np.nan
    assert two_summits(X, partly, 0.001)[0] == lines


def test_what_does_not_stand_out_is_no_line():
    one = 0.1 + bell(3, 2.0)
    assert two_summits(X, one, 0.001)[0] is None
    assert two_summits(X, one, 0.001)[1] == pytest.approx(np.hypot(2.0, 0.7), rel=0.06)
    assert two_summits(X, one, 0.2) == (None, None)  # not six deviations of the noise
    assert two_summits(X, one + bell(-20, 2.0, 0.02), 0.001)[0] is None  # too faint beside it
    assert two_summits(X, one + bell(-20, 2.0, 0.1), 0.02)[0] is None  # lost in noise
    few = np.full(X.size, np.nan)
    few[:8] = 1
    assert two_summits(X, few, 0.001) == (None, None)


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("apart", [14.0, 26.0])
def test_the_path_runs_between_the_lines(upright, apart):
    y, x = np.mgrid[0:220, 0:400].astype(float)
    middle = 105 + 0.1 * (x - 200)
    off = (y - middle) / np.hypot(1, 0.1)
    light = 0.02 + 0.6 * np.exp(-0.5 * ((off - apart / 2) / 1.8) ** 2)
    light += 0.4 * np.exp(-0.5 * ((off + apart / 2) / 1.8) ** 2)
    over = light > 0.5
    picture = light.astype(np.float32)
    if upright:
        picture, over = np.ascontiguousarray(picture.T), np.ascontiguousarray(over.T)
    found, reason = find_pair(picture, over)
    assert reason is None
    assert found.upright == upright
    assert found.lines[1] - found.lines[0] == pytest.approx(apart, abs=0.6)
    assert sum(found.lines) == pytest.approx(0, abs=1.2)
    assert found.sd_px == pytest.approx(np.hypot(1.8, 0.7), rel=0.1)
    path = found.strip.track.centre_rc
    row, col = path.T[::-1] if upright else path.T
    inner = (col > 20) & (col < 380)
    assert_allclose(row[inner], 105 + 0.1 * (col[inner] - 200), atol=0.8)
    # What is overexposed is the stronger of the two lines.
    clipped = np.abs(found.strip.x[found.full.any(axis=0)])
    assert np.all(np.abs(clipped - apart / 2) < 3.5)
    assert found.full.any()
    free, _ = find_pair(picture)
    assert not free.full.any()


def test_no_light_and_no_contrast_are_told():
    dark = np.full((100, 200), 0.003, np.float32)
    assert find_pair(dark) == (None, "too_dark")
    assert find_pair(dark + 0.3) == (None, "no_contrast")
    noise = 0.3 + 0.05 * np.random.default_rng(1).standard_normal((200, 300))
    assert find_pair(noise.astype(np.float32)) == (None, "no_lines")
