"""Results noted without a log: read, or told by row and column."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.known_results import read_known_results

HEAD = "study,arm,against,ratio,low,high\n"


def test_a_table_with_decimal_commas_is_read():
    (one,) = read_known_results(
        b"study;arm;against;ratio;low;high\nold notes;new;old;1,5;1,2;1,9\n"
    )
    assert (one.study, one.arm, one.against) == ("old notes", "new", "old")
    assert (one.ratio, one.low, one.high) == (1.5, 1.2, 1.9)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("n,new,old,1.5,1.6,1.9", "row 2, ratio: 1.6 to 1.9 does not hold 1.5"),
        ("n,new,new,1.5,1.2,1.9", "row 2, against: is the arm itself"),
        ("n,new,,1.5,1.2,1.9", "row 2, against: is blank"),
        ("n,new,old,-1,1.2,1.9", "row 2, ratio"),
        ("n,new,old,1e300,1e-300,1e305", "row 2, low: 1e-300 to 1e+305 is no range of lives"),
        ("n,new,old,much,1.2,1.9", "row 2, ratio"),
    ],
)
def test_a_row_that_is_no_result_is_named(row, said):
    with pytest.raises(UnusableInput) as told:
        read_known_results((HEAD + row + "\n").encode())
    assert said in str(told.value)


def test_a_missing_column_is_named():
    with pytest.raises(UnusableInput, match='column "high" is missing'):
        read_known_results(b"study,arm,against,ratio,low\nn,new,old,1.5,1.2\n")
