import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.steel.conversion import from_hrc, to_hrc


@given(st.floats(20, 68))
def test_vickers_there_and_back(hrc):
    # Straight lines between table points invert exactly, up to rounding.
    assert to_hrc(from_hrc(hrc, "HV"), "HV") == pytest.approx(hrc, abs=1e-9)


@given(st.floats(20, 59))
def test_brinell_there_and_back(hrc):
    assert to_hrc(from_hrc(hrc, "HB"), "HB") == pytest.approx(hrc, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "scale", "words"),
    [(941, "HV", "941 HV"), (237, "HV", "238 to 940"), (650, "HB", "226 to 634"), (5, "HS", "HRC")],
)
def test_refuses_to_extrapolate(value, scale, words):
    with pytest.raises(UnusableInput, match=words):
        to_hrc(value, scale)


def test_refuses_rockwell_beyond_the_brinell_table():
    with pytest.raises(UnusableInput, match="20 to 59"):
        from_hrc(np.array([40.0, 62.0]), "HB")


def test_rockwell_passes_unchanged():
    assert to_hrc(61.5, "HRC") == 61.5
