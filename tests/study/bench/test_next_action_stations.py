"""Which places are due at a stage, once a log is under way without some of them?"""

from types import SimpleNamespace

import pytest

from edgetest.study.bench.next_action import _State

RULE = SimpleNamespace(name="edge_width_um", at_stations=True)


def state(stages, stations):
    """A bench whose log read these places at so many stages of one run."""
    found = object.__new__(_State)
    found.source = SimpleNamespace(protocol=SimpleNamespace(stations_mm=(20.0, 40.0, 60.0)))
    found.rows = {
        ("roll 1", "A"): [
            SimpleNamespace(cuts=cuts, station_mm=mm, readings={RULE.name: 1}, photo="",
                            waiting=False)
            for cuts in range(0, 10 * stages, 10) for mm in stations
        ]
    }  # fmt: skip
    return found


@pytest.mark.parametrize(
    ("stages", "stations", "due"),
    [
        (5, (20.0, 40.0), (20.0, 40.0)),  # four stages are past, and none read 60 mm
        (4, (20.0, 40.0), (20.0, 40.0, 60.0)),
        (0, (), (20.0, 40.0, 60.0)),
        (5, (30.0,), (20.0, 40.0, 60.0)),  # none of those asked for: the protocol's stay
    ],
)
def test_a_place_that_no_past_stage_read_is_not_due(stages, stations, due):
    assert state(stages, stations).stations(RULE) == due
    assert state(stages, stations).stations(SimpleNamespace(at_stations=False)) == (None,)
