"""Which places count: each reason alone, at its limit from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.apex.usable_places import is_narrow, shows_band, too_narrow, usable

COUNT = 60


def sides_of(*, wide=False, saturated=False, held=False, block=4, **values):
    usual = {"width_px": 20.0, "blur_px": 2.0, "land": 0.6, "below": 0.1, "above": 0.2,
             "seen": 1.0, "clear": 1.0, "misfit": 0.01, "stderr_px": 0.05}  # fmt: skip
    arrays = {name: np.full(COUNT, value) for name, value in usual.items()}
    for name, value in values.items():
        if isinstance(value, dict):
            for at, one in value.items():
                arrays[name][at] = one
        else:
            arrays[name][:] = value
    sides = SimpleNamespace(wide=wide, saturated=saturated, held=held, block=block, **arrays)
    sides.contrast = sides.land - (sides.below + sides.above) / 2
    return sides


EVERY = np.ones(COUNT, bool)


def test_a_land_is_narrow_under_three_blurs():
    assert is_narrow(sides_of(width_px=5.9), EVERY)
    assert not is_narrow(sides_of(width_px=6.0), EVERY)
    assert is_narrow(sides_of(held=True), EVERY)
    assert not is_narrow(sides_of(width_px=5.9), ~EVERY)
    few = EVERY.copy()
    few[30:] = False
    part = sides_of(width_px=np.where(np.arange(COUNT) < 30, 5.0, 90.0))
    assert is_narrow(part, few)


def test_a_free_fit_does_not_hold_that_cannot_tell_width_from_blur():
    assert too_narrow(sides_of(width_px=5.9))
    assert not too_narrow(sides_of(width_px=6.1))
    assert not too_narrow(sides_of(width_px=5.9, wide=True))
    assert not too_narrow(sides_of(width_px=5.9, saturated=True))
    # Under six blurs half of the places must be usable.
    for width, held in ((11.9, True), (12.1, False)):
        for count, lost in ((28, False), (32, True)):
            clear = np.where(np.arange(COUNT) < count, 0.5, 1.0)
            assert too_narrow(sides_of(width_px=width, clear=clear, block=999)) == (held and lost)


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [("seen", 0.971, 0.97), ("clear", 0.71, 0.7), ("land", 0.3761, 0.3749)],
)
def test_a_place_shows_the_band(name, inside, outside):
    """Half of the usual contrast of 0.45, seen and clear."""
    assert shows_band(sides_of(**{name: {9: inside}}))[9]
    assert not shows_band(sides_of(**{name: {9: outside}}))[9]
    assert shows_band(sides_of(**{name: {9: outside}})).sum() == COUNT - 1


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("seen", 0.971, 0.97),
        ("land", 0.331, 0.329),  # 0.4 of the usual contrast, 0.18
        ("land", 1.274, 1.276),  # 2.5 times
        ("clear", 0.751, 0.75),
        ("misfit", 0.059, 0.0601),  # four times the usual, and 0.02
        ("width_px", 33.9, 34.1),  # 0.6 of it, and 2 px
        ("width_px", 6.1, 5.9),
        ("stderr_px", 2.49, 2.51),  # a tenth of the width, and 0.5 px
        ("below", 0.49, 0.51),  # a step of a fifth of the usual one, on that side
        ("above", 0.51, 0.53),
    ],
)
def test_a_place_counts_that_is_whole_and_fits(name, inside, outside):
    sides = sides_of(block=999, **{name: {30: inside}})
    if name in ("below", "above"):  # the contrast itself stays
        other = "above" if name == "below" else "below"
        getattr(sides, other)[30] = 0.3 - getattr(sides, name)[30]
    assert usable(sides)[30]
    sides = sides_of(block=999, **{name: {30: outside}})
    if name in ("below", "above"):
        getattr(sides, other)[30] = 0.3 - getattr(sides, name)[30]
    found = usable(sides)
    assert np.flatnonzero(~found).tolist() == [29, 30, 31]  # and the nearest on either side


def test_what_does_not_count_takes_its_neighbours_within_blurs_with_it():
    """Three blurs (6 px) about a place that shows no band, one and a half about a misfit."""
    gap = usable(sides_of(block=1, land={30: 0.2}))
    assert np.flatnonzero(~gap).tolist() == list(range(24, 37))
    speck = usable(sides_of(block=1, clear={30: 0.5}))
    assert np.flatnonzero(~speck).tolist() == list(range(27, 34))
    coarse = usable(sides_of(block=2, land={30: 0.2}))
    assert np.flatnonzero(~coarse).tolist() == list(range(27, 34))


def test_of_a_narrow_band_light_times_width_is_what_counts():
    """Width and light trade against each other; a step on either side is not asked for."""
    sides = sides_of(width_px=4.0, block=999)
    sides.width_px[30], sides.land[30] = 16.0, 0.15 + 0.45 / 4
    sides.contrast = sides.land - 0.15
    assert usable(sides)[30]
    sides.width_px[30] = 4.0
    assert not usable(sides)[30]


@pytest.mark.parametrize(("count", "asked"), [(11, False), (12, True)])
def test_twelve_places_are_needed_to_judge(count, asked):
    seen = np.where(np.arange(COUNT) < count, 1.0, 0.5)
    sides = sides_of(seen=seen, clear={3: 0.1}, block=999)
    found = usable(sides)
    # The one, its neighbours, and the last beside what is not seen.
    assert found.sum() == (count - 4 if asked else count)
