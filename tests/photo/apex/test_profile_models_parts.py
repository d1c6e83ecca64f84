"""Which explanation stands, and what it adds to a width: the rules at their limits."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.special import expit

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.profile_models import (
    ProfileShape,
    _candidates,
    _correction,
    _means,
    _perhaps_cornered,
    _perhaps_moved,
    _plainest,
    _with_mask,
)


def lens(name="plain", chi2=1.0, *, width=20.0, extra=0.0, blur=2.0):
    return Explanation(name, width, blur, extra, chi2)


def test_a_model_explains_up_to_six_times_the_scatter():
    assert ProfileShape(lens(chi2=5.99)).explained
    assert not ProfileShape(lens(chi2=6.0)).explained


def test_bins_hold_means_and_counts():
    index, value = np.array([0, 2, 2, 0, 1]), np.array([1.0, 2, 4, 9, 5])
    mean, count = _means(index, value, np.array([True, True, True, False, False]), 4)
    assert mean.tolist() == [1.0, 0.0, 3.0, 0.0]
    assert count.tolist() == [1, 0, 2, 0]


def test_a_plainer_explanation_is_given_up_for_more_than_a_hair():
    """1.15 times the best misfit, and 0.2."""
    best = lens("rolled", 1.0)
    plain, sloped = lens("plain", 1.34), lens("sloped", 1.2)
    assert _plainest([plain, sloped, best]) is plain
    plain = lens("plain", 1.36)
    assert _plainest([plain, sloped, best]) is sloped
    assert _plainest([plain, lens("sloped", 1.36), best]) is best
    assert _plainest([plain, lens("sloped", 1.36), lens("moved", 1.1), best]) is best


def test_a_movement_is_told_beside_what_is_not_plain():
    moved = lens("moved", 1.7, extra=4.0)
    assert _perhaps_moved([lens("disc"), moved], lens("disc")) is moved
    assert _perhaps_moved([moved], lens("plain")) is None
    assert _perhaps_moved([moved], lens("sloped")) is None
    assert _perhaps_moved([lens("moved", 1.81)], lens("disc")) is None
    assert _perhaps_moved([lens("rolled")], lens("disc")) is None


@pytest.mark.parametrize("gain", [-0.5, 0.0, 1.7, 5.0])
def test_round_corners_are_averaged_with_sharp_ones(gain):
    """Odds of 1.7 against them beforehand: at a gain as large, half of both."""
    values = 40.0
    cornered = lens("cornered", 1.0, width=21.0)
    sharp = lens("diffracted", 1.0 + 2 * gain / values, width=20.0)
    found = _perhaps_cornered(sharp, cornered, values)
    share = expit(gain - 1.7) if gain >= 0 else expit(2 * gain - 1.7)
    if gain < 0:
        share = expit(gain / max(1.0, 1.0 + 2 * gain / values) - 1.7)
    assert found.name == "cornered"
    assert found.width_px == pytest.approx(20 + share)


def test_corners_less_likely_than_a_twentieth_are_not_named():
    for gain, name in ((-1.2, "cornered"), (-1.3, "diffracted")):
        cornered = lens("cornered", 1.0 - 2 * gain / 40.0, width=21.0)
        found = _perhaps_cornered(lens("diffracted", 1.0), cornered, 40.0)
        assert found.name == name


def test_a_plain_land_keeps_its_own_width():
    shift, u = _correction(lens("plain", width=19.0), [lens("plain", width=19.0)], 20.0, 2.0)
    assert shift == 0
    assert u == pytest.approx(0.5)  # an explanation 1 px off, on a wide land a half of it
    shift, _ = _correction(lens("disc", 6.0, width=19.0), [lens("disc", 6.0)], 20.0, 2.0)
    assert shift == 0  # nothing explains it


@pytest.mark.parametrize(
    ("best", "others", "width", "expected"),
    [
        # 0.15 of the shift; 0.04 blurs, on a land of five blurs and less.
        (lens("sloped", width=9.0), [], 10.0, (-1.0, [0.15, 0.08])),
        (lens("sloped", width=39.0), [], 40.0, (-1.0, [0.15, 0.08 / 64])),
        # Of what fits twice as badly and 0.3 the farthest; half of it on six blurs and more.
        (
            lens("sloped", width=9.0),
            [lens("moved", 2.29, width=11.0)],
            10.0,
            (-1.0, [0.15, 0.08, 2]),
        ),
        (lens("sloped", width=9.0), [lens("moved", 2.31, width=11.0)], 10.0, (-1.0, [0.15, 0.08])),
        (
            lens("sloped", width=12.0),
            [lens("moved", 2.0, width=14.0)],
            12.0,
            (0.0, [0.08 * (10 / 12) ** 3, 2]),
        ),
        (
            lens("sloped", width=13.0),
            [lens("moved", 2.0, width=11.0)],
            13.0,
            (0.0, [0.08 * (10 / 13) ** 3, 1]),
        ),
        # 0.3 of what one side is softer by, 0.02 of an aperture's radius.
        (lens("rolled", width=10.0, extra=-1.0), [], 10.0, (0.0, [0.08, 0.3])),
        (lens("disc", width=10.0, extra=5.0), [], 10.0, (0.0, [0.08, 0.1])),
    ],
)
def test_what_an_explanation_leaves_open_adds_in_squares(best, others, width, expected):
    shift, u = _correction(best, [best, *others], width, 2.0)
    told, parts = expected
    assert shift == pytest.approx(told)
    assert u == pytest.approx(np.sqrt(np.sum(np.square(parts))))


@pytest.mark.parametrize(
    ("name", "chi2", "taken"),
    [("sloped", 2.29, True), ("sloped", 2.31, False), ("disc", 1.29, True), ("disc", 1.31, False),
     ("cornered", 2.29, True), ("moved", 1.31, False)],
)  # fmt: skip
def test_a_mask_is_taken_where_it_fits_as_well(name, chi2, taken):
    """Twice as badly where it holds the explanation itself, and 0.3."""
    mask = SimpleNamespace(chi2=chi2, width_px=19.5, u_px=0.3)
    found = _with_mask(mask, lens(name), 20.0, 0.2, 0.4)
    assert found == pytest.approx((-0.5, 0.5) if taken else (0.2, 0.4))


def candidates(*, narrow=False, bins=40, **chi2):
    """Names of what is compared, given misfits of each; and whether a dome may hide."""
    extras = chi2.pop("extras", {})
    asked = []

    def fitted(*names, **start):
        asked.extend(names)
        return [lens(name, chi2.get(name, 3.0), extra=extras.get(name, 0.5)) for name in names]

    found, hidden = _candidates(fitted, bins, narrow)
    return [one.name for one in found], hidden, asked


def test_a_plain_land_that_fits_is_compared_with_nothing():
    assert candidates(plain=0.99) == (["plain"], False, ["plain"])
    names, _, asked = candidates(plain=1.0, sloped=0.99)
    assert names == ["plain", "sloped"]
    assert asked == names


def test_what_does_not_fit_is_compared_with_every_lens():
    names, hidden, asked = candidates(plain=3.0, sloped=1.01, disc=0.49)
    assert names == ["plain", "sloped", "rounded", "moved", "rolled", "diffracted", "disc"]
    assert not hidden
    names, _, asked = candidates(plain=3.0, sloped=1.01, disc=0.51)
    assert names[7:] == ["annular", "hexagon"]
    assert asked[7:] == names[7:]


@pytest.mark.parametrize(
    ("name", "extra", "possible"),
    [("rounded", -0.1, True), ("rounded", -0.11, False), ("rounded", 1.19, True),
     ("rounded", 1.2, False), ("diffracted", 0.0, True), ("diffracted", 7.9, True),
     ("diffracted", 8.0, False), ("moved", 99.0, True)],
)  # fmt: skip
def test_lenses_and_lands_that_are_not_possible_are_left_out(name, extra, possible):
    names, *_ = candidates(disc=0.4, extras={name: extra})
    assert (name in names) == possible


@pytest.mark.parametrize(
    ("deep", "rounded", "hidden"),
    [(0.31, 0.41, True), (0.3, 0.41, False), (0.31, 0.42, False)],
)
def test_a_dome_may_hide_in_a_narrow_land(deep, rounded, hidden):
    """Its light falls by three tenths, and it gains 3.5 in misfit: of 40 values 0.0875 each."""
    names, told, _ = candidates(
        narrow=True, plain=0.5, sloped=0.5, rounded=rounded, disc=0.4, extras={"rounded": deep}
    )
    assert told == hidden
    assert names[0] == "plain"
    assert (len(names) > 1) == hidden
