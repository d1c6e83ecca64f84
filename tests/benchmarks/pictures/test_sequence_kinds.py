"""Surveys and stacks of made edges: their frames agree where the truth lays them."""

import cv2
import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from tests.benchmarks.pictures.sequence_kinds import repeating, stacked, surveyed
from tests.benchmarks.pictures.sequences import MARGIN, STACK_FRAME

pytestmark = pytest.mark.slow  # of the made-up world alone: .ci/deep runs them


def opened(data):
    return cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE).astype(np.float32)


@pytest.mark.parametrize("kind", ["growing", "repeating", "two sizes"])
def test_frames_of_a_survey_agree_and_their_land_lies_where_it_is_told(kind):
    made = surveyed(kind, 1)
    walk = made.sequence
    pictures = [opened(data) for data in walk.frames]
    for index in range(len(pictures) - 1):
        y, x = np.indices(walk.shapes[index + 1])
        points = np.array([x, y, np.ones_like(x)])
        x, y, _ = np.tensordot(walk.step(index), points, axes=1)
        laid = map_coordinates(pictures[index], [y, x], order=1, cval=-1)
        both = laid >= 0
        assert np.corrcoef(laid[both], pictures[index + 1][both])[0, 1] > 0.95
    middle = (made.truth.y1 + made.truth.y2) / 2
    for shown, matrix in zip(pictures, walk.to_scene, strict=True):
        columns = np.arange(10, shown.shape[1] - 10, 7)
        scene = np.array([matrix @ [x, shown.shape[0] / 2, 1] for x in columns])
        y = np.interp(scene[:, 0], np.arange(len(middle)), middle)
        place = np.linalg.inv(matrix) @ [scene[:, 0], y, np.ones(len(y))]
        there = shown[np.rint(place[1]).astype(int), np.rint(place[0]).astype(int).clip(0)]
        assert there.mean() > 2 * np.median(shown)


def test_a_repeating_texture_repeats():
    rng = np.random.default_rng(2)
    light = repeating(np.ones((60, 700), np.float32), 50, 0.1, 2, rng)
    np.testing.assert_allclose(light[:, :100], light[:, 100:200])
    np.testing.assert_allclose(light[:, :100], light[:, 600:700])
    assert light[:, :100].std() > 0.05


def test_each_column_is_sharpest_in_the_frame_that_is_told():
    made = stacked("steady", 1)
    frames = [opened(data) for data in made.sequence.frames]
    assert frames[0].shape == STACK_FRAME
    y1 = made.truth.y1[MARGIN : MARGIN + STACK_FRAME[1]] - MARGIN
    steepest = []
    for shown in frames:
        smooth = cv2.GaussianBlur(shown, (1, 1), 0)
        rows = np.rint(y1).astype(int)[None] + np.arange(-6, 7)[:, None]
        near = smooth[rows, np.arange(STACK_FRAME[1])[None]]
        steepest.append(np.abs(np.diff(near, axis=0)).max(axis=0).reshape(10, -1).mean(axis=1))
    found = np.argmax(steepest, axis=0)
    told = made.sequence.radius_px.reshape(len(frames), 10, -1).mean(axis=2).argmin(axis=0)
    assert np.abs(found - told).max() <= 1
    assert (found == told).mean() >= 0.6


def test_a_foreign_frame_is_of_another_edge():
    made = stacked("foreign", 2)
    frames = [opened(data) for data in made.sequence.frames]
    place = made.sequence.plan.foreign
    alike = [np.corrcoef(frames[0].ravel(), each.ravel())[0, 1] for each in frames]
    assert made.sequence.cause == "foreign frame"
    assert np.argmin(alike) == place
