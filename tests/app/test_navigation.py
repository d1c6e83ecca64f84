"""What the app does beside its pages."""

import gc
import threading

from edgetest.app import navigation


def test_what_was_imported_is_not_searched_after_each_run():
    """The search holds everything else up for a fifth of a second: it came between two taps."""
    navigation._read_ahead.clear()
    navigation._read_ahead()
    for thread in threading.enumerate():
        if thread.name == "read ahead":
            thread.join(60)
    try:
        left, kept = len(gc.get_objects()), gc.get_freeze_count()
        assert kept > 10 * left
    finally:
        gc.unfreeze()
