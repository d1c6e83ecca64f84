"""One edge photographed twice."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.side.follow import follow
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

UM = 2.0
WIDE = 800
BEFORE = (
    {"position": 0.2, "length_px": 40, "depth_px": 10, "shape": "notch"},
    {"position": 0.5, "length_px": 30, "depth_px": 6, "shape": "bowl"},
)


def shot(seed, damage, *, edge=1, start_px=200, **options):
    """A picture of edge number `edge` from `start_px` on; `damage` at shares of the picture."""
    picture, _ = render_profile(
        shape=(360, WIDE), damage=damage, rng=np.random.default_rng(seed), noise=0.01,
        roughness_px=0.4, rough_length_px=4.0, edge_rng=np.random.default_rng([77, edge]),
        edge_start_px=start_px, **options,
    )  # fmt: skip
    return measure_profile(linear(srgb_decode(picture / np.float32(255))), UM)


def moved(damage, by_px):
    """The same damage on a picture that begins so much further left."""
    return tuple({**one, "position": one["position"] + by_px / WIDE} for one in damage)


@pytest.fixture(scope="module")
def sound():
    return shot(1, ())


@pytest.fixture(scope="module")
def damaged():
    return shot(2, moved(BEFORE, 56), start_px=144)


def test_growth_is_followed_across_a_shift_and_a_tilt():
    after = (
        {"position": 0.27, "length_px": 52, "depth_px": 14, "shape": "notch"},
        {"position": 0.57, "length_px": 30, "depth_px": 6, "shape": "bowl"},
        {"position": 0.85, "length_px": 30, "depth_px": 8, "shape": "round"},
    )
    found = follow(shot(1, BEFORE), shot(2, after, start_px=144, tilt_deg=1.0))
    assert (found.accepted, found.laid.by) == (True, "roughness")
    assert found.shift_um == pytest.approx(56 * UM, abs=3)
    assert [chip.word for chip in found.chips] == ["grown", "same", "new"]
    grown, same, new = found.chips
    assert grown.low_um < 8 < grown.high_um
    assert grown.growth_um == pytest.approx(8, abs=1.5)
    assert same.low_um < 0 < same.high_um
    assert new.growth_um == pytest.approx(16, abs=1.5)
    assert found.summary().endswith("1 new, 1 grown, 1 same")
    assert (found.new_at_least, found.new_at_most) == (1, 1)


def test_an_edge_clean_before_is_laid_on_the_damaged_one_by_its_grinding(sound, damaged):
    found = follow(sound, damaged)
    assert found.accepted
    assert found.shift_um == pytest.approx(56 * UM, abs=3)
    assert [chip.word for chip in found.chips] == ["new", "new"]
    assert found.likeness > 2 * found.laid.runner_up


def test_a_large_chip_alike_on_two_edges_does_not_lay_them_together():
    chip = ({"position": 0.4, "length_px": 90, "depth_px": 30, "shape": "bowl"},)
    for other in range(2, 5):
        found = follow(shot(1, chip), shot(other, chip, edge=other))
        assert not found.accepted
        assert {one.word for one in found.chips} == {"unknown"}
        assert {one.growth_um for one in found.chips} == {None}
        assert (found.new_at_least, found.new_at_most) == (0, 1)
        assert found.to_dict()["shift_um"] is None
        assert [one.code for one in found.doubts] == ["not_laid_together"]
        assert "New or old: unknown. At most 1" in found.summary()


def test_scales_that_differ_by_two_per_cent_are_still_laid_together(sound):
    other = shot(5, moved(BEFORE, 100), start_px=100)
    stretched = type(other)(**{**other.__dict__, "position_um": 1.02 * other.position_um})
    found = follow(sound, stretched)
    assert found.accepted
    assert found.laid.place.stretch == pytest.approx(1.02, abs=0.001)
    middle = found.laid.place.middle_um
    assert found.laid.on_second(middle) == pytest.approx(1.02 * (middle + 100 * UM), abs=4)


def test_what_only_one_picture_shows_is_unknown(sound):
    far = shot(3, moved(BEFORE, 400), start_px=600)  # the first at 0.7, the second beyond
    found = follow(sound, far)
    assert found.accepted
    assert [one.word for one in found.chips] == ["unknown"]
    assert (found.new_at_least, found.new_at_most) == (0, 1)
    assert "damage_on_one_only" in [one.code for one in found.doubts]


def test_a_shift_given_is_the_makers_word_and_checked(sound, damaged):
    given = follow(sound, damaged, shift_um=56 * UM)
    assert given.laid.by == "maker"
    assert [one.code for one in given.doubts] == ["laid_by_word"]
    assert [chip.word for chip in given.chips] == ["new", "new"]
    wrong = follow(sound, damaged, shift_um=0.0)
    assert "shift_contradicted" in [one.code for one in wrong.doubts]
    assert "112 µm" in wrong.doubts[-1].text or "111 µm" in wrong.doubts[-1].text
    for shift in (float("nan"), float("inf")):
        with pytest.raises(UnusableInput, match="is no shift"):
            follow(sound, damaged, shift_um=shift)
    with pytest.raises(UnusableInput, match="leaves no edge on both pictures"):
        follow(sound, damaged, shift_um=5000.0)


def test_a_refused_photograph_cannot_be_followed(sound):
    refused = measure_profile(linear(np.zeros((100, 100))), 1.0)
    with pytest.raises(UnusableInput, match="before: this photograph was not measured"):
        follow(refused, sound)


def test_a_chip_too_shallow_to_count_before_is_not_called_new():
    words, doubts = [], []
    for depth in (1.2, 0.0):
        faint = {"position": 0.5, "length_px": 60, "depth_px": depth, "shape": "bowl"}
        first = shot(1, (faint,) if depth else ())
        assert first.chips == ()
        found = follow(first, shot(2, ({**faint, "depth_px": 4.5},)))
        (chip,) = found.chips
        words.append(chip.word)
        doubts.append([one.code for one in found.doubts])
        low, high = chip.faint.interval(2.5)
        assert low <= depth * UM <= high
    assert words == ["unknown", "new"]
    assert doubts == [["dented_before"], []]


def test_the_overlap_is_the_edge_that_both_show(sound, damaged):
    """Frames of 800 px of which the second begins 56 px further left: 744 px are on both."""
    found = follow(sound, damaged)
    assert found.overlap_um == pytest.approx((WIDE - 56) * UM, rel=0.02)
    assert found.to_dict()["overlap_um"] == pytest.approx(found.overlap_um)
    back = follow(damaged, sound)
    assert back.overlap_um == pytest.approx(found.overlap_um, abs=4)
