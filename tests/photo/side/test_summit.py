"""The depth held against the outline's own summit: each rule by its numbers."""

import numpy as np
import pytest

from edgetest.photo.chip_model import Form
from edgetest.photo.departures import Stretch
from edgetest.photo.side.summit import with_own_summit

LOW, HIGH = 10, 40
AT = np.arange(LOW, HIGH)
SHOWN = 8.0 * np.clip(1 - ((AT - 25) / 12.0) ** 2, 0, None)  # under the blur, of 8.5 in all


def judged(extra=0.0, *, sign=-1, spread=0.1, depth=8.5, depth_u=0.2, stretch=None):
    theta = np.array([25.0, 2.4, 2.4, np.log(8.5), 0.7, 0.0])
    form = Form(LOW, HIGH, sign * SHOWN, theta, np.eye(6), (theta, theta), np.zeros(30))
    e = np.full(60, 99.0 * sign)
    e[LOW:HIGH] = sign * (SHOWN + extra)
    at = stretch or Stretch(5, 50, 25, sign)
    return with_own_summit({"depth": depth, "depth_u": depth_u, "area": 3.0}, form, e, at, spread)


@pytest.mark.parametrize("sign", [-1, 1])
def test_a_form_that_fits_keeps_its_depth_and_a_share_of_the_blur_s_loss_is_doubt(sign):
    found = judged(sign=sign)
    assert found["depth"] == 8.5
    loss = 8.5 - SHOWN.max()
    assert found["depth_u"] == pytest.approx(np.hypot(0.2, 0.35 * loss))
    assert found["area"] == 3.0


def test_half_of_what_is_left_is_doubt_while_the_form_is_believed():
    """Left 0.25 everywhere: under 1.2 times the root of 0.1² and (3 % of 8.25)²."""
    extra = 0.25
    limit = 1.2 * np.hypot(0.1, 0.03 * (SHOWN.max() + extra))
    assert extra < limit
    found = judged(extra)
    loss = 8.5 - SHOWN.max()
    assert found["depth"] == 8.5
    assert found["depth_u"] == pytest.approx(np.sqrt(0.2**2 + (0.35 * loss) ** 2 + 0.125**2))


def test_a_form_that_fits_badly_gives_way_to_the_summit_seen():
    found = judged(1.0)
    seen = SHOWN.max() + 1.0
    # The form lost 8.5 - 8 to the blur; of the summit 5 % and 0.2 px are the most believed.
    assert found["depth"] == pytest.approx(seen + min(8.5 - SHOWN.max(), 0.05 * seen + 0.2))
    assert found["depth_u"] == pytest.approx(np.hypot(0.2, 1.0))
    assert judged(0.45)["depth"] > 8.5  # 1.4 times what misfit and roughness let expect
    rough = judged(1.0, spread=1.0)
    assert rough["depth"] == 8.5  # so rough an edge explains as much


def test_only_what_stretch_and_form_share_is_looked_at():
    narrow = judged(stretch=Stretch(20, 30, 25, -1))
    assert narrow["depth_u"] == pytest.approx(np.hypot(0.2, 0.35 * (8.5 - SHOWN.max())))
    two = judged(1.0, stretch=Stretch(24, 26, 25, -1))
    assert two == {"depth": 8.5, "depth_u": 0.2, "area": 3.0}
