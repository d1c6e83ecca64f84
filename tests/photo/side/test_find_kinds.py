"""What a find is: chips, glints, rolls and dust of known light and form."""

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.departures import Stretch
from edgetest.photo.side.boundary import Places, Strip
from edgetest.photo.side.find_kinds import (
    CHIP,
    DUST,
    FOLD_WORDS,
    GLINT_WORDS,
    ROLL,
    ROLL_WORDS,
    UNSURE,
    Telling,
    light_beyond,
    tell,
)

OFFSETS = np.arange(-30.0, 31.0)
COUNT = 120
LINE = np.zeros(COUNT)
BLUR = 1.0


def told(height, *, fill=None, other=0.0, depth=None, length=40.0, kind="", blur=BLUR, noise=0.0,
         halo=0.0, ground=0.0):  # fmt: skip
    """A find whose outline has such heights from 40 to 80; `fill` is the blade's share inside."""
    edge = np.zeros(COUNT)
    edge[40:80] = height
    cover = ndtr((edge - OFFSETS[:, None]) / 0.3) + ground * (OFFSETS[:, None] > edge)
    if fill is not None:
        low, high = np.minimum(edge, 0), np.maximum(edge, 0)
        inside = (OFFSETS[:, None] > low) & (OFFSETS[:, None] < high)
        cover = np.where(inside, fill, cover)
    none, level = np.zeros((COUNT, 2)), np.ones(COUNT)
    strip = Strip(cover.astype(np.float32), OFFSETS, np.arange(float(COUNT)), none, none, level,
                  0 * level)  # fmt: skip
    outer, inner = edge.copy(), edge.copy()
    crossed = slice(40, 40 + round(40 * other))
    outer[crossed] += 3.0
    inner[crossed] -= 2.0
    sign = 1 if np.mean(height) > 0 else -1
    top = float(np.abs(height).max()) if depth is None else depth
    size = {"length": length, "depth": top, "kind": kind}
    return tell(strip, Places(edge, outer, inner), LINE, Stretch(40, 80, 60, sign), size, blur,
                noise, halo)  # fmt: skip


BOWL = 1 - ((np.arange(40) - 19.5) / 20) ** 2


def test_where_steel_is_missing_the_ground_shines():
    assert told(-10 * BOWL) == Telling(CHIP)
    # A slope of the ground's light is taken out by the ground beside the find.
    assert told(-10 * BOWL, ground=-0.2) == Telling(CHIP)
    assert told(-10 * BOWL, fill=0.05) == Telling(CHIP)


@pytest.mark.parametrize("fill", [0.12, -0.15, 0.4])
def test_light_of_another_strength_may_be_a_glint(fill):
    assert told(-10 * BOWL, fill=fill) == Telling(UNSURE, GLINT_WORDS, low=0.0)
    # A camera's halo as strong explains it, and so does noise.
    assert told(-10 * BOWL, fill=fill, halo=abs(fill)) == Telling(CHIP)
    assert told(-10 * BOWL, fill=fill, noise=5.0 * abs(fill)) == Telling(CHIP)


def test_a_sliver_slimmer_than_two_blurs_and_deeper_than_long_may_be_a_glint():
    assert told(-10 * BOWL, length=1.9).kind == UNSURE
    assert told(-10 * BOWL, length=2.1).kind == CHIP
    assert told(-10 * BOWL, length=1.9, depth=1.8).kind == CHIP


def test_an_overhang_spans_both_crossings():
    fold = told(-10 * BOWL, other=0.5)
    assert (fold.kind, fold.could_be) == (UNSURE, FOLD_WORDS)
    assert fold.low == pytest.approx(10, abs=0.1)  # elsewhere the crossings lie together
    assert fold.high == pytest.approx(12, abs=0.1)
    assert told(-10 * BOWL, other=0.1) == Telling(CHIP)
    roll = told(6 * BOWL, other=0.5, depth=6.0)
    assert (roll.kind, roll.could_be) == (UNSURE, ROLL_WORDS)
    assert roll.high == pytest.approx(9, abs=0.1)
    assert roll.low == pytest.approx(6, abs=0.1)


def test_what_stands_out_gently_and_dark_is_a_roll():
    gentle = np.interp(np.arange(40), [0, 20, 39], [0, 8, 0])
    assert told(gentle) == Telling(ROLL)
    assert told(gentle, fill=0.9) == Telling(ROLL)
    assert told(gentle, fill=0.7) == Telling(DUST)  # it lets light by
    assert told(gentle, kind="speck") == Telling(DUST)
    assert told(gentle, kind=UNSURE).kind == UNSURE
    assert told(gentle, depth=61.0) == Telling(DUST)  # slender as a hair
    assert told(gentle, depth=59.0) == Telling(UNSURE, ROLL_WORDS, low=0.0)


def test_tall_or_steep_ones_are_unsure():
    gentle = np.interp(np.arange(40), [0, 20, 39], [0, 8, 0])
    # Of 40 px: longer than 15 blurs it shows its foot, and may be 0.75 times as high as long.
    assert told(gentle, depth=29.0).kind == ROLL
    assert told(gentle, depth=31.0).kind == UNSURE
    assert told(gentle, depth=17.0, blur=3.0).kind == ROLL
    assert told(gentle, depth=19.0, blur=3.0).kind == UNSURE
    wall = np.where((np.arange(40) > 4) & (np.arange(40) < 35), 13.0, 0.0)
    assert told(wall, depth=13.0).kind == UNSURE  # steep, and 0.33 times as high as long
    assert told(wall, depth=11.0).kind == ROLL


def test_a_halo_is_read_beside_the_sound_edge():
    cover = ndtr(-OFFSETS[:, None] / 0.3) + np.zeros(COUNT)
    cover[(OFFSETS >= 4) & (OFFSETS < 6)] -= 0.2
    none, level = np.zeros((COUNT, 2)), np.ones(COUNT)
    strip = Strip(cover.astype(np.float32), OFFSETS, np.arange(float(COUNT)), none, none, level,
                  0 * level)  # fmt: skip
    sound = np.ones(COUNT, bool)
    assert light_beyond(strip, LINE, sound, 1.0) == pytest.approx(0.2, abs=1e-3)
    assert light_beyond(strip, LINE, sound, 4.0) == pytest.approx(0.0, abs=1e-3)  # further out
    assert light_beyond(strip, LINE, ~sound, 1.0) == 0.0
