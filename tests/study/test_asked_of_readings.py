"""A blade that was typed in another unit is asked about once, not reading by reading."""

from edgetest.store.log_rows import LogRow
from edgetest.study.asked_of_readings import asked_of_readings, asked_of_scale
from tests.study.test_other_scale import edges


def rows_of(times):
    return [
        LogRow(line, name, int(cuts), readings={"edge_width_um": Told(width)})
        for line, (name, _, cuts, width) in enumerate(edges(times=times), start=2)
    ]


class Told:
    """A cell that holds a number."""

    def __init__(self, value):
        self.value = value


def test_check_asks_once_and_the_row_that_was_entered_last_asks_again():
    rows = rows_of({"C": 0.05})
    (one,) = asked_of_scale("log.csv", rows)
    first = next(row.line for row in rows if row.blade == "C")
    assert one.where.startswith(f"log.csv, row {first}, edge_width_um")
    assert "the readings of C are about 1/17 those of the other blades" in one.what
    assert "at every stage, the fresh edge too" in one.what
    assert "divisions of the loupe" in one.mend
    assert len(asked_of_scale("log.csv", rows, first + 2)) == 1
    assert asked_of_scale("log.csv", rows, first - 1) == []
    assert asked_of_scale("log.csv", rows_of({})) == []


def test_the_blade_is_asked_about_before_its_readings():
    rows = rows_of({"C": 0.05})
    first = asked_of_readings("log.csv", rows)[0]
    assert "at every stage" in first.what
    assert asked_of_readings("log.csv", rows_of({})) == []
