"""The fit of band, lens and mask: the curve on which a camera stores light."""

import numpy as np
import pytest

from edgetest.photo.apex.mask_model import curve_of


@pytest.mark.parametrize("tone", ["srgb", "linear", "gamma 2.2", "own curve"])
def test_a_curve_and_its_inverse_return_the_light(tone):
    light = np.linspace(0.01, 0.99, 50)
    curve = curve_of(tone)
    assert curve.decode(curve.encode(light)) == pytest.approx(light, abs=1e-5)
