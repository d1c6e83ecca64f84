"""Many rows of one blade that are left out for one reason stand in one line; few in one each."""

from math import nan
from types import SimpleNamespace

from edgetest.report.documents.left_out_table import left_out_table


def reading(line, *, blade="O2", cuts=100.0, station="40", reason="a nail"):
    return SimpleNamespace(line=line, blade=blade, cuts=cuts, station=station, value=7.5,
                           lower=nan, upper=nan, reason=reason)  # fmt: skip


def rows_of(readings, mishaps=()):
    log = SimpleNamespace(
        rows=[SimpleNamespace(line=line, mishap="bent", exclude="") for line in mishaps]
    )
    result = SimpleNamespace(reading="edge_width_um", log=log)
    return left_out_table(result, readings, "metric")["rows"]


def test_a_stretch_is_told_by_its_rows_and_the_ends_of_its_cuts():
    mine = [reading(line, cuts=10.0 * line) for line in (2, 3, 4, 9)]
    assert rows_of(mine) == [["2 to 4, 9", "O2", "20 to 90", "40 mm", "4 readings", "a nail"]]


def test_a_few_rows_keep_their_numbers():
    assert [row[0] for row in rows_of([reading(line) for line in (2, 3, 4)])] == ["2", "3", "4"]
    assert rows_of([reading(2)])[0][4] == "7.5"


def test_other_reasons_blades_and_mishaps_have_lines_of_their_own():
    mine = [reading(line) for line in range(2, 6)]
    more = [reading(6, blade="W1"), reading(7, reason="slipped")]
    assert [row[0] for row in rows_of([*mine, *more])] == ["2 to 5", "6", "7"]
    told = rows_of([*mine, reading(8)], mishaps=[8])
    assert [row[-1] for row in told] == ["a nail", "a nail; mishap: bent"]


def test_places_and_one_stage_are_told_as_they_are():
    (row,) = rows_of([reading(line, station=str(line)) for line in range(2, 6)])
    assert row[2:4] == ["100", "4 places"]
