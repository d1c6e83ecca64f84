"""A document whose protocol says nothing of what was read says so, not that nothing departs."""

from edgetest.report.documents.departures_section import OF_CHOPS, departures_section


def test_a_protocol_of_chops_is_told_as_held_against_nothing():
    assert OF_CHOPS in str(departures_section((), (), "metric"))
    told = str(departures_section(("stages",), (), "metric"))
    assert "Nothing departs from it." in told
    assert OF_CHOPS not in told
