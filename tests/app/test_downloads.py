"""What goes out of a page: frames with blanks, numbers that keep their sign."""

import pandas as pd

from edgetest.app.downloads import frame_records
from edgetest.app.verbatim import unbroken


def test_a_frame_goes_out_with_blanks_for_what_is_not_known():
    frame = pd.DataFrame({"blade": ["A1", "B1"], "low": [1.5, float("nan")]})
    assert frame_records(frame) == [["blade", "low"], ["A1", 1.5], ["B1", ""]]


def test_a_number_keeps_its_sign_on_the_line():
    assert unbroken("95 % interval, 12 µm") == "95\u00a0% interval, 12\u00a0µm"
