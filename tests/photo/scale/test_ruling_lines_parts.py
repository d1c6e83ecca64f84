"""Parts of how a ruling's lines are read: counted by hand, at their limits from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.scale import ruling_lines
from edgetest.photo.scale.finer_lines import SLIM
from edgetest.photo.scale.ruling_lines import (
    LineSet,
    _are_stubs,
    _basis,
    _ends_in_grey,
    _evenness,
    _expected,
    _filled,
    _finest,
    _merit,
    _not_at_the_ends,
    _several_strips,
    _skewness,
    _without_sampling,
    find_lines,
    is_even,
)


def lines_of(**known):
    usual = dict.fromkeys(LineSet.__dataclass_fields__, 0.0)
    usual |= {"stubs": False, "filled": 1.0, "misfit": 0.01, "pitch_px": 20.0, "line_px": 5.0,
              "fitted_blur_px": 1.0, "bright": True, "hidden": False}  # fmt: skip
    return LineSet(**(usual | known))


def test_lines_are_even_that_fill_half_of_their_places():
    assert not is_even(None)
    assert is_even(lines_of(filled=0.5, misfit=0.0299))
    assert not is_even(lines_of(filled=0.499))
    assert not is_even(lines_of(misfit=0.03))
    assert not is_even(lines_of(stubs=True))


def test_a_lattice_s_merit_grows_with_the_root_of_its_points():
    assert _merit(None) == 0.0
    assert _merit(SimpleNamespace(score=0.8, points=25)) == pytest.approx(4.0)


def test_narrow_dark_lines_are_skewed_below_nothing():
    """A share p of dark: third moment (2p - 1) / sqrt(p (1 - p)), whatever the light."""
    flat = np.where(np.arange(100) % 10 < 2, 0.2, 0.7)
    flat[:20:10] = np.nan
    flat[1:20:10] = np.nan
    share = 16 / 96
    expected = (2 * share - 1) / np.sqrt(share * (1 - share))
    assert _skewness(flat) == pytest.approx(expected)
    assert _skewness(5 - 3 * flat) == pytest.approx(-expected)


def test_lines_are_expected_where_a_strip_is_seen():
    flat = np.ones((2, 50))
    flat[1, 30] = np.nan
    along = np.array([-10.0, 10.0])
    band, index, place = _expected(
        flat, along, lambda k, v: 10.0 * k + 0.02 * v + 0.2, np.arange(-1, 7)
    )
    assert band.tolist() == [0] * 5 + [1] * 4
    assert index.tolist() == [0, 1, 2, 3, 4, 0, 1, 2, 4]
    assert_allclose(place, [0, 10, 20, 30, 40, 0.4, 10.4, 20.4, 40.4], atol=1e-12)
    _, index, _ = _expected(flat, along[:1], lambda k, v: 49.0 * k + 0 * v, np.arange(-1, 3))
    assert index.tolist() == [0, 1]  # the first and the last column are seen


def test_a_lens_is_told_by_eight_terms():
    index, along = np.array([3.0]), np.array([-40.0])
    assert_allclose(_basis(index, along, 6.0, 80.0, 3), [[1, 0.5, -0.5]])
    assert_allclose(
        _basis(index, along, 6.0, 80.0, 8), [[1, 0.5, -0.5, 0.25, 0.125, 0.25, -0.25, 0.125]]
    )


@pytest.mark.parametrize(
    ("strips", "step", "width", "stubs"),
    [(3, 10.0, 7.6, True), (3, 10.0, 7.4, False), (4, 10.0, 90.0, False), (1, 10.0, 2.6, True)],
)
def test_stubs_reach_over_few_strips_and_are_as_wide_as_long(strips, step, width, stubs):
    """Three strips of 10 px: 30 px, under four widths of 7.6 px and over four of 7.4."""
    index = np.repeat([-2, 0, 1, 5], strips)
    along = np.tile(step * np.arange(strips), 4)
    along[0] = -step if strips == 1 else along[0]
    assert _are_stubs(index, along, width) == stubs


@pytest.mark.parametrize(
    ("lines", "share", "sections"),
    [
        (np.arange(-4, 6), 1.0, False),
        (np.array([0, 1, 3, 4, 9]), 0.5, False),
        (np.array([0, 10, 20, 30, 31, 32, 33, 34, 35, 36, 37, 38, 39, 40]), 1.0, True),
        (np.array([0, 5, 10, 15, 16, 17, 18, 19, 20]), 1.0, True),
        # Of the last ten places five of nine are held, of the last five ...
        (np.array([0, 10, 20, 30, 31, 33, 35, 37, 39, 40]), 5 / 9, True),
        (np.array([0, 10, 20, 30, 31, 33, 35, 37, 40]), 9 / 41, False),
        (np.array([3, 13, 23, 24, 25]), 5 / 23, False),  # two of nine
    ],
)
def test_a_ruling_may_hold_every_tenth_or_fifth_line_in_a_part(lines, share, sections):
    assert _filled(lines) == (pytest.approx(share), sections)


def test_evenness_is_the_faintest_tenth_over_the_strongest():
    """Each line at its best: of inks 1 to 11 the tenths lie at 2 and 10."""
    index = np.repeat(np.arange(-5, 6), 2)
    ink = np.repeat(np.arange(1.0, 12.0), 2)
    ink[::2] /= 3
    order = np.random.default_rng(1).permutation(22)
    assert _evenness(index[order], ink[order]) == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("blur", "sd", "angle", "expected"),
    [(1.0, 0.05, 0.0, 1.0), (1.0, 0.05, 90.0, 1.0), (1.0, 0.05, -90.02, 1.0),
     (1.0, 0.05, 0.1, np.sqrt(5 / 6)), (1.0, 0.05, 89.9, np.sqrt(5 / 6)),
     (1.0, 0.1, 0.0, 1.0), (1.0, 0.11, 0.0, None), (0.57, 0.01, 30.0, None),
     (0.58, 0.01, 30.0, np.sqrt(0.58**2 - 1 / 6)), (0.3, 0.01, 0.0, 0.3)],
)  # fmt: skip
def test_what_interpolation_blurred_is_taken_out(blur, sd, angle, expected):
    """A sixth of a square pixel, but along the pixels; a blur known worse than a tenth is none."""
    found = _without_sampling(blur, sd, angle)
    assert found == (None if expected is None else pytest.approx(expected))


@pytest.mark.parametrize(("count", "left_out"), [(12, True), (11, False)])
def test_the_outermost_of_close_lines_are_left_out(count, left_out):
    index = np.repeat(np.arange(-5, count - 5), 2)
    good = np.ones(index.size, bool)
    good[-2:], index[-2:] = False, 90
    index = np.r_[index, count - 6]
    good = np.r_[good, True]
    held = _not_at_the_ends(index, good)
    outer = (index == -5) | (index >= count - 6)
    assert held[~outer].all()
    assert held[outer].any() != left_out


def test_a_line_holds_in_two_strips():
    index = np.array([-3, -3, 0, 0, 2, 2, 4])
    good = np.array([True, True, True, False, True, True, True])
    assert _several_strips(index, good).tolist() == [True, True, False, False, True, True, False]


@pytest.mark.parametrize("bright", [False, True])
def test_grey_is_sought_amid_neighbouring_lines(monkeypatch, bright):
    """Lines at 7 + 20 k + 0.1 v from the middle; the third is missing, so are both its gaps."""
    held = np.array(
        [(k, v) for v in (-50.0, 0.0, 50.0) for k in (0, 1, 3, 4) if (k, v) != (4, 0.0)]
    )
    across = 7 + 20 * held[:, 0] + 0.1 * held[:, 1]
    lines = lines_of(index=held[:, 0].astype(int), along=held[:, 1], across=across, bright=bright)
    seen = []

    def grey_beyond(profiles, along, counts, place, ink, sign):
        seen.append((counts.tolist(), place.tolist(), ink, sign))
        return "told"

    monkeypatch.setattr(ruling_lines, "grey_beyond", grey_beyond)
    along = np.array([-50.0, 0.0, 50.0, 100.0])
    columns = np.arange(-30.0, 200.0)
    assert _ends_in_grey(None, columns, along, lines, 0.4) == "told"
    # Amid 0 and 1, 3 and 4: 17 and 77 px, 5 px less and more in the outer strips.
    places = [[17 + 30 + lean, 77 + 30 + lean] for lean in (-5, 0, 5, 10)]
    assert seen == [([4, 3, 4, 0], places, 0.4, 1 if bright else -1)]


def test_wide_lines_hide_no_closer_ones(monkeypatch):
    monkeypatch.setattr(ruling_lines, "grey_beyond", lambda *_: True)
    held = {"index": np.array([0, 1, 0, 1]), "along": np.array([0.0, 0, 9, 9]),
            "across": np.array([0.0, 20, 0, 20])}  # fmt: skip
    edge = SLIM * 20 - 2.35
    given = None, np.arange(-5.0, 30), np.array([0.0, 9.0])
    assert _ends_in_grey(*given, lines_of(line_px=edge - 0.01, **held), 0.4)
    assert not _ends_in_grey(*given, lines_of(line_px=edge + 0.01, **held), 0.4)


def choice(monkeypatch, *, line_px, other, even=True, other_px=5.0):
    """What `find_lines` makes of dark lines beside bright ones."""
    lattice = SimpleNamespace(score=0.9, pitch=20.0)
    lattices = {-1: lattice, 1: lattice if other else None}
    found = {-1: lines_of(line_px=line_px, bright=False),
             1: lines_of(line_px=other_px, misfit=0.01 if even else 0.5)}  # fmt: skip
    inks = {-1: 0.3, 1: 0.4}
    monkeypatch.setattr(ruling_lines, "_lattices", lambda grey, at: ((), lattices, inks, -1, at))

    def finest(strip_set, lattice, ink, sign, angle):
        assert (ink, angle) == (inks[sign], 4.0)
        return found[sign]

    monkeypatch.setattr(ruling_lines, "_finest", finest)
    return find_lines(None, 4.0).bright


def test_gaps_are_taken_for_no_lines(monkeypatch):
    """Wider than half their spacing, where what is between is narrower and as even."""
    assert not choice(monkeypatch, line_px=10.0, other=True)
    assert choice(monkeypatch, line_px=10.1, other=True)
    assert not choice(monkeypatch, line_px=10.1, other=False)
    assert not choice(monkeypatch, line_px=10.1, other=True, even=False)
    assert not choice(monkeypatch, line_px=10.1, other=True, other_px=10.0)


@pytest.mark.parametrize(("score", "seen"), [(0.49, False), (0.5, True)])
def test_a_lattice_that_fits_half_as_well_is_one(monkeypatch, score, seen):
    lattices = {-1: SimpleNamespace(score=score), 1: None}
    found = (), lattices, {-1: 0.3, 1: 0.4}, -1, 0.0
    monkeypatch.setattr(ruling_lines, "_lattices", lambda grey, at: found)
    monkeypatch.setattr(ruling_lines, "_finest", lambda *_: lines_of())
    assert (find_lines(None, 0.0) is not None) == seen
    nothing = (None, {}, {}, 0, 0.0)
    monkeypatch.setattr(ruling_lines, "_lattices", lambda grey, at: nothing)
    assert find_lines(None, 0.0) is None


@pytest.mark.parametrize(
    ("parts", "pitches"), [((1,), [30.0]), ((5, 1), [6.0]), ((5, 2), [3.0]), ((2, 5), [3.0])]
)
@pytest.mark.parametrize("even", [False, True])
def test_lines_are_divided_twice_at_most(monkeypatch, parts, pitches, even):
    """By long marks and by medium ones; where the finer are uneven the coarse ones hide them."""
    asked, fitted, left = [], [], list(parts)
    lattice = SimpleNamespace(pitch=30.0)

    def finer(flat, noise, pitch, ink):
        asked.append(pitch)
        return left.pop(0)

    def fit(flat, noise, across, along, one, sign, angle):
        fitted.append(one.pitch)
        return lines_of(pitch_px=one.pitch, misfit=0.01 if even else 0.5)

    monkeypatch.setattr(ruling_lines, "finer_parts", finer)
    monkeypatch.setattr(
        ruling_lines, "divided", lambda one, n: SimpleNamespace(pitch=one.pitch / n)
    )
    monkeypatch.setattr(ruling_lines, "_fit_all", fit)
    monkeypatch.setattr(ruling_lines, "_ends_in_grey", lambda *_: "grey")
    found = _finest((None,) * 5, lattice, 0.4, -1, 0.0)
    again = pitches[0] < 30 and not even
    assert fitted == ([*pitches, 30.0] if again else pitches)
    assert found.hidden == (True if again else "grey")
    assert found.pitch_px == fitted[-1]
    assert not left


def chosen(monkeypatch, *, skew=-1.0, dark=1.0, bright=1.0, slope=0.0):
    """Sign, angle and angles looked at of lattices with such merits, in strips 10 px apart."""
    asked = []

    def cut(grey, angle_deg):
        asked.append(angle_deg)
        return None, None, 10.0 * np.arange(5), None

    def lattice(band, place, along):
        merit = {-1: dark, 1: bright}[band]
        return None if merit is None else SimpleNamespace(slope=slope, merit=merit)

    monkeypatch.setattr(ruling_lines, "strips", cut)
    monkeypatch.setattr(ruling_lines, "flatten", lambda profiles, noise: (None, None))
    monkeypatch.setattr(ruling_lines, "extremes", lambda flat, noise, sign: (sign, None, 7 * sign))
    monkeypatch.setattr(ruling_lines, "find_lattice", lattice)
    monkeypatch.setattr(ruling_lines, "_merit", lambda one: 0.0 if one is None else one.merit)
    monkeypatch.setattr(ruling_lines, "_skewness", lambda flat: skew)
    _, _, inks, sign, angle_deg = ruling_lines._lattices(None, 30.0)
    assert inks == ({-1: -7, 1: 7} if inks else {})
    return sign, angle_deg, asked


@pytest.mark.parametrize(
    ("skew", "dark", "bright", "sign"),
    [
        (-1.0, 1.0, 1.0, -1),
        (1.0, 1.0, 1.0, 1),
        (0.0, 1.0, 1.0, 1),
        (-1.0, 0.71, 1.0, -1),
        (-1.0, 0.69, 1.0, 1),
        (1.0, 1.0, 0.71, 1),
        (1.0, 1.0, 0.69, -1),
        (-1.0, None, None, 0),
    ],
)
def test_lines_are_the_narrower_unless_they_fit_far_worse(monkeypatch, skew, dark, bright, sign):
    assert chosen(monkeypatch, skew=skew, dark=dark, bright=bright)[0] == sign


def test_strips_are_turned_until_lines_lean_by_less_than_a_quarter_of_a_pixel(monkeypatch):
    """From strip to strip; twice at most, and lines that lean much are none."""
    assert chosen(monkeypatch, slope=0.0249) == (-1, 30.0, [30.0])
    lean = np.rad2deg(np.arctan(0.0251))
    sign, angle_deg, asked = chosen(monkeypatch, slope=0.0251)
    assert sign == -1
    assert_allclose(asked, [30, 30 - lean, 30 - 2 * lean])
    assert angle_deg == asked[-1]
    most = ruling_lines.MOST_LEAN_DEG
    for off, sign in ((-0.01, -1), (0.01, 0)):
        slope = -np.tan(np.deg2rad(most + off))
        assert chosen(monkeypatch, slope=slope)[0] == sign
