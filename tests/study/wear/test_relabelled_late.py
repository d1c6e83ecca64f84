"""A blade given another label once it was read is told; before that, or taken back, it is not."""

import pytest

from edgetest.store.history import Change
from edgetest.study.wear.relabelled_late import relabelled_late

WIDTH = "edge_width_um"


def read(blade="B2"):
    return Change("append", "log", 2, None, {"blade": blade, WIDTH: "7"}, "2026-05-06")


def named(old, new, place="blades, B2, heat_treatment", what="facts"):
    return Change(what, "study", 0, {place: old}, {place: new}, "2026-05-07T08:00:00")


SWAP = named("t200", "t240")
TOLD = ['B2: heat treatment "t200" → "t240" (2026-05-07)']


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ([read(), SWAP], TOLD),
        ([read(), SWAP, read("B3")], TOLD),
        ([read("B3"), SWAP], []),
        ([SWAP, read()], []),
        ([read(), SWAP, named("t240", "t200", what="undo")], []),
        ([read(), named(None, "t240")], []),  # nobody had named it
        ([read(), named("a", "b", "blades, B2, steel")], []),
        ([read(), named("a", "b", "blades, B2, batch")], ['B2: batch "a" → "b" (2026-05-07)']),
    ],
)
def test_which_labels_are_told(changes, told):
    assert relabelled_late(changes, WIDTH) == told
