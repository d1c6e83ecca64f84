import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import to_hrc


@pytest.mark.parametrize(
    ("value", "scale", "words"),
    [(941, "HV", "941 HV"), (237, "HV", "238 to 940"), (650, "HB", "226 to 634"), (5, "HS", "HRC")],
)
def test_refuses_to_extrapolate(value, scale, words):
    with pytest.raises(UnusableInput, match=words):
        to_hrc(value, scale)


def test_rockwell_passes_unchanged():
    assert to_hrc(61.5, "HRC") == 61.5
    assert to_hrc(np.array([61.5, 20.0]), "HRC").tolist() == [61.5, 20.0]
    assert isinstance(to_hrc(np.array(61.5), "HRC"), float)
