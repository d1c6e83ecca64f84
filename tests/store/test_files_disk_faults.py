"""Is nothing lost and nothing half wherever the disk fails, or the program dies, in an action?

Every step on the disk of some actions, one of each way of writing; `tests/benchmarks/disk_faults`
goes through all actions.
"""

import os

import pytest

if os.name == "nt":
    pytest.skip("needs limits on the size of files", allow_module_level=True)

from tests.benchmarks.disk_actions import ACTIONS
from tests.benchmarks.disk_faults import all_faults

QUICK = (
    "new --from a log",
    "enter a reading",
    "undo a fact",
    "page: import a zip",
    "page: copy a sample run",
    "page: replace the log",
    "page: a test for a steel",
    "page: typed and saved",
    "bench: a tap",
)


@pytest.mark.parametrize("name", QUICK)
def test_no_fault_of_the_disk_loses_or_halves_anything(name):
    action = next(action for action in ACTIONS if action.name == name)
    found = list(all_faults(action))
    assert len(found) > 3
    assert {outcome for _, _, outcome, _ in found} >= {"told", "died"}
    assert [(way, step, outcome, wrong) for way, step, outcome, wrong in found if wrong] == []
