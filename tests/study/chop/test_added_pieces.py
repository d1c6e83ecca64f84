"""What a maker chopped beside the protocol is named by what was measured of it."""

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.added_pieces import added_words


@pytest.mark.parametrize(
    ("sizes", "told"),
    [
        ({"nominal": "2x4"}, "2x4"),
        ({"nominal": "2x4", "width_mm": 95.0, "thickness_mm": 45.0}, "45 mm × 95 mm"),
        ({"nominal": "2x4", "diameter_mm": 60.0}, "round"),
        ({"width_mm": 95.0, "thickness_mm": 45.0}, "45 mm × 95 mm"),
    ],
)
def test_measured_sides_name_an_added_piece_and_its_trade_size_only_without_them(sizes, told):
    row = ChopRow(2, "B1", "lumber", species="Norway spruce", moisture_pct=13.0, **sizes)
    assert added_words([row]) == f"1 piece of Norway spruce, {told}"
