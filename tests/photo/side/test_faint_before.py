"""What the first outline shows where only the second has damage that counts."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.photo.side.faint_before import faint_before
from edgetest.photo.side.laid_together import lay_together
from tests.photo.side.test_laid_together import chip, outline

LATER = chip(900.0, 80.0, 12.0)


def read(before, after=None, **options):
    after = after or outline(800, [LATER], seed=options.pop("seed", 1))
    return faint_before(before, after, lay_together(before, after), LATER, -1)


def shallow(depth_um, seed=0):
    shown = outline(800, [chip(900.0, 80.0, depth_um)], seed=seed)
    return type(shown)(**{**shown.__dict__, "chips": ()})  # there, but not found


@pytest.mark.parametrize("depth_um", [2.0, 4.0, 8.0])
def test_a_shallow_dent_is_read_with_its_depth(depth_um):
    found = read(shallow(depth_um))
    assert found.seen
    low, high = found.interval(2.5)
    assert low < depth_um < high
    assert found.to_dict()["depth_um"] == pytest.approx(depth_um, abs=1.5)


def test_an_edge_sound_before_shows_none_and_its_scatter_is_the_uncertainty():
    shifted = [read(outline(800 - by, seed=by), seed=by + 50) for by in range(0, 400, 40)]
    assert not any(one.seen for one in shifted)
    scatter = np.std([one.depth_um for one in shifted])
    assert scatter < 2 * np.median([one.u_um for one in shifted])


def test_a_roll_is_no_chip():
    shown = outline(800, [chip(900.0, 80.0, -6.0)])
    assert not read(type(shown)(**{**shown.__dict__, "chips": ()})).seen


def test_it_is_read_at_the_place_laid_on_the_first():
    before = outline(850, [chip(900.0 - 100.0, 80.0, 6.0)])  # 50 px further along the edge
    before = type(before)(**{**before.__dict__, "chips": ()})
    found = read(before)
    assert found.depth_um == pytest.approx(6.0, abs=1.5)


def test_an_edge_mostly_damaged_before_cannot_tell():
    full = [chip(float(at), 120.0, 30.0) for at in range(60, 1950, 130)]
    before = outline(800, [one for one in full if abs(one.position_um - 900) > 150])
    laid = lay_together(outline(800), outline(800, [LATER], seed=1))
    after = outline(800, [LATER], seed=1)
    assert faint_before(before, after, laid, LATER, -1) is None


def test_a_find_that_was_unsure_or_dust_before_is_not_new_damage():
    sound = outline(800)
    for kind in ("unsure", "dust"):
        for at, listed in ((905.0, True), (1200.0, False)):
            before = replace(sound, **{kind: (chip(at, 60.0, 9.0, kind),)})
            found = read(before)
            assert (found.listed, found.seen) == (listed, listed)
    low, high = read(replace(sound, unsure=(chip(905.0, 60.0, 9.0, "unsure"),))).interval(1.96)
    assert (low, high) == pytest.approx((9.0 - 0.54, 9.0 + 0.54))


def test_a_find_of_no_known_depth_still_speaks_against_new():
    vague = replace(chip(905.0, 60.0, 9.0, "unsure"), depth_low_um=0.0, depth_high_um=18.0)
    found = read(replace(outline(800), unsure=(vague,)))
    assert found.seen
    assert found.interval(1.96) == pytest.approx((0.0, 18.0))
