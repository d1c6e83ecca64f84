"""What counts as one result: a blade, or the batch or block it came in."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import doubts_of
from edgetest.wear.compare.what_counts import ONE_OF, counted_of


@pytest.mark.parametrize(
    ("codes", "counted"),
    [
        ((), "blades"),
        (("batches_unknown",), "blades"),
        (("runs_averaged", "batches_are_replicates"), "batches"),
        (("blocks_are_replicates",), "blocks"),
    ],
)
def test_batches_and_blocks_count_where_their_doubt_says_so(codes, counted):
    assert counted_of(SimpleNamespace(doubts=doubts_of(codes))) == counted
    assert counted.startswith(ONE_OF[counted])
