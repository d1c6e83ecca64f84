"""A plan takes how long the blades of its own log lasted, where their lives are known."""

import pytest
from numpy.testing import assert_allclose

from edgetest.study.sources import open_source
from edgetest.study.wear.measured_life import measured_life
from tests.study.wear.logs_of_wedges import log_of, wedge_log

LIVES = {("soft", "S1"): 120, ("soft", "S2"): 150, ("hard", "H1"): 190}


def lasted(tmp_path, lives=LIVES, *, limit=12.0, add=""):
    text = wedge_log(lives, {"soft": 3.0, "hard": 3.0}, cv=0.002)
    source = open_source(log_of(tmp_path, text + add))
    return measured_life(source, "edge_width_um", limit)


def test_the_geometric_mean_of_the_lives_that_are_known(tmp_path):
    found = lasted(tmp_path)
    assert found.blades == 3
    assert_allclose(found.cuts, (120 * 150 * 190) ** (1 / 3), rtol=0.02)


@pytest.mark.parametrize(
    ("more", "lives"),
    [({}, {("soft", "S1"): 120}), ({"limit": 40.0}, LIVES), ({"limit": None}, LIVES)],
    ids=["one blade", "beyond the last stage", "no limit"],
)
def test_too_few_known_lives_tell_nothing(tmp_path, more, lives):
    assert lasted(tmp_path, lives, **more) is None


def test_a_log_with_fresh_edges_alone_tells_nothing(tmp_path):
    path = log_of(tmp_path, "blade,cuts,edge_width_um\nA,0,3\nB,0,3.1\n")
    assert measured_life(open_source(path), "edge_width_um", 12.0) is None
