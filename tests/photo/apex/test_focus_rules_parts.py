"""Movement or aperture: the rules at their limits, from both sides."""

from types import SimpleNamespace

import pytest

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.focus_rules import (
    likelier,
    moved_or_unfocused,
    narrower_land,
    near,
    out_of_focus,
    too_blurred,
)

VALUES = 40.0


def lens(name, chi2, *, width=20.0, extra=6.0, blur=1.5):
    return Explanation(name, width, blur, extra, chi2)


def test_a_profile_is_likelier_by_half_its_misfit_in_its_own_scatter():
    """40 values: misfits of 1 and 1.5 are 10 apart; of 2 and 3, in a scatter of 2, as well."""
    assert likelier(lens("disc", 1.0), lens("moved", 1.5), VALUES) == pytest.approx(10)
    assert likelier(lens("disc", 3.0), lens("moved", 2.0), VALUES) == pytest.approx(-10)
    assert likelier(lens("disc", 0.2), lens("moved", 0.5), VALUES) == pytest.approx(6)


def test_an_explanation_is_near_by_a_half_and_a_little():
    best = lens("plain", 1.0)
    assert near(lens("disc", 1.79), best)
    assert not near(lens("disc", 1.81), best)
    assert not near(lens("disc", 0.31), lens("plain", 0.0))
    assert near(lens("disc", 0.29), lens("plain", 0.0))


def kept(moved=1.0, disc=1.0, *, finer=0.0, plain=5.0, behind=(), **extras):
    """Names of what is left of a plain, a moved and a disc explanation, and the moved one."""
    found = [
        lens("plain", plain, extra=0.0),
        lens("moved", moved, extra=extras.get("moved_px", 6.0)),
        lens("disc", disc, extra=extras.get("disc_px", 6.0)),
    ]
    left = moved_or_unfocused(found, behind, VALUES, lambda first, second: finer)
    names = {one.name for one in left}
    return names, next((one for one in left if one.name == "moved"), None)


@pytest.mark.parametrize(
    ("finer", "names"),
    [(12.1, {"plain", "moved"}), (11.9, {"plain", "moved", "disc"}),
     (-2.4, {"plain", "moved", "disc"}), (-2.6, {"plain", "disc"})],
)  # fmt: skip
def test_detail_tells_movement_from_aperture(finer, names):
    assert kept(finer=finer)[0] == names


def test_detail_and_profile_add_up():
    """The profile speaks for the disc by 10 (misfits 1.5 and 1), the detail for the movement."""
    assert kept(moved=1.5, finer=22.1)[0] == {"plain", "moved"}
    assert kept(moved=1.5, finer=21.9)[0] == {"plain", "moved", "disc"}
    assert kept(moved=1.5, finer=7.4)[0] == {"plain", "disc"}


def test_where_nothing_tells_the_lens_is_the_likelier_one():
    """A movement that fits better is put just behind the aperture; one that fits worse stays."""
    _, moved = kept(moved=1.0, disc=1.05, finer=4.0)
    assert moved.chi2 == pytest.approx(1.06)
    _, moved = kept(moved=1.2, disc=1.05, finer=4.0)
    assert moved.chi2 == pytest.approx(1.2)


@pytest.mark.parametrize(
    ("changes", "asked"),
    [({"moved_px": 1.5}, False), ({"moved_px": 1.6}, True), ({"disc_px": 1.5}, False),
     ({"disc_px": 1.6}, True), ({"plain": 0.3}, False), ({"plain": 0.47}, True)],
)  # fmt: skip
def test_only_lenses_that_are_felt_and_near_are_weighed(changes, asked):
    """From 1.5 px on; misfits of 1 are near to 0.47 and not to 0.3 (0.75)."""
    assert kept(finer=50.0, **changes)[0] == (
        {"plain", "moved"} if asked else {"plain", "moved", "disc"}
    )


def test_a_land_behind_an_aperture_is_one_too():
    behind = (lens("annular", 1.0, width=5.0, extra=9.0),)
    names, moved = kept(disc=9.0, behind=behind, finer=0.0, disc_px=0.5)
    assert names == {"plain", "moved", "disc"}
    assert moved.chi2 == pytest.approx(1.01)


@pytest.mark.parametrize(
    ("disc", "detail", "boxed"), [(1.11, 2.4, True), (1.09, 2.4, False), (1.11, 2.6, False)]
)
def test_a_smear_as_of_a_box_tells_where_there_is_no_texture(disc, detail, boxed):
    """The profile gains 2 over a disc (misfits 1 and 1.1), and detail is within 2.5."""

    def finer(first, second):
        assert first.name == "moved" or (first.name, second.extra) == ("plain", 10.0)
        return detail if first.name == "plain" else 0.0

    found = [lens("plain", 5.0, extra=0.0), lens("moved", 1.0), lens("disc", disc)]
    left = moved_or_unfocused(found, (), VALUES, finer)
    assert ("disc" not in {one.name for one in left}) == boxed


@pytest.mark.parametrize(
    ("chi2", "finer", "soft", "found", "sure"),
    [
        (1.0, 4.9, True, True, False),
        (1.0, 5.1, True, False, None),
        (2.0, 0.9, True, True, False),  # 20 of the profile count a fifth
        (2.0, 1.1, True, False, None),
        (1.0, -4.9, False, False, None),
        (1.0, -5.1, False, True, False),
        (1.1, -10.9, False, False, None),  # 2 for the wide land count threefold
        (1.1, -11.1, False, True, False),
        (1.0, -19.9, True, True, False),
        (1.0, -20.1, True, True, True),
        (4.0, -90.0, True, True, True),  # 60 of the profile
        (4.01, -90.0, True, False, None),
    ],
)
def test_a_narrower_land_is_as_likely_as_the_evidence_says(chi2, finer, soft, found, sure):
    behind = [lens("disc", chi2, width=5.0, extra=3.0)]
    best = lens("plain", 1.0, width=9.0)
    told = narrower_land(best, behind, VALUES, lambda *_: finer, soft=soft)
    assert (told is not None) == found
    if found:
        assert told.sure == sure
        assert told.lens is behind[0]


def test_a_wide_land_less_likely_is_told_at_its_own_weight():
    """In focus what speaks against it counts once: -10, and -3 of detail."""
    best = lens("plain", 1.5)
    behind = [lens("disc", 1.0, width=5.0, extra=9.0)]
    assert not narrower_land(best, behind, VALUES, lambda *_: -9.9, soft=False).sure
    assert narrower_land(best, behind, VALUES, lambda *_: -10.1, soft=False).sure
    assert narrower_land(best, behind, VALUES, lambda *_: 5.1, soft=False) is None


@pytest.mark.parametrize(("extra", "hides"), [(3.0, True), (2.99, False)])
def test_an_aperture_hides_a_land_from_six_tenths_of_its_width_on(extra, hides):
    behind = [lens("disc", 1.0, width=5.0, extra=extra)]
    told = narrower_land(lens("plain", 1.0), behind, VALUES, lambda *_: -30.0, soft=True)
    assert (told is not None) == hides


def shape_of(best, *, moved=None, behind=None, explained=False):
    return SimpleNamespace(best=best, moved=moved, behind=behind, explained=explained)


def code(profile, blur=1.0, shape=0.0):
    found = too_blurred(profile, blur, shape)
    return None if found is None else (found.code, found.where.value)


def test_a_blur_that_leaves_the_width_open_is_refused():
    plain, sloped = lens("plain", 1.0, extra=0.0), lens("sloped", 1.0, extra=0.0)
    assert code(None, 99.0) is None
    assert code(shape_of(plain)) is None
    # Soft, and no lens tells: 4 px, and what is not a plain land within 0.015.
    assert code(shape_of(sloped), 4.0) is None
    assert code(shape_of(sloped), 4.1) == ("out_of_focus", 4.1)
    assert code(shape_of(plain), 4.1, 0.0149) is None
    assert code(shape_of(plain), 4.1, 0.015) == ("out_of_focus", 4.1)
    assert code(shape_of(sloped, explained=True), 4.1) is None
    # A movement of more than a quarter, an aperture of more than 0.6 of the width.
    assert code(shape_of(lens("moved", 1.0, extra=5.0))) is None
    assert code(shape_of(lens("moved", 1.0, extra=5.1))) == ("motion_blur", 5.1)
    assert code(shape_of(plain, moved=lens("moved", 1.0, extra=5.1))) == ("motion_blur", 5.1)
    assert code(shape_of(plain, moved=lens("moved", 1.0, extra=5.1), explained=True)) is None
    assert code(shape_of(lens("disc", 1.0, extra=12.0))) is None
    assert code(shape_of(lens("disc", 1.0, extra=12.2))) == ("out_of_focus", 6.1)
    assert code(shape_of(lens("hexagon", 1.0, extra=12.2))) == ("out_of_focus", 6.1)
    narrow = SimpleNamespace(lens=lens("disc", 1.0, extra=8.4), sure=True)
    assert code(shape_of(plain, behind=narrow)) == ("out_of_focus", 4.2)
    narrow.sure = False
    assert code(shape_of(lens("disc", 1.0, extra=12.2), behind=narrow)) is None
    assert code(shape_of(lens("moved", 1.0, extra=5.1), behind=narrow)) == ("motion_blur", 5.1)
    assert out_of_focus(3.25).where.value == 3.25
