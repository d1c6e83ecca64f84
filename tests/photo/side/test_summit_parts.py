"""The outline's own summit: believed where the form leaves too much."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.side.summit import with_own_summit

LOW, HIGH = 40, 80


def sized(left, *, loss=0.0, spread=0.05, top=10.0, sign=-1, depth_u=0.1):
    """A form of 10 px, `loss` taken off by the blur; the outline leaves `left` either way."""
    shown = np.full(HIGH - LOW, 4.0)
    shown[20] = top
    seen = shown + left * np.where(np.arange(HIGH - LOW) % 2, 1.0, -1.0)
    e = np.zeros(120)
    e[LOW:HIGH] = sign * seen
    form = SimpleNamespace(low=LOW, high=HIGH, heights=sign * shown,
                           theta=np.array([60.0, 2, 2, np.log(top + loss), 0, 0]))  # fmt: skip
    stretch = SimpleNamespace(low=LOW, high=HIGH, sign=sign)
    size = {"depth": 11.0, "depth_u": depth_u, "length": 40.0}
    return with_own_summit(size, form, e, stretch, spread)


@pytest.mark.parametrize("sign", [-1, 1])
def test_a_form_is_believed_up_to_what_roughness_and_misfit_leave(sign):
    """1.2 times a spread of 0.05 and 0.03 of some 10 px: 0.36 px."""
    kept = sized(0.35, sign=sign)
    assert kept["depth"] == 11.0
    assert kept["depth_u"] == pytest.approx(np.hypot(0.1, 0.175))
    assert kept["length"] == 40.0
    own = sized(0.37, sign=sign)
    assert own["depth"] == pytest.approx(9.63)  # its summit's sample lies 0.37 px short
    assert own["depth_u"] == pytest.approx(np.hypot(0.1, 0.37))
    rough = sized(0.37, spread=0.12, sign=sign)
    assert rough["depth"] == 11.0


def test_what_the_blur_took_off_is_uncertain_by_a_third_of_it():
    kept = sized(0.0, loss=2.0)
    assert kept["depth_u"] == pytest.approx(np.hypot(0.1, 0.7))
    assert sized(0.0, loss=-1.0)["depth_u"] == pytest.approx(0.1)


def test_a_form_that_is_not_believed_gives_back_a_little_of_the_blur():
    """What the form lost, a twentieth of the summit and 0.2 px at most."""
    assert sized(2.0, loss=0.3)["depth"] == pytest.approx(8 + 0.3)
    assert sized(2.0, loss=5.0)["depth"] == pytest.approx(8 + 0.4 + 0.2)


@pytest.mark.parametrize(("count", "asked"), [(2, False), (3, True)])
def test_two_samples_tell_nothing(count, asked):
    heights = np.full(9, -3.0)
    form = SimpleNamespace(low=40, high=49, heights=heights, theta=np.log(np.full(6, 3.0)))
    stretch = SimpleNamespace(low=38, high=40 + count, sign=-1)
    size = {"depth": 3.0, "depth_u": 0.1}
    e = np.zeros(100)
    found = with_own_summit(size, form, e, stretch, 0.05)
    assert (found != size) == asked
