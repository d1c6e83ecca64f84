"""A date of a log is one day, in whichever order it was typed."""

from edgetest.store.chop_log import read_chops

HEAD = "blade,kind,order,chops,diameter_mm,date\n"


def test_one_evening_typed_in_two_ways_is_one_day():
    rows = ("H1,billet,1,9,40,26.11.2026", "H1,billet,2,9,40,2026-11-26", "H1,billet,3,9,40,")
    log = read_chops((HEAD + "\n".join(rows) + "\n").encode())
    assert log.faults == ()
    assert [row.date for row in log.rows] == ["2026-11-26", "2026-11-26", ""]
