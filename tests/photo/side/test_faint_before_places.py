"""How far from its laid place a faint dent is looked for."""

import numpy as np
import pytest

from edgetest.photo.side.faint_before import faint_before
from tests.photo.side.test_faint_before import LATER
from tests.photo.side.test_laid_together import chip, outline


class Laid:
    """A place that is known to 30 µm; the second outline as it lies on the first."""

    shift_u_um = 30.0

    @staticmethod
    def on_first(position_um):
        return np.asarray(position_um, dtype=float)

    on_second = on_first


@pytest.mark.parametrize("off_um", [-54.0, 0.0, 54.0])
def test_a_dent_is_looked_for_within_two_standard_uncertainties_of_its_place(off_um):
    after = outline(800, [LATER], seed=1)
    shown = outline(800, [chip(900.0 + off_um, 80.0, 8.0)])
    before = type(shown)(**{**shown.__dict__, "chips": ()})
    found = faint_before(before, after, Laid, LATER, -1)
    assert found.depth_um == pytest.approx(8.0, abs=0.8)


def test_a_dent_beyond_them_is_another():
    after = outline(800, [LATER], seed=1)
    shown = outline(800, [chip(900.0 + 110.0, 80.0, 8.0)])
    before = type(shown)(**{**shown.__dict__, "chips": ()})
    assert faint_before(before, after, Laid, LATER, -1).depth_um < 4.0
