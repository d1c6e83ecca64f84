"""What the edge angles alone make of a life: the wedge's geometry, by hand."""

from math import radians, tan

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.compare.angle_share import angle_share


def test_lives_go_as_one_over_the_tangent_of_half_the_angle():
    found = angle_share(list("AABB"), [38.0, 42.0, 30.0, np.nan], "A", "B", ratio=1.8)
    factor = tan(radians(20)) / tan(radians(15))
    assert found.factor.value == pytest.approx(factor)
    assert (found.first_deg, found.second_deg) == pytest.approx((40.0, 30.0))
    assert found.left_over == pytest.approx(1.8 / factor)
    assert found.factor.low == found.factor.high == pytest.approx(factor)
    assert found.matters
    assert "1.33 is left over" in found.summary()


def test_the_share_is_told_of_the_longer_life_as_the_ratio_is():
    """B lasts 0.7 times as long as A, which the answer tells as A's 1.4 times B's."""
    given = {"angle_u_deg": 0.5, "ratio": 0.7, "ratio_ends": (0.4, 1.2)}
    found = angle_share(list("AABB"), [38.0, 38.0, 40.0, 40.0], "A", "B", **given)
    turned = angle_share(list("AABB"), [38.0, 38.0, 40.0, 40.0], "B", "A", **given | {
        "ratio": 1 / 0.7, "ratio_ends": (1 / 1.2, 1 / 0.4),
    })  # fmt: skip
    assert found.summary() == turned.summary()
    assert "makes the life of A 1.057 (" in found.summary()
    assert "; 1.35 (" in found.summary()


def test_the_doubt_of_the_angles_is_carried_by_the_slope_of_the_tangent():
    """Against differences: each blade's half angle moved by half of its doubt."""
    angles, u = np.array([40.0, 40.0, 30.0]), np.array([1.0, 2.0, 0.5])

    def log_tan(angle):
        return np.log(np.tan(np.radians(angle) / 2))

    moved = (log_tan(angles + u * 1e-4) - log_tan(angles - u * 1e-4)) / 2e-4
    sd = np.sqrt((moved[0] ** 2 + moved[1] ** 2) / 4 + moved[2] ** 2)
    found = angle_share(list("AAB"), angles, "A", "B", angle_u_deg=u, level=0.9)
    assert np.log(found.factor.high / found.factor.value) == pytest.approx(1.644854 * sd, rel=1e-5)
    assert np.log(found.factor.value / found.factor.low) == pytest.approx(1.644854 * sd, rel=1e-5)
    assert found.left_over is None


def test_angles_within_a_degree_are_alike():
    assert not angle_share(["A", "B"], [30.0, 31.0], "A", "B").matters
    assert angle_share(["A", "B"], [30.0, 31.0], "A", "B").summary() == ""
    assert angle_share(["A", "B"], [31.1, 30.0], "A", "B").matters


@pytest.mark.parametrize(
    ("angles", "words"),
    [([30.0, 0.0], "0° is no included angle"), ([180.0, 30.0], "180° is no included angle"),
     ([30.0, np.nan], "no edge angle of B")],
)  # fmt: skip
def test_what_is_no_angle_is_named(angles, words):
    with pytest.raises(UnusableInput, match=words):
        angle_share(["A", "B"], angles, "A", "B")
