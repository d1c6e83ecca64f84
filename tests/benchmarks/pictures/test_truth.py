"""Whoever undoes a picture's tone and reads its half height finds the width that is its truth."""

import cv2
import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from tests.benchmarks.pictures.kinds import picture


def opened(data):
    return cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE).astype(float)


def light_by_steps(made):
    """The picture's light, by the patches of known light that the same camera took."""
    steps = opened(made.grey_steps.data)
    values = np.array([steps[a:b, c:d].mean() for a, b, c, d in made.grey_steps.boxes])
    order = np.argsort(values)
    return np.interp(opened(made.data), values[order], made.grey_steps.luminances[order])


def across(light, made):
    """Mean light across the clean edge, its wander and its widening taken out: place, light."""
    upper, lower = made.borders()
    columns = np.arange(5, light.shape[1] - 5)
    y1, y2 = (np.interp(columns, border[:, 0], border[:, 1]) for border in (upper, lower))
    height = np.median(y2 - y1)
    place = np.arange(-2.5 * height - 10, 2.5 * height + 10, 0.25)
    rows = (y1 + y2) / 2 + place[:, None] * (y2 - y1) / height
    read = map_coordinates(light, [rows, np.broadcast_to(columns, rows.shape)], order=1, cval=-1)
    return place, np.where(read < 0, np.nan, read), height


def half_height(place, read, height):
    """Full width at half height between the land's light and that of either bevel."""
    light = np.array(
        [row[np.isfinite(row)].mean() if np.isfinite(row).any() else np.nan for row in read]
    )
    peak, width = light[np.abs(place) < height / 4].mean(), 0.0
    for side in (-1, 1):
        half = (peak + np.nanmedian(light[side * place > 1.2 * height])) / 2
        outwards = np.flatnonzero(side * place > 0)[::side]
        far = outwards[np.argmax(light[outwards] < half)]
        near = far - side
        share = (light[near] - half) / (light[near] - light[far])
        width += abs(place[near] + share * (place[far] - place[near]))
    return width


@pytest.mark.parametrize("seed", [3, 10])
def test_grey_steps_undo_the_tone_and_half_height_gives_the_width(seed):
    made = picture("tones", seed)
    found = half_height(*across(light_by_steps(made), made))
    upright = found * np.cos(np.radians(made.edge.tilt_deg))
    assert upright == pytest.approx(made.width_px, rel=0.02)


def test_the_needle_and_its_subject_shine_where_they_are_told_to():
    made = picture("sides", 4)
    shown = opened(made.data)
    place, read, height = across(shown, made)
    light = np.nanmean(read[np.abs(place) < height], axis=1)
    place = place[np.abs(place) < height]
    glints = [place[half][np.argmax(light[half])] for half in (place < -1, place > 1)]
    spacing = (glints[1] - glints[0]) * np.cos(np.radians(made.edge.tilt_deg))
    assert spacing == pytest.approx(made.truth.glint_spacing_um / made.um_per_px, abs=0.8)
    needle, thin = made.partner, opened(made.partner.data)
    assert 300 <= needle.needle.diameter_um <= 500
    rows = np.arange(len(thin))
    column = thin.shape[1] // 2
    near = thin[:, column - 3 : column + 4].mean(axis=1)
    above, below = rows < needle.needle.axis_row - 3, rows > needle.needle.axis_row + 3
    apart = rows[below][np.argmax(near[below])] - rows[above][np.argmax(near[above])]
    apart *= np.cos(np.radians(needle.needle.tilt_deg))
    assert apart == pytest.approx(needle.needle.glint_spacing_um / needle.um_per_px, rel=0.04)
