"""A new picture of a worn edge is found again on the last one, or it is said that it cannot be."""

import json

import cv2
import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.same_place import place_again

HIGH, WIDE = 360, 560


def stretch(width_um=20.0, seed=1, **settings):
    """An edge with ground bevels; its marks depend on the seed alone."""
    made = {"bevel_grain": 0.0, "blur_px": 1.3, "noise": 0} | settings
    picture, _ = render_apex(
        shape=(420, 720), width_um=width_um, rng=np.random.default_rng(seed), **made
    )
    marks = np.random.default_rng(seed).normal(0, 1, (420, 720))
    marks = cv2.GaussianBlur(marks, (0, 0), sigmaX=1.5, sigmaY=5)
    marks *= 15 / marks.std()
    return np.clip(picture + marks, 0, 255).astype(np.uint8)


def cut(picture, down=0, right=0):
    seen = picture[30 - down : 30 - down + HIGH, 80 - right : 80 - right + WIDE]
    return linear_light(np.ascontiguousarray(seen), "srgb")


@pytest.mark.parametrize(("down", "right"), [(0, 0), (14, 60), (-20, -76), (4, -30)])
def test_the_shift_of_a_worn_edge_is_told_in_pixels_and_um(down, right):
    place = place_again(cut(stretch(14.0)), cut(stretch(24.0), down, right), 0.5)
    assert place.found
    assert place.doubts == ()
    assert place.right_px == pytest.approx(right, abs=2)
    assert place.down_px == pytest.approx(down, abs=2)
    assert place.to_dict()["right_um"] == pytest.approx(place.right_px * 0.5)
    said = place.summary()
    if (down, right) == (0, 0):
        assert said.startswith("The same place as in the last picture, to 2 px; ")
    else:
        assert (
            f" px ({abs(place.right_px) * 0.5:.3g} µm) {'right' if right > 0 else 'left'}" in said
        )


def test_a_far_shift_asks_to_move_the_blade():
    wide = stretch(20.0)
    first = linear_light(np.ascontiguousarray(wide[:360, :500]), "srgb")
    second = linear_light(np.ascontiguousarray(wide[:360, 140:640]), "srgb")
    place = place_again(first, second)
    assert place.right_px == pytest.approx(-140, abs=2)
    assert place.common == pytest.approx(0.72, abs=0.01)
    assert codes(place.doubts) == ("place_shifted",)
    assert "140 px left" in place.summary()  # no µm where the scale is not known
    assert "µm" not in place.summary()


@pytest.mark.parametrize(
    ("last", "new", "code"),
    [
        (cut(stretch(seed=1)), cut(stretch(seed=9)), "place_untold"),
        (cut(stretch()), linear_light(stretch(), "srgb"), "place_size"),
        (linear_light(np.zeros((20, 20), np.uint8), "srgb"),) * 2 + ("place_untold",),
        (linear_light(np.zeros((200, 200), np.uint8), "srgb"),) * 2 + ("place_untold",),
    ],
)
def test_what_cannot_be_told_is_said_to_be_so(last, new, code):
    place = place_again(last, new, 0.5)
    assert not place.found
    assert codes(place.doubts) == (code,)
    assert place.summary().startswith("It cannot be told whether this is the same place")
    found = json.loads(json.dumps(place.to_dict()))
    assert (found["right_px"], found["right_um"]) == (None, None)
