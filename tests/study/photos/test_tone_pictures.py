"""Grey steps as they are typed, and the pictures that go with them."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.study.photos import tone_pictures as module
from edgetest.study.photos.tone_pictures import step_numbers, tone_from_pictures


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("0.05,0.2", [0.05, 0.2]), ("1/60, 1/30", [1 / 60, 1 / 30]), ("", []), (None, []),
     ("1,,2,", [1.0, 2.0]), (" 3 ", [3.0])],
)  # fmt: skip
def test_steps_are_numbers_with_commas(text, numbers):
    assert step_numbers(text, "here") == numbers


@pytest.mark.parametrize("text", ["a", "1/0", "1,x", "1/2/3"])
def test_a_step_that_is_no_number_is_named(text):
    with pytest.raises(UnusableInput, match="is no number"):
        step_numbers(text, "here")


@pytest.fixture
def asked(monkeypatch, tmp_path):
    """What the numbers are asked of pictures whose level is their number."""
    told = {}

    def fit(values, steps):
        told.update(values=list(values), steps=list(steps))
        return SimpleTone()

    monkeypatch.setattr(module, "stored_grey", lambda path: float(path.stem))
    monkeypatch.setattr(module, "even_level", lambda grey: grey)
    monkeypatch.setattr(module, "patches_in", lambda grey, count: np.arange(count) + grey)
    monkeypatch.setattr(module, "tone_of_steps", fit)
    monkeypatch.setattr(module, "replace", lambda found, **_: found)

    def of(*numbers, **ways):
        paths = []
        for number in numbers:
            (tmp_path / f"{number}.png").write_bytes(b"x")
            paths.append(tmp_path / f"{number}.png")
        tone_from_pictures(paths, **ways)
        return told["values"], told["steps"]

    return of


class SimpleTone(SimpleNamespace):
    doubts = ()


def test_one_picture_shows_all_patches_from_whichever_end(asked):
    assert asked(5, light=[1, 2, 4])[0] == [5, 6, 7]
    assert asked(5, light=[4, 2, 1])[0] == [7, 6, 5]
    assert asked(5, density=[0, 1, 2])[0] == [7, 6, 5]


def test_a_picture_for_each_step_is_taken_as_it_stands(asked):
    assert asked(7, 3, light=[1, 2])[0] == [7.0, 3.0]
    assert asked(7, seconds=[1.0])[0] == [7.0]
    steps = asked(7, 3, density=[1.0, 0.0])[1]
    assert steps[1] / steps[0] == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("numbers", "ways", "words"),
    [((1,), {}, "0 ways"), ((1,), {"light": [1, 2], "seconds": [1, 2]}, "2 ways"),
     ((1, 2), {"light": [1, 2, 3]}, "2 pictures and 3 steps"),
     ((1,), {"seconds": [1.0, 2.0]}, "1 pictures and 2 steps")],
)  # fmt: skip
def test_steps_and_pictures_must_match(asked, numbers, ways, words):
    with pytest.raises(UnusableInput, match=words):
        asked(*numbers, **ways)
