"""Whether the needle was photographed on the day of the edge; a needle without its thickness."""

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.study.photos.crests import LampTask, lit_by, side_light


@pytest.mark.parametrize(
    ("needle", "taken", "told"),
    [("2026-01-05", "2026-01-05", False), ("2026-01-05", "2026-01-06", True),
     ("2026-01-07", "2026-01-06", True), ("", "2026-01-06", False), ("2026-01-05", "", False)],
)  # fmt: skip
def test_a_needle_of_another_day_is_doubted(needle, taken, told):
    task = LampTask(None, None, None, needle_date=needle, taken=taken)
    assert codes(task.doubts("a.png")) == (("needle_of_another_day",) if told else ())


def test_a_needle_needs_its_thickness_and_may_be_missing():
    assert side_light(None, "needle", "setup").lines is None
    with pytest.raises(UnusableInput, match="a needle of unknown thickness"):
        side_light("needle.png", None, "setup")
    lit = lit_by(LampTask(None, "needle", "setup", lines="lines"), None)
    assert (lit.needle, lit.lines, lit.setup) == ("needle", "lines", "setup")
