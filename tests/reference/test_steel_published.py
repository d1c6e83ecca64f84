"""As-quenched hardness and tempering against published tables and formulas.

Sources: ASTM A255 as-quenched hardness polynomials and the six 50 % martensite points of SAE J406
Table A5 quoting Hodge and Orehoski (both read in public code that names them); Hollomon and Jaffe
1945 for the form of the tempering parameter. The hardness conversion stands in test_tables_steel.
"""

import pytest
from numpy.testing import assert_allclose

from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.temper import equivalent_hours, tempering_parameter


@pytest.mark.parametrize(
    ("martensite", "points"),
    [
        (1.0, [38.5, 44.2, 50.3, 56.1, 60.9, 64.3, 65.0]),
        (0.5, [26.2, 31.8, 37.5, 42.4, 46.8, 50.7, 52.2]),
    ],
)
def test_as_quenched_hardness_of_the_polynomials(martensite, points):
    carbon = [0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.65]
    assert_allclose(as_quenched_hrc(carbon, martensite), points, atol=0.06)  # printed to 0.1


def test_half_martensite_against_the_other_published_table():
    # Two publications of one quantity: they agree within 2 HRC, no better.
    carbon, table = [0.20, 0.30, 0.40, 0.45, 0.50, 0.60], [30, 37, 43, 45, 47, 50]
    assert_allclose(as_quenched_hrc(carbon, 0.5), table, atol=2.0)


def test_tempering_parameter_example():
    # 600 °C for 2 h with C = 20: 0.87315 (20 + log10 2) = 17.7258.
    assert tempering_parameter(600, 2) == pytest.approx(17.7258, abs=1e-4)


def test_equal_parameter_means_equal_temper():
    hours = equivalent_hours(200, 2, 220)
    assert tempering_parameter(220, hours) == pytest.approx(tempering_parameter(200, 2), rel=1e-12)
    assert hours < 2
