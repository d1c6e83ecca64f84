"""Crops of everyday pictures have bright bands in them, and none is taken for an edge."""

import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.everyday import everyday


# Rows of bricks, the rim of a cup, the leg of a tripod, folds of cloth: even bands, all of them.
@pytest.mark.parametrize("seed", [32, 132, 234, 620, 1126, 1304, 1348])
def test_a_bright_band_of_an_everyday_picture_is_no_edge(seed):
    assert measure_apex(read_picture(everyday(seed)[0], tone="srgb"), 1.0).status == "refused"
